//! `open`: the board.

use super::args::{ColourWish, LookWish, OpenArgs};
use super::board_host::BoardHost;
use super::season_at::At;
use super::{Exit, Failure};
#[cfg(unix)]
use crate::store::log::{self, Log};
use crate::store::places::Places;
use crate::store::presence::{self, Other};
use crate::store::session::Mode;
use crate::store::settings::{self, ColourSetting, GroundSetting, Settings, StyleSetting};
use crate::tui::keymap::Keymap;
use crate::tui::linear::{self, console::Raw};
#[cfg(unix)]
use crate::tui::terminal::held;
use crate::tui::terminal::setting::{Colour, Setting, Wish, refusal};
use crate::tui::theme::{Ground, Look};
use std::io::{IsTerminal, Write};
use std::time::Duration;

/// More lines of stray messages than this are in the log alone.
#[cfg(unix)]
const SHOWN_LINES: usize = 10;

/// Opens the board and stays until it ends.
pub fn run(at: &At, args: &OpenArgs, ascii: bool, out: &mut dyn Write) -> Result<Exit, Failure> {
    if args.linear {
        return line_by_line(at, args, out);
    }
    let lookup = |name: &str| std::env::var(name).ok();
    if let Some(why) = refusal(&lookup, super::stdout_is_terminal()) {
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
    let Some(mode) = mode(at, args)? else {
        return Ok(Exit::Fine);
    };
    let keymap = own_keymap(&settings, places.as_ref())?;
    let mut host = BoardHost::new(at.clone(), mode, args.practice);
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

/// What to do about a board of this user that is open on the same season.
enum Answer {
    Go,
    Look,
    Leave,
}

/// A board without a key for this long may have lost its line.
const IDLE: Duration = Duration::from_secs(60);

/// Asks once about a board of this user on the same season that nobody has touched for a while:
/// a line that went silently leaves one, with whatever is open in it.
fn others(at: &At, args: &OpenArgs) -> Result<Answer, Failure> {
    let season = at.path().and_then(|path| path.canonicalize().ok());
    let (Some(season), Some(places), false) = (season, Places::find(), args.practice) else {
        return Ok(Answer::Go);
    };
    let found = presence::others(&places.state, &season);
    let idle = found
        .iter()
        .filter(|other| args.take_over || other.idle >= IDLE);
    for other in idle {
        if args.read_only {
            return Ok(Answer::Look);
        }
        let answer = if args.take_over {
            "t".to_owned()
        } else if std::io::stdin().is_terminal() {
            ask(other)?
        } else {
            continue;
        };
        match answer.trim() {
            "" | "t" => {
                let words = if other.hand_over() {
                    "it handed over; what was open in it opens here"
                } else {
                    "it does not hand over; this board opens beside it, and both save"
                };
                at.log.note(&format!("process {}: {words}", other.pid));
                writeln!(super::told(), "barewood: {words}")?;
            }
            "r" => return Ok(Answer::Look),
            "q" => return Ok(Answer::Leave),
            _ => {}
        }
    }
    Ok(Answer::Go)
}

fn ask(other: &Other) -> Result<String, Failure> {
    let mut out = super::told();
    write!(
        out,
        "This season is open in another board of yours (process {}), without a key for {} min.\n\
         enter  take over: it saves, ends, and what is open in it opens here\n\
         b      open beside it: both save\n\
         r      look only\n\
         q      leave\n\
         > ",
        other.pid,
        other.idle.as_secs() / 60
    )?;
    out.flush()?;
    let mut answer = String::new();
    std::io::stdin().read_line(&mut answer)?;
    Ok(answer)
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

/// How to open; `None` where somebody would rather leave.
fn mode(at: &At, args: &OpenArgs) -> Result<Option<Mode>, Failure> {
    match others(at, args)? {
        Answer::Look => return Ok(Some(Mode::ReadOnly)),
        Answer::Leave => return Ok(None),
        Answer::Go => {}
    }
    Ok(Some(if args.read_only {
        Mode::ReadOnly
    } else {
        Mode::Write
    }))
}

/// The same board, each move and what came of it in a line.
fn line_by_line(at: &At, args: &OpenArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let places = Places::find();
    let settings = match &places {
        Some(places) => Settings::load(places).map_err(|e| Failure::Input(e.to_string()))?,
        None => Settings::default(),
    };
    let keymap = own_keymap(&settings, places.as_ref())?;
    let Some(mode) = mode(at, args)? else {
        return Ok(Exit::Fine);
    };
    let mut host = BoardHost::new(at.clone(), mode, args.practice);
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
    let mut err = super::told();
    let lines: Vec<&str> = strays.said.lines().collect();
    for line in lines.iter().take(SHOWN_LINES) {
        let _ = writeln!(err, "{line}");
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
