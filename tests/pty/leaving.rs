//! Every way to leave: the terminal is given back, unsaved work is saved, and
//! a line that drops ends the program at once.

use crate::terminal::{PROGRAM, Pty};
use portable_pty::CommandBuilder;
use rustix::process::Signal;
use std::time::{Duration, Instant};
use tempfile::TempDir;

#[test]
fn ctrl_c_and_q_quit() {
    for keys in ["q", "\x03", "?\x03\x03"] {
        let mut pty = Pty::practice();
        pty.wait_for("PRACTICE");
        pty.send(keys);
        assert_eq!(pty.end().exit_code(), 0);
        pty.assert_given_back();
    }
}

#[test]
fn signals_end_it_clean_with_their_own_code() {
    for (signal, code) in [
        (Signal::TERM, 143),
        (Signal::HUP, 129),
        (Signal::INT, 130),
        (Signal::QUIT, 131),
        (Signal::ABORT, 134),
        // Sent by somebody, not come from a fault of our own.
        (Signal::SEGV, 139),
        (Signal::BUS, 135),
    ] {
        let mut pty = Pty::practice();
        pty.wait_for("PRACTICE");
        // With the mouse on and a form open there is more to undo.
        pty.send("*a");
        pty.wait_for("Add a task");
        let sent = Instant::now();
        pty.signal(signal);
        assert_eq!(pty.end().exit_code(), code);
        // It takes milliseconds; the rest is the wait of `end` and a busy machine.
        assert!(sent.elapsed() < Duration::from_secs(1));
        pty.assert_given_back();
    }
}

/// Killed outright or crashed, it cannot speak any more: the watcher does.
#[test]
fn a_watcher_gives_the_terminal_back_after_a_crash() {
    for signal in [Signal::KILL, Signal::ILL] {
        let mut pty = Pty::practice();
        pty.wait_for("PRACTICE");
        pty.send("*");
        pty.settle();
        pty.signal(signal);
        assert!(!pty.end().success());
        let begun = Instant::now();
        while pty.terminal().screen().alternate_screen() && begun.elapsed() < Duration::from_secs(5)
        {
            std::thread::sleep(Duration::from_millis(10));
        }
        pty.assert_given_back();
    }
}

#[test]
fn unsaved_work_is_saved_before_a_signal_ends_it() {
    let mut pty = Pty::practice();
    pty.wait_for("PRACTICE");
    let path = pty.home.path().join("mine.toml");
    pty.send(&format!("K\x15{}\r", path.display()));
    pty.wait("saved", |s| {
        s.lines().next().is_some_and(|l| l.ends_with("saved"))
    });
    pty.send("/last copper\r>");
    pty.wait_for("Moved to Sun 21 Mar");
    pty.signal(Signal::HUP);
    assert_eq!(pty.end().exit_code(), 129);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("date = 2027-03-21"));
}

fn gone_after_hang_up(mut pty: Pty, pid: u32) {
    pty.wait_for("PRACTICE");
    pty.settle();
    let (_, before) = standing(pid).expect("it runs");
    pty.hang_up();
    let begun = Instant::now();
    // Nobody asks after the child meanwhile, so it stays listed with what it used.
    let used = loop {
        match standing(pid) {
            // A zombie has gone; only its parent has not looked yet.
            Some(('Z' | 'X', used)) => break used,
            None => panic!("somebody else asked after it"),
            Some((state, _)) => assert!(
                begun.elapsed() < Duration::from_secs(1),
                "still there, state {state}"
            ),
        }
        std::thread::sleep(Duration::from_millis(2));
    };
    // A program that goes on reading a line that is gone uses all there is. The clock ticks in
    // hundredths of a second.
    assert!(
        used - before <= 5,
        "{} hundredths of a second",
        used - before
    );
    assert_eq!(pty.end().exit_code(), 129);
}

/// The state of a process and the processor time it used, in ticks.
fn standing(pid: u32) -> Option<(char, u64)> {
    let text = std::fs::read_to_string(format!("/proc/{pid}/stat")).ok()?;
    let fields: Vec<&str> = text.rsplit(')').next()?.split_whitespace().collect();
    let ticks = |i: usize| fields.get(i)?.parse::<u64>().ok();
    Some((fields.first()?.chars().next()?, ticks(11)? + ticks(12)?))
}

#[cfg(target_os = "linux")]
#[test]
fn a_line_that_drops_ends_it() {
    let pty = Pty::practice();
    let pid = pty.child.process_id().unwrap();
    gone_after_hang_up(pty, pid);
}

#[cfg(target_os = "linux")]
#[test]
fn a_line_that_drops_ends_it_with_hang_ups_ignored() {
    let mut command = CommandBuilder::new("/bin/sh");
    command.args([
        "-c",
        &format!("trap '' HUP; exec {PROGRAM} open --practice"),
    ]);
    let pty = Pty::run(command, &[], (80, 24), TempDir::new().unwrap());
    let pid = pty.child.process_id().unwrap();
    gone_after_hang_up(pty, pid);
}
