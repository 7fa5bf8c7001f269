//! The owner's settings: `settings.toml` in the settings folder. Every part may be absent.
//!
//! ```toml
//! [forecast]
//! service = "norway"          # or "us"
//! contact = "me@example.org"  # both services ask how to reach their user
//!
//! [keys]
//! delay = "ctrl-x r"          # other keys for an action, by its id in the help
//!
//! [look]
//! style = "contrast"          # or "calm", "plain"
//! ground = "dark"             # or "light": colours are sent where it is known
//! colour = "auto"             # or "always", "never"
//! ascii = true
//!
//! [calendar]
//! file = "~/season.ics"       # kept fresh with every save, for a phone to subscribe to
//!
//! [mouse]
//! on = true                   # clicks and wheel from the start
//! ```

use super::forecast::fetch::history::HistoryConfig;
use super::forecast::fetch::{FetchConfig, Fetched, Place, Service, cached};
use super::places::Places;
use crate::domain::harmless::steers;
use crate::domain::season::Orchard;
use crate::domain::units::{Length, shown};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use thiserror::Error;
use toml::Spanned;

/// The file's name in the settings folder.
pub const FILE_NAME: &str = "settings.toml";
/// No settings are larger.
const MOST_BYTES: u64 = 1 << 20;

/// What its owner set.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settings {
    /// Whom to ask for the forecast, where somebody is named.
    pub forecast: Option<FetchConfig>,
    /// Another address of the archive of past weather: a copy of it, a server of one's own.
    pub history_address: Option<String>,
    /// File of the certificate of that server, where no authority of the usual ones vouches for
    /// it; in the settings folder unless its path is whole.
    pub history_certificate: Option<String>,
    /// Other keys for some actions.
    pub keys: Vec<OwnKeys>,
    /// How the board is to look.
    pub look: LookSettings,
    /// Mouse reports from the start.
    pub mouse: bool,
    /// The calendar file to keep fresh with every save, as it is written.
    pub calendar: Option<String>,
}

/// Keys of the owner's own for one action.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnKeys {
    /// The action's id.
    pub id: String,
    /// The keys.
    pub keys: String,
    /// Line in the file, from 1.
    pub line: usize,
}

/// How the board is to look, as far as its owner says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LookSettings {
    /// The family of looks.
    pub style: Option<StyleSetting>,
    /// What the terminal writes on.
    pub ground: Option<GroundSetting>,
    /// Colours or not.
    pub colour: Option<ColourSetting>,
    /// ASCII in any case.
    pub ascii: bool,
}

/// A family of looks, as it is written in the settings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum StyleSetting {
    Calm,
    Contrast,
    Plain,
}

/// A ground, as it is written in the settings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum GroundSetting {
    Dark,
    Light,
}

/// Colours or not, as it is written in the settings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum ColourSetting {
    Auto,
    Always,
    Never,
}

/// Why the settings cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum SettingsError {
    /// The file cannot be read.
    #[error("{file}: {why}")]
    Unread {
        /// Which file.
        file: String,
        /// What the system says.
        why: String,
    },
    /// Something in it is wrong.
    #[error("{file}:{line}: {what}; {fix}")]
    Wrong {
        /// Which file.
        file: String,
        /// Line, from 1.
        line: usize,
        /// What is wrong.
        what: String,
        /// What to write instead.
        fix: String,
    },
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    forecast: Option<WrittenForecast>,
    #[serde(default)]
    history: WrittenHistory,
    #[serde(default)]
    keys: BTreeMap<String, Spanned<String>>,
    #[serde(default)]
    look: WrittenLook,
    #[serde(default)]
    mouse: WrittenMouse,
    calendar: Option<WrittenCalendar>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenCalendar {
    file: String,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields, default)]
struct WrittenLook {
    style: Option<Spanned<String>>,
    ground: Option<Spanned<String>>,
    colour: Option<Spanned<String>>,
    ascii: bool,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct WrittenMouse {
    on: bool,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct WrittenHistory {
    address: Option<Spanned<String>>,
    certificate: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenForecast {
    service: Spanned<String>,
    #[serde(default)]
    contact: String,
    address: Option<Spanned<String>>,
    user_agent: Option<String>,
}

impl Settings {
    /// The settings of the platform's folder; none where there is no file.
    ///
    /// # Errors
    /// Where the file cannot be read or something in it is wrong.
    pub fn load(places: &Places) -> Result<Self, SettingsError> {
        let path = places.config.join(FILE_NAME);
        match text_of(&path) {
            Ok(text) => Self::read(&text, &path.display().to_string()),
            Err(fault) if fault.kind() == ErrorKind::NotFound => Ok(Self::default()),
            Err(fault) => Err(SettingsError::Unread {
                file: path.display().to_string(),
                why: fault.to_string(),
            }),
        }
    }

    /// Reads settings from their text; `file` names it in messages.
    ///
    /// # Errors
    /// Where something in it is wrong.
    pub fn read(text: &str, file: &str) -> Result<Self, SettingsError> {
        let line = |at: usize| 1 + text.bytes().take(at).filter(|b| *b == b'\n').count();
        let wrong = |at: usize, what: String, fix: &str| SettingsError::Wrong {
            file: file.replace(steers, "?"),
            line: line(at),
            what,
            fix: fix.to_owned(),
        };
        let written: Written = toml::from_str(text).map_err(|fault| {
            wrong(
                fault.span().map_or(0, |s| s.start),
                shown(fault.message()),
                "the settings are [forecast] with service, contact, address and user_agent, [history] with address and certificate, [keys], [look] with style, ground, colour and ascii, [mouse] with on, and [calendar] with file",
            )
        })?;
        let forecast = written
            .forecast
            .map(|f| {
                let service = Service::from_key(f.service.get_ref()).ok_or_else(|| {
                    wrong(
                        f.service.span().start,
                        format!("there is no service '{}'", shown(f.service.get_ref())),
                        "write service = \"norway\" or service = \"us\"",
                    )
                })?;
                let at = f.address.as_ref().map_or(f.service.span(), Spanned::span);
                let config = configured(service, &f.contact, f.address.map(Spanned::into_inner));
                let config = FetchConfig {
                    user_agent: f.user_agent.unwrap_or(config.user_agent),
                    ..config
                };
                config.check().map(|()| config).map_err(|e| {
                    let what = e.to_string().replace(steers, "?");
                    wrong(at.start, what, "see the README, \"Forecast\"")
                })
            })
            .transpose()?;
        if let Some(address) = &written.history.address {
            let mut config = HistoryConfig::new(false);
            address.get_ref().clone_into(&mut config.fetch.base_url);
            config.fetch.check().map_err(|e| {
                let what = e.to_string().replace(steers, "?");
                wrong(address.span().start, what, "see the README, \"Weather\"")
            })?;
        }
        let look = written.look;
        let look = LookSettings {
            style: choice(look.style.as_ref(), &STYLES).map_err(|at| wrong(at.0, at.1, &at.2))?,
            ground: choice(look.ground.as_ref(), &GROUNDS)
                .map_err(|at| wrong(at.0, at.1, &at.2))?,
            colour: choice(look.colour.as_ref(), &COLOURS)
                .map_err(|at| wrong(at.0, at.1, &at.2))?,
            ascii: look.ascii,
        };
        Ok(Self {
            forecast,
            history_address: written.history.address.map(Spanned::into_inner),
            history_certificate: written.history.certificate,
            keys: written
                .keys
                .into_iter()
                .map(|(id, keys)| OwnKeys {
                    id,
                    line: line(keys.span().start),
                    keys: keys.into_inner(),
                })
                .collect(),
            look,
            mouse: written.mouse.on,
            calendar: written.calendar.map(|c| c.file),
        })
    }
}

/// The words of a setting, each with what it stands for.
type Choices<T, const N: usize> = [(&'static str, T); N];

const STYLES: Choices<StyleSetting, 3> = [
    ("calm", StyleSetting::Calm),
    ("contrast", StyleSetting::Contrast),
    ("plain", StyleSetting::Plain),
];
const GROUNDS: Choices<GroundSetting, 2> = [
    ("dark", GroundSetting::Dark),
    ("light", GroundSetting::Light),
];
const COLOURS: Choices<ColourSetting, 3> = [
    ("auto", ColourSetting::Auto),
    ("always", ColourSetting::Always),
    ("never", ColourSetting::Never),
];

/// The choice a word stands for; else its place, what is wrong, and what to write.
fn choice<T: Copy, const N: usize>(
    word: Option<&Spanned<String>>,
    choices: &Choices<T, N>,
) -> Result<Option<T>, (usize, String, String)> {
    let Some(word) = word else { return Ok(None) };
    let found = choices.iter().find(|(name, _)| name == word.get_ref());
    found.map(|(_, choice)| Some(*choice)).ok_or_else(|| {
        let names: Vec<String> = choices.iter().map(|(n, _)| format!("\"{n}\"")).collect();
        (
            word.span().start,
            format!("there is no '{}' to choose", shown(word.get_ref())),
            format!("write {}", names.join(" or ")),
        )
    })
}

/// Where the forecast is asked for: the orchard.
pub fn place_of(orchard: &Orchard) -> Place {
    Place {
        latitude: orchard.latitude,
        longitude: orchard.longitude,
        elevation_m: orchard.elevation.map(Length::m),
    }
}

/// The forecast fetched last for an orchard, from the platform's folders. Nothing where none is
/// set up; settings that cannot be read are told by who edits or fetches, not here.
pub fn kept_forecast(orchard: &Orchard) -> Option<Fetched> {
    let places = Places::find()?;
    let config = Settings::load(&places).ok()?.forecast?;
    cached(&places.cache, &config, place_of(orchard))
}

/// A service at its own or at another address.
pub fn configured(service: Service, contact: &str, address: Option<String>) -> FetchConfig {
    let usual = FetchConfig::of(service, contact);
    match address {
        Some(base_url) => FetchConfig { base_url, ..usual },
        None => usual,
    }
}

/// What to write in the settings to have a service asked.
pub fn example(service: Service, contact: &str) -> String {
    format!(
        "[forecast]\nservice = \"{}\"\ncontact = \"{}\"\n",
        service.key(),
        contact.replace(['"', '\\'], "")
    )
}

/// Where the settings are kept.
pub fn path(places: &Places) -> PathBuf {
    places.config.join(FILE_NAME)
}

fn text_of(path: &Path) -> std::io::Result<String> {
    let size = fs::metadata(path)?.len();
    if size > MOST_BYTES {
        return Err(std::io::Error::other(format!(
            "{size} bytes are too many for settings"
        )));
    }
    fs::read_to_string(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_may_be_absent() {
        assert_eq!(Settings::read("", "s").unwrap(), Settings::default());
        let read = Settings::read(
            "[forecast]\nservice = \"norway\"\ncontact = \"me at example\"\n[keys]\ndelay = \"ctrl-x\"\n",
            "s",
        )
        .unwrap();
        assert_eq!(
            read.forecast.unwrap(),
            FetchConfig::of(Service::Norwegian, "me at example")
        );
        assert_eq!(
            read.keys,
            [OwnKeys {
                id: "delay".to_owned(),
                keys: "ctrl-x".to_owned(),
                line: 5
            }]
        );
        assert_eq!((read.look, read.mouse), (LookSettings::default(), false));
    }

    #[test]
    fn looks_and_mouse_are_read() {
        let text = "[look]\nstyle = \"contrast\"\nground = \"light\"\ncolour = \"never\"\n[mouse]\non = true\n";
        let read = Settings::read(text, "s").unwrap();
        let look = LookSettings {
            style: Some(StyleSetting::Contrast),
            ground: Some(GroundSetting::Light),
            colour: Some(ColourSetting::Never),
            ascii: false,
        };
        assert_eq!((read.look, read.mouse), (look, true));
    }

    #[test]
    fn what_is_wrong_is_told_with_its_line() {
        let cases = [
            ("[forecast]\nservice = \"mars\"\n", 2, "mars"),
            (
                "[forecast]\nservice = \"us\"\naddress = \"http://service.example\"\n",
                3,
                "TLS",
            ),
            ("\n\ncolour = 1\n", 3, "colour"),
            ("[forecast]\nservice = 7\n", 2, "integer"),
            ("[keys\n", 1, ""),
            ("[look]\nstyle = \"loud\"\n", 2, "contrast"),
            ("[look]\nascii = 1\n", 2, "integer"),
            ("[mouse]\non = true\nof = true\n", 3, "of"),
            ("[keys]\ndelay = 3\n", 2, "integer"),
            ("[keys]\ndelay = \"x\"\ndelay = \"y\"\n", 3, "duplicate"),
        ];
        for (text, line, word) in cases {
            let fault = Settings::read(text, "s.toml").unwrap_err().to_string();
            assert!(fault.starts_with(&format!("s.toml:{line}: ")), "{fault}");
            assert!(fault.contains(word), "{fault}");
        }
    }
}
