//! A line of 9600 bits a second: 960 bytes, a screen in two and a half seconds.

use crate::terminal::{PROGRAM, Pty, questions};
use portable_pty::CommandBuilder;
use std::time::{Duration, Instant};
use tempfile::TempDir;

const BYTES_PER_S: usize = 960;

/// The practice season on the slow line, started by a shell line, its first screen out.
fn on_the_line(start: &str) -> Pty {
    let mut command = CommandBuilder::new("/bin/sh");
    command.args(["-c", start]);
    let home = TempDir::new().unwrap();
    let mut pty = Pty::paced(command, &[], (80, 24), home, Some(BYTES_PER_S));
    pty.wait_for("7-17h");
    pty.settle();
    pty.send("/last copper\r");
    pty.wait("the mark", |s| {
        s.lines()
            .any(|l| l.starts_with('>') && l.contains("Last copper"))
    });
    pty.settle();
    pty
}

/// Holds `>` down, thirty times a second for three seconds. Gives how long the screen then took
/// to show the last state, how many bytes came, and how many of them after the last key.
fn hold_down(pty: &mut Pty) -> (Duration, usize, usize) {
    let before = pty.bytes().len();
    for _ in 0..90 {
        pty.send(">");
        std::thread::sleep(Duration::from_millis(33));
    }
    let (begun, at_last_key) = (Instant::now(), pty.bytes().len());
    // 20 March and ninety days.
    pty.wait_for("Moved to Fri 18 Jun");
    let took = begun.elapsed();
    pty.settle();
    let all = pty.bytes().len();
    (took, all - before, all - at_last_key)
}

#[test]
fn a_key_held_down_leaves_no_backlog() {
    for start in [
        // The speed is told, or set on the terminal as on a serial console.
        format!("exec {PROGRAM} open --practice --line 9600"),
        format!("stty 9600 && exec {PROGRAM} open --practice"),
        // Nobody tells it: the terminal's own answers do.
        format!("exec {PROGRAM} open --practice"),
    ] {
        let mut pty = on_the_line(&start);
        let (took, all, late) = hold_down(&mut pty);
        // No more than the line takes in that time: 960 bytes a second.
        assert!(
            took < Duration::from_millis(1500) && late < 1440,
            "{start}: {took:?}, {late} of {all} bytes after the last key"
        );
        // It went on showing something all the while.
        assert!(all > 1000, "{start}: {all} bytes");
        pty.send("q");
        assert_eq!(pty.end().exit_code(), 0);
        pty.assert_given_back();
    }
}

#[test]
fn without_knowing_the_speed_a_clump_is_still_one_frame() {
    let mut pty = on_the_line(&format!("exec {PROGRAM} open --practice"));
    let before = pty.bytes().len();
    let begun = Instant::now();
    pty.send(&">".repeat(90));
    pty.wait_for("Moved to Fri 18 Jun");
    assert!(begun.elapsed() < Duration::from_secs(4));
    pty.settle();
    let spent = pty.bytes().len() - before;
    assert!(spent < 2000, "{spent} bytes");
    // Whoever leaves is not kept by what is still on its way.
    pty.send("?");
    pty.send("\x03\x03");
    assert_eq!(pty.end().exit_code(), 0);
}

#[test]
fn whoever_leaves_amid_a_key_held_down_finds_no_answer_typed_into_the_shell() {
    let mut pty = on_the_line(&format!("{PROGRAM} open --practice; sleep 2"));
    for _ in 0..40 {
        pty.send(">");
        std::thread::sleep(Duration::from_millis(33));
    }
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    let bytes = pty.bytes();
    assert!(questions(&bytes) > 0, "nothing was asked");
    // A terminal in its own mode shows what is typed into it.
    assert!(!String::from_utf8_lossy(&bytes).contains("[0n"));
    pty.assert_given_back();
}

#[test]
fn a_terminal_that_answers_nothing_keeps_nobody_waiting() {
    let mut pty = Pty::practice();
    pty.fall_silent();
    pty.wait_for("7-17h");
    pty.settle();
    pty.send("j");
    pty.wait("the mark", |s| {
        s.lines()
            .any(|l| l.starts_with('>') && l.contains("Prune apples"))
    });
    assert_eq!(questions(&pty.bytes()), 0);
    let begun = Instant::now();
    for _ in 0..20 {
        pty.send(">");
        std::thread::sleep(Duration::from_millis(5));
    }
    pty.send("q");
    pty.end();
    let took = begun.elapsed();
    // What was asked in the row is waited for a moment on leaving: the shell would get it.
    assert!(took < Duration::from_millis(3500), "{took:?}");
    assert_eq!(questions(&pty.bytes()), 2);
    pty.assert_given_back();
}
