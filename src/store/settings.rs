//! The owner's settings: `settings.toml` in the settings folder. Every part may be absent.
//!
//! ```toml
//! [forecast]
//! service = "norway"          # or "us"
//! contact = "me@example.org"  # both services ask how to reach their user
//!
//! [keys]
//! delay = "ctrl-x r"          # other keys for an action, by its id in the help
//! ```

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
    /// Other keys for some actions.
    pub keys: Vec<OwnKeys>,
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
    keys: BTreeMap<String, Spanned<String>>,
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
                "the settings are [forecast] with service, contact, address and user_agent, and [keys]",
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
        Ok(Self {
            forecast,
            keys: written
                .keys
                .into_iter()
                .map(|(id, keys)| OwnKeys {
                    id,
                    line: line(keys.span().start),
                    keys: keys.into_inner(),
                })
                .collect(),
        })
    }
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
            ("[keys]\ndelay = 3\n", 2, "integer"),
            ("[keys]\ndelay = \"x\"\ndelay = \"y\"\n", 3, "delay"),
        ];
        for (text, line, word) in cases {
            let fault = Settings::read(text, "s.toml").unwrap_err().to_string();
            assert!(fault.starts_with(&format!("s.toml:{line}: ")), "{fault}");
            assert!(fault.contains(word), "{fault}");
        }
    }
}
