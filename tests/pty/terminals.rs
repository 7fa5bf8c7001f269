//! The kinds of terminals people have: each shows the same words, in signs and codes it knows.

use crate::terminal::{PROGRAM, Pty};
use rustix::process::Signal;

#[test]
fn every_kind_of_terminal_shows_the_board_and_is_given_back() {
    for term in [
        "xterm-256color",
        "xterm",
        "tmux-256color",
        "screen",
        "screen-256color",
        "linux",
        "vt100",
    ] {
        let mut pty = Pty::start(&["open", "--practice"], &[("TERM", term)], (80, 24));
        let screen = pty.wait_for("7-17h");
        for words in ["Practice Hill", "After leaf drop", "Before swell", "quit"] {
            assert!(screen.contains(words), "{term}: no {words}\n{screen}");
        }
        pty.send("S");
        pty.wait_for("chance that swell has begun");
        pty.signal(Signal::TERM);
        assert_eq!(pty.end().exit_code(), 143, "{term}");
        pty.assert_given_back();
    }
}

#[test]
fn a_terminal_that_knows_ascii_alone_shows_the_same_words() {
    for env in [&[("LANG", "C"), ("TERM", "linux")][..], &[("LC_ALL", "C")]] {
        let mut pty = Pty::start(&["open", "--practice"], env, (80, 24));
        let screen = pty.wait_for("7-17h");
        assert!(screen.contains("Before swell"), "{screen}");
        pty.send("H");
        pty.wait_for("next fit: Wed 2027-02-10");
        pty.send("qq");
        assert_eq!(pty.end().exit_code(), 0);
        assert!(pty.bytes().is_ascii());
    }
}

#[test]
fn an_answer_is_the_same_on_a_terminal_and_in_a_pipe() {
    for args in [&["due"][..], &["swell"], &["check", "--json"]] {
        let mut pty = Pty::start(args, &[], (200, 200));
        pty.end();
        let shown = String::from_utf8(pty.bytes())
            .unwrap()
            .replace("\r\n", "\n");
        let piped = std::process::Command::new(PROGRAM)
            .args(args)
            .env_clear()
            .env("HOME", pty.home.path())
            .output()
            .unwrap();
        assert_eq!(shown, String::from_utf8(piped.stdout).unwrap(), "{args:?}");
    }
}
