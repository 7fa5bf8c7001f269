//! What the program does on the line at rest and under a clump of keys, watched from below.

use crate::terminal::{PROGRAM, Pty};
use portable_pty::CommandBuilder;
use std::time::Duration;
use tempfile::TempDir;

#[cfg(target_os = "linux")]
#[test]
fn at_rest_nothing_is_sent_and_nobody_is_woken() {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.settle();
    let pid = pty.child.process_id().unwrap();
    let woken = || {
        let status = std::fs::read_to_string(format!("/proc/{pid}/status")).unwrap();
        let line = |name: &str| -> u64 {
            let found = status.lines().find_map(|l| l.strip_prefix(name)).unwrap();
            found.trim().parse().unwrap()
        };
        line("voluntary_ctxt_switches:") + line("nonvoluntary_ctxt_switches:")
    };
    // Threads that ended, and the watcher's start, settle first.
    std::thread::sleep(Duration::from_millis(500));
    let (bytes, before) = (pty.bytes().len(), woken());
    std::thread::sleep(Duration::from_secs(5));
    assert_eq!(pty.bytes().len(), bytes);
    assert_eq!(woken(), before);
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}

/// Under `strace`: the sizes of what was written to the terminal.
fn writes(keys: &[&str], env: &[(&str, &str)]) -> Option<Vec<String>> {
    let has = std::process::Command::new("strace").arg("-V").output();
    if has.is_err() {
        println!("SKIPPED: there is no strace here");
        return None;
    }
    let mut command = CommandBuilder::new("/usr/bin/env");
    command.args([
        "strace",
        "-o",
        "trace",
        "-e",
        "trace=write,writev",
        "-s",
        "99999",
        PROGRAM,
        "open",
        "--practice",
    ]);
    let mut pty = Pty::run(command, env, (80, 24), TempDir::new().unwrap());
    pty.wait_for("7-17h");
    pty.settle();
    for key in keys {
        pty.send(key);
        pty.settle();
    }
    pty.send("q");
    pty.end();
    let trace = std::fs::read_to_string(pty.home.path().join("trace")).unwrap();
    // Frames move the cursor; pipes to the watcher and between threads carry none.
    let frames: Vec<String> = trace
        .lines()
        .filter(|l| l.starts_with("write") && l.contains("\\33["))
        .map(str::to_owned)
        .collect();
    if frames.is_empty() {
        println!("SKIPPED: nothing can be traced here");
        return None;
    }
    Some(frames)
}

#[test]
fn a_frame_is_one_write() {
    let keys = ["j", "S", "q", ">", "?", "\x1b"];
    let Some(frames) = writes(&keys, &[]) else {
        return;
    };
    // The first screen, what the hours add to it, one for each key, the farewell.
    let most = keys.len() + 4;
    assert!(
        (keys.len() + 2..=most).contains(&frames.len()),
        "{frames:#?}"
    );
}

#[test]
fn frames_are_wrapped_only_when_asked_and_closed_in_the_same_write() {
    let Some(frames) = writes(&["j", "S", "q"], &[("BAREWOOD_SYNC", "1")]) else {
        return;
    };
    let wrapped = frames.iter().filter(|f| f.contains("?2026h")).count();
    assert!(wrapped >= 4, "{frames:#?}");
    for frame in frames.iter().filter(|f| f.contains("?2026h")) {
        let (_, rest) = frame.split_once("?2026h").unwrap();
        assert!(rest.contains("?2026l"), "{frame}");
    }
}
