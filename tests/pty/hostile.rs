//! Every command on a terminal of its own, over a season that is hostile in every text: nothing of
//! it sets a title, a clipboard, a colour or a direction there (ECMA-48; Unicode UAX 9).

use crate::steering::{CHANGES, HOSTILE, HOSTILE_ARG, VIEWS, hostile, steers};
use crate::terminal::{PROGRAM, Pty};
use portable_pty::CommandBuilder;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tempfile::TempDir;

const ON: [&str; 2] = ["--on", "2027-02-08"];

pub fn season_in(folder: &Path) -> PathBuf {
    let (text, changed) = hostile(barewood::store::practice::SEASON_TEXT);
    assert!(changed > 60, "{changed}");
    let season = folder.join(format!("sea{HOSTILE}.toml"));
    std::fs::write(&season, text.replace("practice = true", "practice = false")).unwrap();
    season
}

/// What in these bytes would steer a terminal. A board moves the cursor and sets looks itself, by
/// control sequences (`ESC [`, numbers, a letter) alone.
fn harm(bytes: &[u8], board: bool) -> Option<String> {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(e) => return Some(e.to_string()),
    };
    let mut chars = text.chars();
    while let Some(c) = chars.next() {
        if c == '\u{1b}' && board {
            let next = chars.next();
            let is_own = match next {
                Some('[') => chars
                    .by_ref()
                    .find(|c| {
                        !matches!(
                            c,
                            '0'..='9' | ';' | ':' | '?' | '>' | '<' | '=' | ' ' | '$' | '!'
                        )
                    })
                    .is_some_and(|c| c.is_ascii_alphabetic()),
                // Cursor kept and brought back, keypad, index.
                Some('7' | '8' | '=' | '>' | 'M' | 'D') => true,
                _ => false,
            };
            if is_own {
                continue;
            }
        } else if !steers(c) || matches!(c, '\r' | '\n') {
            continue;
        }
        let rest: String = chars.take(30).collect();
        return Some(format!("{c:?} {rest:?}"));
    }
    None
}

fn on_terminal(home: &Arc<TempDir>, season: &Path, args: &[&str]) -> Pty {
    let mut command = CommandBuilder::new(PROGRAM);
    command.args(args);
    let env = [
        ("USER", HOSTILE),
        ("LOGNAME", HOSTILE),
        ("BAREWOOD_SEASON", season.to_str().unwrap()),
    ];
    Pty::run(command, &env, (80, 24), Arc::clone(home))
}

/// Runs it to its end, with nothing to read from the keyboard.
fn run(home: &Arc<TempDir>, season: &Path, args: &[&str], board: bool) {
    let mut pty = on_terminal(home, season, args);
    pty.send("\x04\x04\x04");
    pty.end();
    let bytes = pty.bytes();
    let found = harm(&bytes, board);
    assert!(found.is_none(), "{args:?}: {found:?}");
    let text = String::from_utf8_lossy(&bytes);
    assert!(!text.contains("panicked"), "{args:?}: {text}");
}

#[test]
fn the_check_itself_finds_what_steers() {
    assert_eq!(harm("plain text\r\n".as_bytes(), false), None);
    assert_eq!(harm(b"\x1b[2J\x1b[38;5;4mx\x1b[?25h", true), None);
    for (bytes, board) in [
        (&b"\x1b[2J"[..], false),
        (b"\x1b]2;owned\x07", true),
        (b"\x1bPq\x1b\\", true),
        ("\u{9b}31m".as_bytes(), true),
        ("\u{202e}".as_bytes(), false),
        ("\u{e0041}".as_bytes(), true),
        (b"\x9b31m", false),
    ] {
        assert!(harm(bytes, board).is_some(), "{bytes:?}");
    }
}

#[test]
fn no_command_steers_the_terminal_it_answers_on() {
    let home = Arc::new(TempDir::new().unwrap());
    let season = season_in(home.path());
    let mut ran = 0;
    for args in VIEWS {
        for json in [false, true] {
            let more = if json { &["--json"][..] } else { &[] };
            run(&home, &season, &[args, &ON[..], more].concat(), false);
            ran += 1;
        }
    }
    let is_board = |args: &&&[&str]| args[0] == "open";
    for args in CHANGES.iter().filter(|args| !is_board(args)) {
        run(&home, &season, &[args, &ON[..]].concat(), false);
        ran += 1;
    }
    for form in ["ics", "csv", "materials", "html", "json"] {
        // The mark of UTF-8 at the head of a table is for spreadsheets.
        let args = ["export", form, "--to", HOSTILE_ARG];
        for _ in 0..2 {
            run(&home, &season, &[&args, &ON[..]].concat(), false);
            ran += 1;
        }
    }
    run(&home, &season, &["shell", "places"], false);
    run(&home, &season, &[HOSTILE_ARG], false);
    run(&home, Path::new(HOSTILE_ARG), &["plan"], false);
    println!("{ran} commands on a terminal");
}

#[test]
fn no_screen_of_the_board_lets_a_hostile_season_out() {
    let home = Arc::new(TempDir::new().unwrap());
    let season = season_in(home.path());
    let mut pty = on_terminal(&home, &season, &[&["open"], &ON[..]].concat());
    pty.wait_for("Before swell");
    // Every screen, the details, "why?", the forms, help, finder, and back.
    for keys in [
        "\r", "\x1b", "w", "\x1b", "S", "q", "H", "q", "M", "q", "V", "q", "C", "q", "R", "q", "G",
        "\x1b", "e", "\x1b", "i", "\x1b", "r", "\x1b", "?", "\x1b", ":", "\x1b", "/o", "\x1b", "j",
        "\r", "\x1b", "k", ">", "u",
    ] {
        pty.send(keys);
        pty.settle();
    }
    let found = harm(&pty.bytes(), true);
    assert!(found.is_none(), "{found:?}");
    pty.send("\x03\x03");
    pty.end();
    let found = harm(&pty.bytes(), true);
    assert!(found.is_none(), "{found:?}");
    // Line by line, without a screen: keys come unechoed.
    let mut pty = on_terminal(&home, &season, &[&["open", "--linear"], &ON[..]].concat());
    pty.wait_for("Keys as on the board");
    pty.send("jj\r");
    pty.settle();
    pty.send("qq");
    pty.end();
    let found = harm(&pty.bytes(), false);
    assert!(found.is_none(), "{found:?}");
}
