//! What goes over the line: how much, which codes, in what characters.

use crate::terminal::{PROGRAM, Pty, questions, seen};
use std::time::Duration;

/// The numbers of every "set looks" code.
fn look_codes(bytes: &[u8]) -> Vec<u32> {
    let text = String::from_utf8_lossy(bytes);
    let mut codes = Vec::new();
    for part in text.split("\u{1b}[").skip(1) {
        let end = part.find(|c: char| !(c.is_ascii_digit() || c == ';'));
        if let Some(end) = end.filter(|e| part.as_bytes().get(*e) == Some(&b'm')) {
            let numbers = part.split_at(end).0;
            codes.extend(numbers.split(';').filter_map(|n| n.parse::<u32>().ok()));
        }
    }
    codes
}

fn tour(env: &[(&str, &str)], args: &[&str]) -> Vec<u8> {
    let mut pty = Pty::start(&[&["open", "--practice"], args].concat(), env, (80, 24));
    pty.wait_for("PRACTICE");
    for keys in [
        "j", "\r", "\x1b", "S", "q", "?", "\x1b", "e", "\x1b", "r", "\x1b",
    ] {
        pty.send(keys);
        pty.settle();
    }
    pty.send("q");
    pty.end();
    pty.bytes()
}

#[test]
fn the_first_screen_and_each_key_cost_little() {
    let mut pty = Pty::practice();
    // What comes in beside the board after the first screen is part of opening.
    pty.wait_for("7-17h");
    pty.settle();
    let first = pty.bytes().len();
    assert!(first <= 5500, "first screen {first} bytes");
    let mut cost = |keys: &str, most: usize| {
        let before = pty.bytes().len();
        pty.send(keys);
        pty.settle();
        let spent = pty.bytes().len() - before;
        assert!(spent <= most, "{keys:?} cost {spent} bytes, at most {most}");
        spent
    };
    // The mark alone is at most 80 bytes, its card at most 350 more; both have settled here.
    cost("j", 800);
    cost("j", 800);
    cost("k", 800);
    cost("\r", 4000);
    cost("\x1b", 4000);
    cost("S", 4000);
    cost("q", 4000);
    cost("?", 4000);
    cost("\x1b", 4000);
    // A clump is taken whole before anything is drawn.
    cost(&"jk".repeat(50), 4000);
    cost("Z\x1b", 4000);
}

#[test]
fn nothing_is_asked_of_the_terminal_at_start() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.settle();
    assert_eq!(questions(&pty.bytes()), 0);
    pty.send("j");
    pty.settle();
    assert_eq!(questions(&pty.bytes()), 0, "nor behind a single key");
    // What is asked in a row of keys is only whether it has come so far: before and behind the
    // mark, and behind the card that follows it.
    pty.send("jkj");
    pty.settle();
    let asked = questions(&pty.bytes());
    assert!((2..=3).contains(&asked), "{asked}");
    let bytes = tour(&[], &[]);
    let text = String::from_utf8_lossy(&bytes);
    for question in [
        "\u{1b}[c",
        "\u{1b}[>c",
        "\u{1b}[6n",
        "$p",
        "\u{1b}]10;?",
        "\u{1b}]11;?",
    ] {
        assert!(!text.contains(question), "{question:?}");
    }
    assert_eq!(
        text.matches("\u{1b}[2J").count(),
        1,
        "cleared once, at the start"
    );
    assert!(
        !text.contains("?1000h") && !text.contains("?1002h"),
        "the mouse stays off until asked for"
    );
    assert!(
        !text.contains("?2026h"),
        "frames are wrapped only when asked for"
    );
}

#[test]
fn no_color_sends_none_and_keeps_the_rest() {
    let codes = look_codes(&tour(&[("NO_COLOR", "1")], &[]));
    assert!(
        codes
            .iter()
            .all(|c| !(30..=49).contains(c) && !(90..=107).contains(c)),
        "{codes:?}"
    );
    assert!(codes.contains(&7) && codes.contains(&1));
    let codes = look_codes(&tour(&[("NO_COLOR", "1")], &["--color", "always"]));
    assert!(codes.contains(&41), "the flag wins");
}

#[test]
fn high_contrast_and_plain_send_no_colour_and_keep_the_rest() {
    for (look, kept) in [("contrast", [1, 4, 7].as_slice()), ("plain", &[7])] {
        let codes = look_codes(&tour(&[], &["--look", look, "--color", "always"]));
        assert!(codes.iter().all(|c| !(30..=107).contains(c)), "{codes:?}");
        for code in kept {
            assert!(codes.contains(code), "{look}: {code}");
        }
    }
}

#[test]
fn the_settings_choose_look_ground_and_mouse() {
    let home = tempfile::TempDir::new().unwrap();
    let folder = home.path().join(".config/barewood");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(
        folder.join("settings.toml"),
        "[look]\nground = \"light\"\nascii = true\n[mouse]\non = true\n",
    )
    .unwrap();
    let mut command = portable_pty::CommandBuilder::new(PROGRAM);
    command.args(["open", "--practice"]);
    let mut pty = Pty::run(command, &[], (80, 24), home);
    pty.wait_for("7-17h");
    pty.settle();
    assert_eq!(
        pty.terminal().screen().mouse_protocol_mode(),
        vt100::MouseProtocolMode::ButtonMotion
    );
    let bytes = pty.bytes();
    assert!(bytes.is_ascii());
    assert!(look_codes(&bytes).contains(&41), "a stop stands on red");
    // A card drawn two columns to the right, and the same let go of with Esc.
    let screen = pty.screen();
    let row = 1 + screen
        .lines()
        .position(|l| l.contains("Copper on the cherries in"))
        .unwrap();
    let line = screen.lines().nth(row - 1).unwrap();
    let column = 1 + line.find("Copper").unwrap();
    let mouse = |button: u16, right: usize, end: char| {
        format!("\x1b[<{button};{};{row}{end}", column + right)
    };
    let draw = [mouse(0, 0, 'M'), mouse(32, 1, 'M'), mouse(32, 2, 'M')].concat();
    pty.send(&draw);
    pty.wait_for("let go to move it");
    pty.send("\x1b");
    pty.wait_for("nothing moved");
    pty.send(&[mouse(32, 5, 'M'), mouse(0, 5, 'm')].concat());
    pty.settle();
    assert!(!pty.screen().contains("let go"));
    pty.send(&draw);
    pty.wait_for("let go to move it");
    pty.send(&mouse(0, 2, 'm'));
    pty.wait_for("Moved to ");
    pty.send("*");
    pty.wait_for("The mouse is off");
    assert_eq!(
        pty.terminal().screen().mouse_protocol_mode(),
        vt100::MouseProtocolMode::None
    );
    pty.send("*");
    pty.wait_for("The mouse is on");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    pty.assert_given_back();
}

#[test]
fn what_is_chosen_goes_to_the_users_own_terminal() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.settle();
    let before = pty.bytes().len();
    pty.send("O");
    pty.wait_for("to the clipboard");
    pty.settle();
    let bytes = pty.bytes();
    let text = String::from_utf8_lossy(&bytes[before..]).into_owned();
    let code = text.split("\u{1b}]52;c;").nth(1).expect("the sequence");
    let code = code.split('\u{7}').next().unwrap();
    assert!(code.len() > 40 && code.len().is_multiple_of(4), "{code}");
    assert!(
        code.chars()
            .all(|c| c.is_ascii_alphanumeric() || "+/=".contains(c))
    );
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn never_more_than_the_eight_colours_and_bright_white() {
    for term in [
        "linux",
        "xterm",
        "screen-256color",
        "tmux-256color",
        "vt100",
    ] {
        let codes = look_codes(&tour(&[("TERM", term), ("COLORFGBG", "15;0")], &[]));
        let has_colour = codes.iter().any(|c| (30..=37).contains(c));
        assert_eq!(has_colour, term != "vt100", "{term}");
        let foreign = codes
            .iter()
            .find(|c| matches!(c, 38 | 48 | 90..=96 | 98..=107));
        assert_eq!(foreign, None, "{term}");
    }
}

#[test]
fn another_locale_gets_ascii_alone() {
    for env in [
        [("LANG", "C"), ("LC_ALL", "")],
        [("LANG", "C.UTF-8"), ("LC_ALL", "POSIX")],
    ] {
        let bytes = tour(&env, &[]);
        assert!(bytes.is_ascii());
    }
    assert!(tour(&[], &["--ascii"]).is_ascii());
}

#[test]
fn pasted_text_runs_nothing() {
    let mut pty = Pty::practice();
    pty.wait_for("PRACTICE");
    pty.send("\x1b[200~q\rxxd\x1b[201~");
    pty.wait_for("only where text is typed");
    assert!(pty.child.try_wait().unwrap().is_none());
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn late_answers_and_split_sequences_are_no_commands() {
    let mut pty = Pty::practice();
    pty.wait_for("PRACTICE");
    // The hours come in beside the board and change the screen once.
    pty.wait_for("7-17h");
    pty.settle();
    // Not on the first card, so that there is one above it.
    let first = pty.screen();
    pty.send("j");
    pty.wait("the mark one down", |s| s != first);
    pty.settle();
    let before = pty.screen();
    pty.send("\x1b[?62;22c\x1b[5;7R\x1b]11;rgb:0000/0000/0000\x1b\\");
    pty.settle();
    assert_eq!(pty.screen(), before);
    pty.send("\x1b");
    std::thread::sleep(Duration::from_millis(200));
    pty.send("[A");
    pty.wait("the mark one up", |s| s == first);
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn resizing_never_ends_it_and_brings_the_same_screen_back() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.settle();
    let before = pty.screen();
    for size in [(200, 60), (20, 5), (2, 2), (1, 1), (120, 40)] {
        pty.resize(size);
        pty.settle();
    }
    for i in 0..60_u16 {
        pty.resize((10 + i * 2, 3 + i));
    }
    pty.resize((80, 24));
    // What was painted for other sizes means nothing to a terminal of this one.
    pty.settle();
    let painted = pty.bytes();
    let start = painted
        .windows(4)
        .rposition(|w| w == b"\x1b[2J")
        .expect("painted anew");
    let mut last = vt100::Parser::new(24.try_into().unwrap(), 80.try_into().unwrap(), 0);
    last.process(&painted[start - 3..]);
    assert_eq!(seen(last.screen()), before);
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn where_no_board_can_be_it_says_what_to_use() {
    for env in [&[("TERM", "dumb")][..], &[("TERM", "")][..]] {
        let mut pty = Pty::start(&["open", "--practice"], env, (80, 24));
        assert_eq!(pty.end().exit_code(), 2);
        let text = String::from_utf8(pty.bytes()).unwrap();
        assert!(
            text.contains("barewood due") && !text.contains('\u{1b}'),
            "{text}"
        );
    }
    let piped = std::process::Command::new(PROGRAM)
        .args(["open", "--practice"])
        .env("TERM", "xterm")
        .output()
        .unwrap();
    assert_eq!(piped.status.code(), Some(2));
    assert!(piped.stdout.is_empty());
    assert!(String::from_utf8_lossy(&piped.stderr).contains("needs a terminal"));
}
