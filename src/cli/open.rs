//! `open`: the board.

use super::args::{ColourWish, LookWish, OpenArgs};
use super::board_host::BoardHost;
use super::season_at::At;
use super::{Exit, Failure};
#[cfg(unix)]
use crate::domain::harmless::steers;
#[cfg(unix)]
use crate::store::log::{self, Log};
use crate::store::places::Places;
use crate::store::session::Mode;
use crate::store::settings::{self, ColourSetting, GroundSetting, Settings, StyleSetting};
use crate::tui::keymap::Keymap;
use crate::tui::linear::{self, console::Raw};
#[cfg(unix)]
use crate::tui::terminal::held;
use crate::tui::terminal::setting::{Colour, Setting, Wish, refusal};
use crate::tui::theme::{Ground, Look};
use std::io::{IsTerminal, Write};

/// More lines of stray messages than this are in the log alone.
#[cfg(unix)]
const SHOWN_LINES: usize = 10;

/// Opens the board and stays until it ends.
pub fn run(at: &At, args: &OpenArgs, ascii: bool, out: &mut dyn Write) -> Result<Exit, Failure> {
    if args.linear {
        return line_by_line(at, args, out);
    }
    let lookup = |name: &str| std::env::var(name).ok();
    if let Some(why) = refusal(&lookup, std::io::stdout().is_terminal()) {
        return Err(Failure::Input(why));
    }
    // Settings that cannot be used are told before the board takes the terminal.
    let places = Places::find();
    let settings = match &places {
        Some(places) => Settings::load(places).map_err(|e| Failure::Input(e.to_string()))?,
        None => Settings::default(),
    };
    let setting = Setting {
        line: args.line,
        ..Setting::choose(&lookup, wish(args, ascii, &settings))
    };
    let keymap = own_keymap(&settings, places.as_ref())?;
    let mut host = BoardHost::new(at.clone(), mode(args), args.practice);
    full_screen(at, &mut host, &setting, keymap)
}

#[cfg(unix)]
fn full_screen(
    at: &At,
    host: &mut BoardHost,
    setting: &Setting,
    keymap: Keymap,
) -> Result<Exit, Failure> {
    let ended = crate::tui::run(host, setting, keymap);
    tell_stray(&at.log, &held::take_strays());
    match ended {
        Ok(exit) => Ok(Exit::Board(exit.code())),
        Err(crate::tui::RunError::Host(why)) => Err(Failure::Input(why)),
        Err(fault) => Err(Failure::Disk(fault.to_string())),
    }
}

/// The board needs the terminal of a Unix system: what does the same here is named.
#[cfg(not(unix))]
fn full_screen(
    _at: &At,
    _host: &mut BoardHost,
    _setting: &Setting,
    _keymap: Keymap,
) -> Result<Exit, Failure> {
    Err(Failure::Input(
        "The full-screen board needs a Unix system (Linux, macOS). Here use: barewood open --linear, or the commands: barewood plan, due, review".to_owned(),
    ))
}

fn mode(args: &OpenArgs) -> Mode {
    match (args.read_only, args.take_over) {
        (true, _) => Mode::ReadOnly,
        (_, true) => Mode::TakeOver,
        _ => Mode::Write,
    }
}

/// The same board, each move and what came of it in a line.
fn line_by_line(at: &At, args: &OpenArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let places = Places::find();
    let settings = match &places {
        Some(places) => Settings::load(places).map_err(|e| Failure::Input(e.to_string()))?,
        None => Settings::default(),
    };
    let keymap = own_keymap(&settings, places.as_ref())?;
    let mut host = BoardHost::new(at.clone(), mode(args), args.practice);
    let raw = Raw::set()?;
    match linear::run(&mut host, keymap, raw.console(out)) {
        Ok(()) => Ok(Exit::Fine),
        Err(linear::RunError::Host(why)) => Err(Failure::Input(why)),
        Err(linear::RunError::Write(fault)) => Err(Failure::Write(fault)),
    }
}

/// The keys with the owner's own; what cannot be used is told with its line.
fn own_keymap(settings: &Settings, places: Option<&Places>) -> Result<Keymap, Failure> {
    let own = &settings.keys;
    let pairs: Vec<(&str, &str)> = own
        .iter()
        .map(|k| (k.id.as_str(), k.keys.as_str()))
        .collect();
    Keymap::with_overrides(&pairs).map_err(|fault| {
        let ids = fault.ids();
        let line = ids
            .iter()
            .find_map(|id| own.iter().find(|k| k.id == *id))
            .map_or(1, |k| k.line);
        let file = places.map(|p| settings::path(p).display().to_string());
        let file = file.unwrap_or_else(|| settings::FILE_NAME.to_owned());
        Failure::Input(format!("{file}:{line}: [keys]: {fault}"))
    })
}

/// What came up while the board was open goes to the log, and its place is shown: to the log
/// asked for, else to one among the state.
#[cfg(unix)]
fn tell_stray(log: &Log, strays: &held::Strays) {
    if strays.is_empty() {
        return;
    }
    let own = log.path().is_none().then(|| {
        let path = Places::find()?.state.join(log::FILE_NAME);
        Log::at(&path).ok()
    });
    let log = own.flatten().unwrap_or_else(|| log.clone());
    log.note(&strays.panics);
    log.note(&strays.said);
    let mut err = std::io::stderr();
    let lines: Vec<&str> = strays.said.lines().collect();
    for line in lines.iter().take(SHOWN_LINES) {
        let _ = writeln!(err, "{}", line.replace(steers, "?"));
    }
    if let Some(more) = lines.len().checked_sub(SHOWN_LINES + 1) {
        let _ = writeln!(err, "({} more lines)", more + 1);
    }
    if let Some(path) = log.path() {
        let _ = writeln!(
            err,
            "barewood: what came up while the board was open is in {}",
            path.display()
        );
    }
}

/// How the board is to look: a flag wins over the settings.
fn wish(args: &OpenArgs, ascii: bool, settings: &Settings) -> Wish {
    let look = &settings.look;
    Wish {
        ascii: ascii || look.ascii,
        colour: match (args.color, look.colour) {
            (Some(ColourWish::Always), _) | (None, Some(ColourSetting::Always)) => Colour::Always,
            (Some(ColourWish::Never), _) | (None, Some(ColourSetting::Never)) => Colour::Never,
            _ => Colour::Auto,
        },
        ground: look.ground.map(|g| match g {
            GroundSetting::Dark => Ground::Dark,
            GroundSetting::Light => Ground::Light,
        }),
        look: match (args.look, look.style) {
            (Some(LookWish::Contrast), _) | (None, Some(StyleSetting::Contrast)) => Look::Contrast,
            (Some(LookWish::Plain), _) | (None, Some(StyleSetting::Plain)) => Look::Plain,
            _ => Look::Calm,
        },
        mouse: settings.mouse,
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn strays_go_to_the_log_whole() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.log");
        let log = Log::at(&path).unwrap();
        let strays = held::Strays {
            said: "a library spoke\n".repeat(30),
            panics: "thread orchard: the ladder fell over\n".to_owned(),
        };
        tell_stray(&log, &held::Strays::default());
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "");
        tell_stray(&log, &strays);
        let text = std::fs::read_to_string(&path).unwrap();
        assert_eq!(text.matches("a library spoke").count(), 30);
        assert!(text.contains("the ladder fell over"), "{text}");
    }
}
