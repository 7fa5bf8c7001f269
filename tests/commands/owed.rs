//! What a command owes to cron, to pipes, to printers and to the reader of its log.

use crate::home::Home;
use assert_cmd::cargo::cargo_bin;
use std::fs;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};
use unicode_width::UnicodeWidthStr;

/// A shell line in a home of its own; `barewood` is the program.
fn shell(home: &Home, line: &str) -> Output {
    let folder = cargo_bin("barewood")
        .parent()
        .unwrap()
        .display()
        .to_string();
    Command::new("/bin/sh")
        .args(["-c", line])
        .env_clear()
        .env("PATH", format!("{folder}:/usr/bin:/bin"))
        .env("HOME", home.path())
        .current_dir(home.path())
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Does the shell here know this program?
fn has(home: &Home, program: &str) -> bool {
    let found = shell(home, &format!("command -v {program}"))
        .status
        .success();
    if !found {
        eprintln!("SKIPPED: there is no {program} here");
    }
    found
}

/// The screens of the board as commands.
const VIEWS: [&[&str]; 13] = [
    &["plan"],
    &["shed"],
    &["swell", "--curves"],
    &["due"],
    &["check"],
    &["check", "--records"],
    &["swell"],
    &["hours", "last-copper"],
    &["mix", "last-copper"],
    &["buy"],
    &["coverage"],
    &["review"],
    &["history"],
];

#[test]
fn screens_have_a_command_that_needs_no_terminal_and_keeps_to_eighty_columns() {
    let home = Home::new();
    for view in VIEWS {
        let ran = home.run(view);
        assert!(ran.code <= 1, "{view:?}: {}", ran.err);
        assert!(
            !ran.out.is_empty() && ran.err.is_empty(),
            "{view:?}: {}",
            ran.err
        );
        assert!(!ran.out.contains('\u{1b}'), "{view:?}");
        for line in ran.out.lines() {
            assert!(line.width() <= 80, "{view:?}: {line}");
        }
    }
    assert_eq!(
        fs::read_dir(home.path()).unwrap().count(),
        0,
        "nothing is written"
    );
}

#[test]
fn cron_gets_its_answer_without_home_terminal_or_environment() {
    let home = Home::new();
    let program = cargo_bin("barewood").display().to_string();
    for line in [
        format!("env -i {program} due"),
        format!("env -i setsid -w {program} due </dev/null"),
    ] {
        let ran = shell(&home, &line);
        assert_eq!(ran.status.code(), Some(1), "{line}: something is at risk");
        assert!(text(&ran.stdout).contains("OVERDUE"), "{line}");
        assert_eq!(text(&ran.stderr), "", "{line}");
    }
}

#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    let home = Home::new();
    for command in [
        "export html",
        "export json",
        "weather show --sums dd --base 43F",
    ] {
        let ran = shell(
            &home,
            &format!("{{ barewood {command}; echo $? > code; }} | head -1"),
        );
        assert_eq!(text(&ran.stderr), "", "{command}");
        let code = fs::read_to_string(home.path().join("code")).unwrap();
        assert_eq!(code, "0\n", "{command}");
    }
}

#[test]
fn help_comes_at_once() {
    let home = Home::new();
    fs::write(home.path().join("broken.toml"), "format = [").unwrap();
    let mut best = Duration::MAX;
    // The best of some: other work on the machine is not its doing.
    for _ in 0..12 {
        let begun = Instant::now();
        home.run(&["--season", "broken.toml", "--help"]).fine();
        best = best.min(begun.elapsed());
    }
    assert!(best < Duration::from_millis(60), "{best:?}");
}

#[test]
fn exit_codes_are_told_in_the_help_and_kept() {
    let home = Home::new();
    let help = home.run(&["--help"]).fine().out;
    for part in [
        "0 fine",
        "1 a stop or caution",
        "2 usage or bad input",
        "3 could not",
    ] {
        assert!(help.contains(part), "{part}");
    }
    assert_eq!(home.run(&["check"]).code, 1);
    assert_eq!(home.run(&["swell"]).code, 0);
    assert_eq!(home.run(&["swell", "--sideways"]).code, 2);
    fs::write(home.path().join("broken.toml"), "format = 1\nseason = [\n").unwrap();
    let bad = home.run(&["due", "--season", "broken.toml"]);
    assert_eq!(bad.code, 2);
    assert!(bad.err.contains("broken.toml:2"), "{}", bad.err);
    assert_eq!(home.run(&["export", "json", "--to", "/dev/null/x"]).code, 3);
    assert_eq!(home.run(&["swell", "--log", "/dev/null/x"]).code, 3);
}

#[test]
fn the_manual_and_the_completions_are_sound() {
    let home = Home::new();
    shell(&home, "barewood shell manual > barewood.1");
    let manual = fs::read_to_string(home.path().join("barewood.1")).unwrap();
    for part in [
        ".TH barewood 1",
        "SYNOPSIS",
        "\\-\\-season",
        "\\-\\-log",
        "Exit codes",
    ] {
        assert!(manual.contains(part), "{part}");
    }
    if has(&home, "man") && has(&home, "groff") {
        let shown = shell(&home, "MANWIDTH=80 man --warnings -l ./barewood.1");
        assert!(shown.status.success());
        assert_eq!(text(&shown.stderr), "");
        assert!(text(&shown.stdout).contains("barewood"));
    }
    for (name, check) in [
        ("bash", "bash -n"),
        ("zsh", "zsh -n"),
        ("fish", "fish --no-execute"),
    ] {
        let made = shell(
            &home,
            &format!("barewood shell completions {name} > script"),
        );
        assert!(made.status.success(), "{name}");
        let script = fs::read_to_string(home.path().join("script")).unwrap();
        assert!(script.contains("BAREWOOD_COMPLETE"), "{name}");
        if has(&home, name) {
            let read = shell(&home, &format!("{check} script"));
            assert!(read.status.success(), "{name}: {}", text(&read.stderr));
        }
    }
}

#[test]
fn the_folders_of_the_standard_are_honoured_and_empty_is_unset() {
    let home = Home::new();
    let places = text(
        &shell(
            &home,
            "XDG_DATA_HOME=$HOME/d XDG_CONFIG_HOME=$HOME/c XDG_STATE_HOME=$HOME/s \
             XDG_CACHE_HOME=$HOME/k barewood shell places",
        )
        .stdout,
    );
    let base = home.path().display();
    for part in [
        format!("seasons: {base}/d/barewood/seasons"),
        format!("settings: {base}/c/barewood"),
        format!("recovery: {base}/s/barewood"),
        format!("{base}/s/barewood/barewood.log"),
        format!("last forecast: {base}/k/barewood"),
    ] {
        assert!(places.contains(&part), "{part}\n{places}");
    }
    let unset = text(&shell(&home, "XDG_DATA_HOME= barewood shell places").stdout);
    assert!(
        unset.contains(&format!("seasons: {base}/.local/share/barewood/seasons")),
        "{unset}"
    );
    // A season begun and changed writes there and nowhere else.
    let begun = shell(
        &home,
        "export XDG_DATA_HOME=$HOME/d XDG_STATE_HOME=$HOME/s; \
         barewood start --yes --latitude 43 --longitude -77 --zone America/New_York \
         --leaf-drop 2026-11-18 --block peach::6 --on 2026-11-20 && \
         barewood move first-copper +2 --on 2026-11-20",
    );
    assert!(begun.status.success(), "{}", text(&begun.stderr));
    let names: Vec<_> = fs::read_dir(home.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(names, ["d"], "{names:?}");
}

#[test]
fn a_sheet_for_the_printer_keeps_to_its_page() {
    let home = Home::new();
    for (view, pages) in [(&["mix", "last-copper"][..], 1), (&["check"], 2)] {
        let args = [view, &["--pages", "--ascii"]].concat();
        let printed = home.run(&args).out;
        assert!(printed.is_ascii(), "{view:?}");
        let all: Vec<&str> = printed.split('\u{c}').collect();
        assert!(all.len() >= pages, "{view:?}: {} pages", all.len());
        for page in all {
            assert!(page.lines().count() <= 60, "{view:?}");
            assert!(page.lines().all(|l| l.len() <= 80), "{view:?}\n{page}");
        }
        // The same words, whatever the page.
        let words = |t: &str| t.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        let plain = home.run(&[view, &["--ascii"]].concat()).out;
        assert_eq!(words(&printed.replace('\u{c}', "\n")), words(&plain));
    }
    // What a program reads is never rewritten.
    let json = home.run(&["mix", "last-copper", "--json"]).out;
    let asked = home
        .run(&["mix", "last-copper", "--json", "--pages", "--ascii"])
        .out;
    assert_eq!(json, asked);
}

#[test]
fn the_log_tells_what_was_started_saved_and_refused() {
    let (home, _) = Home::started();
    let at = [
        "--season",
        "season.toml",
        "--on",
        "2015-11-25",
        "--log",
        "a.log",
    ];
    home.run(&[&["move", "first-copper", "+2"], &at[..]].concat())
        .fine();
    assert_eq!(home.run(&[&["mix", "nonsense"], &at[..]].concat()).code, 2);
    let log = fs::read_to_string(home.path().join("a.log")).unwrap();
    for part in [
        "Z move started, barewood ",
        "Z saved: season.toml",
        "Z move ended with exit code 0",
        "Z error: there is no task 'nonsense'",
        "Z mix ended with exit code 2",
    ] {
        assert!(log.contains(part), "{part}\n{log}");
    }
    // Without being asked for there is none.
    home.run(&["swell"]).fine();
    assert!(!home.path().join(".local/state").exists());
}
