//! Keys as terminals send them: in time, in pieces, in other alphabets.

use crate::terminal::{Pty, non_zero};
use std::time::{Duration, Instant};

#[test]
fn a_lone_esc_acts_at_once() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.settle();
    let mut best = Duration::MAX;
    // The best of a few: other work on the machine is not its doing.
    for _ in 0..5 {
        pty.send(":");
        pty.wait_for("Find an action");
        pty.settle();
        let length = pty.bytes().len();
        let begun = Instant::now();
        pty.send("\x1b");
        while pty.bytes().len() == length {
            assert!(begun.elapsed() < Duration::from_secs(5));
            std::thread::sleep(Duration::from_millis(1));
        }
        best = best.min(begun.elapsed());
        pty.settle();
    }
    assert!(best < Duration::from_millis(50), "{best:?}");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn an_arrow_in_pieces_is_one_key_however_slow_the_line() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.settle();
    let first = pty.screen();
    let marked = first.lines().find(|l| l.starts_with('>')).unwrap();
    for pause in [5, 20, 60, 200] {
        pty.send("j");
        pty.wait("the mark one down", |s| s != first);
        pty.settle();
        pty.send("\x1b");
        std::thread::sleep(Duration::from_millis(pause));
        pty.send("[A");
        let screen = pty.wait("the mark one up", |s| s.contains(marked));
        assert!(!screen.contains("key does nothing"), "{pause} ms: {screen}");
        pty.settle();
    }
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn a_letter_of_another_alphabet_does_nothing_and_says_what_helps() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    for letter in ["\u{439}", "\u{449}", "\u{3b1}", "\u{6843}"] {
        pty.send(letter);
        pty.wait_for("? shows the keys");
        pty.send("j");
        pty.wait("the next key", |s| !s.contains("? shows the keys"));
    }
    // Arrows, Enter, Esc and the finder are enough: here to the swell screen and back.
    pty.send(":");
    pty.send("swell screen");
    pty.wait_for("go to the swell screen");
    pty.send("\r");
    pty.wait_for("block 1 of 6");
    pty.send("\x1b");
    pty.wait_for("Before swell");
    pty.send("\x03");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn ctrl_l_paints_all_again() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.settle();
    let (before, length) = (pty.screen(), pty.bytes().len());
    pty.send("\x0c");
    pty.settle();
    // Somebody else had written all over the screen meanwhile.
    let mut garbled = vt100::Parser::new(non_zero(24), non_zero(80), 0);
    garbled.process(b"\x1b[?1049h\x1b[41m");
    garbled.process("somebody's message ".repeat(90).as_bytes());
    garbled.process(&pty.bytes()[length..]);
    assert_eq!(crate::terminal::seen(garbled.screen()), before);
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn a_typed_date_shows_what_it_means_before_it_is_kept() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.send("/last copper\rt");
    pty.wait_for("Move: Last copper");
    for (typed, means) in [
        ("+3", "Tue 23 Mar 2027"),
        ("-1w", "Sat 13 Mar 2027"),
        ("sat", "Sat 13 Feb 2027"),
        ("14 feb", "Sun 14 Feb 2027"),
        ("2027-02-14", "Sun 14 Feb 2027"),
    ] {
        pty.send(&format!("\x15{typed}"));
        pty.wait(typed, |s| {
            s.lines().any(|l| l.contains(typed)) && s.contains(means)
        });
    }
    pty.send("\x1530 feb");
    pty.wait_for("!!");
    pty.send("\x1b");
    pty.wait_for("nothing changed");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}
