//! A save cut short, stopped or refused at each of its system calls, by the tracer.

use crate::orchard::{Orchard, can, skipped, words};
use std::os::unix::process::ExitStatusExt;
use tempfile::TempDir;

/// The calls a save makes.
const CALLS: [&str; 8] = [
    "openat", "write", "fsync", "rename", "linkat", "unlink", "close", "mkdir",
];
/// No save makes more calls of one kind.
const MOST: u32 = 120;

fn tracer() -> bool {
    can("strace", &["-o", "/dev/null", "true"])
}

/// The tracer with one thing done to the n-th call of a kind.
fn tracing(call: &str, what: &str, n: u32) -> Vec<String> {
    ["-f", "-o", "/dev/null", "-e"]
        .iter()
        .map(ToString::to_string)
        .chain([
            format!("trace={call}"),
            "-e".to_owned(),
            format!("inject={call}:{what}:when={n}"),
        ])
        .collect()
}

fn moved(orchard: &Orchard, call: &str, what: &str, n: u32, day: u32) -> std::process::Output {
    let tracing = tracing(call, what, n);
    let mut before = vec!["strace"];
    before.extend(tracing.iter().map(String::as_str));
    orchard.moved(&before, day)
}

/// After whatever happened: old or new, and the next start sweeps up what was left.
fn is_whole(orchard: &Orchard, old: &str, new: &str, at: &str) -> bool {
    let text = orchard.text();
    let day = orchard.copper();
    assert!(day == old || day == new, "{at}: {day}");
    assert!(text.ends_with('\n'), "{at}: torn");
    let again = orchard.moved(&[], 31);
    assert!(again.status.success(), "{at}: {}", words(&again));
    assert!(
        orchard.left_over().is_empty(),
        "{at}: {:?}",
        orchard.left_over()
    );
    day == new
}

/// Runs a save with the n-th call hit, n from 1 on, until it is not hit any more.
fn at_every_call(name: &str, what: &str, hit: impl Fn(&std::process::Output) -> bool) {
    if !tracer() {
        return skipped(name, "strace does not run here");
    }
    let (mut points, mut new_ones) = (0, 0);
    for call in CALLS {
        for n in 1..MOST {
            let folder = TempDir::new().unwrap();
            let orchard = Orchard::begin(folder.path());
            let old = orchard.copper();
            let output = moved(&orchard, call, what, n, 5);
            if !hit(&output) {
                assert!(output.status.success(), "{call} {n}: {}", words(&output));
                break;
            }
            points += 1;
            let at = format!("{what} at {call} {n}");
            new_ones += u32::from(is_whole(&orchard, &old, "2027-01-05", &at));
        }
    }
    println!("{name}: {points} points, the new state at {new_ones}");
    assert!(points > 20 && new_ones > 0 && new_ones < points);
}

#[test]
fn killed_at_any_call_it_holds_the_old_or_the_new() {
    at_every_call("killed at any call", "signal=SIGKILL", |output| {
        output.status.signal() == Some(9) || output.status.code() == Some(137)
    });
}

#[test]
fn stopped_at_any_call_it_holds_the_old_or_the_new() {
    at_every_call("stopped at any call", "signal=SIGTERM", |output| {
        output.status.signal() == Some(15) || output.status.code() == Some(143)
    });
}

#[test]
fn a_call_that_is_refused_is_told_and_tears_nothing() {
    if !tracer() {
        return skipped("refused calls", "strace does not run here");
    }
    let faults = [
        ("openat", "EACCES"),
        ("openat", "EMFILE"),
        ("write", "ENOSPC"),
        ("write", "EIO"),
        ("write", "EDQUOT"),
        ("write", "EINTR"),
        ("fsync", "EIO"),
        ("fsync", "ENOSPC"),
        ("rename", "EIO"),
        ("rename", "EXDEV"),
        ("rename", "EROFS"),
        ("linkat", "EPERM"),
        ("mkdir", "ENOSPC"),
        ("unlink", "EIO"),
        ("close", "EIO"),
    ];
    let mut refused = 0;
    for (call, error) in faults {
        for n in 1..=4 {
            let folder = TempDir::new().unwrap();
            let orchard = Orchard::begin(folder.path());
            let old = orchard.copper();
            // Before its own files the loader opens and closes others.
            let n = match call {
                "openat" | "close" => n * 4 + 6,
                _ => n,
            };
            let output = moved(&orchard, call, &format!("error={error}"), n, 5);
            let at = format!("{error} at {call} {n}: {}", words(&output));
            let code = output.status.code().unwrap_or_else(|| panic!("{at}"));
            let left = orchard.left_over();
            let is_new = is_whole(&orchard, &old, "2027-01-05", &at);
            if code == 0 {
                assert!(is_new, "called saved and is not: {at}");
            } else {
                refused += 1;
                // Where the answer itself cannot be written, part of it may be out.
                let told = String::from_utf8_lossy(&output.stderr).into_owned();
                assert!(told.starts_with("barewood: "), "{at}");
                assert!(left.iter().all(|n| !n.contains(".tmp")), "{left:?} {at}");
            }
        }
    }
    println!("refused calls: {refused} saves failed and said so");
    assert!(refused >= 6, "{refused}");
}

#[test]
fn a_write_that_lies_is_found_before_the_file_takes_its_place() {
    if !tracer() {
        return skipped("lying writes", "strace does not run here");
    }
    let mut found = 0;
    // The first write is the lock's, which is a courtesy and no safety.
    for n in 2..=5 {
        let folder = TempDir::new().unwrap();
        let orchard = Orchard::begin(folder.path());
        let old = orchard.copper();
        // The kernel is not called, and the program is told that all was written.
        let length = orchard.text().len() + 94;
        for lie in [7, length] {
            let output = moved(&orchard, "write", &format!("retval={lie}"), n, 5);
            let at = format!("retval={lie} at write {n}: {}", words(&output));
            if !output.status.success() {
                found += 1;
            }
            is_whole(&orchard, &old, "2027-01-05", &at);
            let back = orchard
                .command(&["move", "first-copper", &old])
                .output()
                .unwrap();
            assert!(back.status.success(), "{at}");
        }
    }
    assert!(found > 0);
}

/// The folder cannot be put on the disk: the change is in the file, and whether it outlives a
/// power cut is not known. Once, it is made anew and saved; where it goes on, it is told as it is.
#[test]
fn a_folder_that_cannot_be_put_on_the_disk_is_told_as_it_is() {
    if !tracer() {
        return skipped("a folder that is not synced", "strace does not run here");
    }
    let run = |when: &str| {
        let folder = TempDir::new().unwrap();
        // Links followed: the tracer goes by the folder's own name.
        let folder_name = folder.path().canonicalize().unwrap();
        let orchard = Orchard::begin(&folder_name);
        // Calls on the folder itself alone.
        let only = folder_name.display().to_string();
        let inject = format!("inject=fsync:error=EIO{when}");
        let before = [
            "strace",
            "-f",
            "-o",
            "/dev/null",
            "-P",
            &only,
            "-e",
            "trace=fsync",
            "-e",
            &inject,
        ];
        let output = orchard.moved(&before, 5);
        (output.status.code(), words(&output), orchard.copper())
    };
    let (code, said, day) = run(":when=1");
    assert_eq!((code, day.as_str()), (Some(0), "2027-01-05"), "{said}");
    let (code, said, day) = run("");
    // It is there, and the script must not take it for safe.
    assert_eq!((code, day.as_str()), (Some(3), "2027-01-05"), "{said}");
    for part in [
        "has the change now, but a power cut may take it back",
        "putting the folder on the disk failed",
        "do not run it again",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("Moved to"), "{said}");
}
