//! Files far larger than an orchard makes: refused at once in plain words, or they work. The
//! times are for the build under test beside other work; those of the release build are in
//! DEVELOPERS.md.

use crate::home::{Home, Ran};
use std::fmt::Write as _;
use std::fs;
use std::time::{Duration, Instant};

/// Bytes of address space a run may have, in kilobytes as the shell counts them.
const ROOM_KB: u32 = 512 * 1024;

const REFUSED_WITHIN: Duration = Duration::from_secs(1);
const ANSWERED_WITHIN: Duration = Duration::from_secs(20);

fn timed(home: &Home, args: &[&str]) -> (Ran, Duration) {
    let start = Instant::now();
    let ran = home.run(args);
    (ran, start.elapsed())
}

/// A file that says to have so many bytes and takes no room on the disk.
fn sparse(home: &Home, name: &str, start: &str, bytes: u64) {
    let path = home.path().join(name);
    fs::write(&path, start).unwrap();
    let file = fs::OpenOptions::new().write(true).open(&path).unwrap();
    file.set_len(bytes).unwrap();
}

/// The same run with little memory: what is refused must not be read whole first.
fn in_little_room(home: &Home, args: &str) -> Ran {
    let program = env!("CARGO_BIN_EXE_barewood");
    let output = std::process::Command::new("/bin/sh")
        .args([
            "-c",
            &format!("ulimit -v {ROOM_KB} && exec {program} {args}"),
        ])
        .env_clear()
        .env("HOME", home.path())
        .current_dir(home.path())
        .output()
        .unwrap();
    output.into()
}

#[test]
fn a_season_file_of_any_size_is_refused_at_once() {
    let home = Home::new();
    for (name, bytes) in [("100-mb.toml", 100_000_000), ("10-gb.toml", 10_000_000_000)] {
        sparse(&home, name, "format = 1\n", bytes);
        for command in ["due", "check", "export json", "move a 2027-01-01"] {
            let mut args: Vec<&str> = command.split(' ').collect();
            args.extend(["--season", name]);
            let (ran, took) = timed(&home, &args);
            assert_eq!(ran.code, 2, "{command}: {}", ran.err);
            assert!(ran.out.is_empty(), "{command}: {}", ran.out);
            for word in [name, "larger than 20 MB", "weather in its own files"] {
                assert!(ran.err.contains(word), "{command}: {}", ran.err);
            }
            assert!(took < REFUSED_WITHIN, "{command}: {took:?}");
        }
        let ran = in_little_room(&home, &format!("due --season {name}"));
        assert!(ran.err.contains("larger than 20 MB"), "{}", ran.err);
        assert_eq!(fs::metadata(home.path().join(name)).unwrap().len(), bytes);
    }
}

#[test]
fn a_weather_file_without_end_is_refused_and_the_season_stays() {
    let (home, file) = Home::started();
    let before = fs::read(&file).unwrap();
    let mut rows = "date,tmin_c,tmax_c\n".to_owned();
    for day in 1..=28 {
        writeln!(rows, "2015-02-{day:02},1.0,9.0").unwrap();
    }
    sparse(&home, "endless.csv", &rows, 10_000_000_000);
    let ran = in_little_room(&home, "weather add endless.csv --season season.toml");
    assert_ne!(ran.code, 0);
    assert!(
        ran.err.contains("endless.csv") && !ran.err.contains("panicked"),
        "{}",
        ran.err
    );
    assert_eq!(fs::read(&file).unwrap(), before);
}

/// Two hundred blocks on sixty years of invented days.
#[test]
fn two_hundred_blocks_on_sixty_years_are_answered() {
    let home = Home::new();
    let blocks: Vec<String> = (0..200)
        .map(|i| {
            format!(
                "{}::{}",
                ["peach", "apple", "pear", "apricot"][i % 4],
                i + 1
            )
        })
        .collect();
    let mut args = vec![
        "start",
        "--yes",
        "--latitude",
        "43",
        "--longitude",
        "1",
        "--zone",
        "Europe/Paris",
        "--leaf-drop",
        "2026-11-20",
        "--on",
        "2026-11-25",
        "--season",
        "season.toml",
    ];
    for block in &blocks {
        args.extend(["--block", block]);
    }
    home.run(&args).fine();
    let mut rows = "date,tmin_c,tmax_c\n".to_owned();
    let first = chrono::NaiveDate::from_ymd_opt(1966, 9, 1).unwrap();
    let last = chrono::NaiveDate::from_ymd_opt(2027, 1, 31).unwrap();
    for (i, day) in first.iter_days().take_while(|d| *d <= last).enumerate() {
        let season = (i as f64 / 365.25 * std::f64::consts::TAU).cos();
        let mean = 11.0 + 8.0 * season + 3.0 * (i as f64 / 9.0).sin();
        writeln!(rows, "{day},{:.1},{:.1}", mean - 5.0, mean + 5.0).unwrap();
    }
    fs::write(home.path().join("days.csv"), rows).unwrap();
    let season = ["--season", "season.toml", "--on", "2027-02-01"];
    let run = |args: &[&str]| {
        let (ran, took) = timed(&home, &[args, &season[..]].concat());
        assert!(ran.code < 2, "{args:?}: {}", ran.err);
        println!("{args:?}: {took:?}");
        assert!(took < ANSWERED_WITHIN, "{args:?}: {took:?}");
        ran
    };
    run(&["weather", "add", "days.csv"]);
    run(&["due"]);
    run(&["check"]);
    let swell = run(&["swell", "--json"]).json();
    let answered = swell["blocks"].as_array().unwrap();
    assert_eq!(answered.len(), 200);
    for block in answered {
        assert!(block["members"].as_u64().unwrap() >= 58, "{block}");
    }
}

/// A hundred thousand tasks: every one is counted, a move is saved and the others stay.
#[test]
fn a_hundred_thousand_tasks_are_read_and_saved() {
    const TASKS: usize = 100_000;
    let (home, file) = Home::started();
    let mut text = fs::read_to_string(&file).unwrap();
    let own = text.matches("[[task]]").count();
    for i in 0..TASKS {
        write!(
            text,
            "\n[[task]]\nid = \"t{i}\"\ntitle = \"Look at tree {i}\"\nlane = \"mid-winter\"\ndate = 2016-01-10\n"
        )
        .unwrap();
    }
    fs::write(&file, &text).unwrap();
    let season = ["--season", "season.toml", "--on", "2016-01-12"];
    let (due, took) = timed(&home, &[&["due", "--json"], &season[..]].concat());
    println!("due: {took:?}");
    assert!(due.out.contains("\"t99999\""), "{}", due.err);
    assert!(took < ANSWERED_WITHIN * 2, "{took:?}");
    let (moved, took) = timed(
        &home,
        &[&["move", "t50000", "2016-02-20"], &season[..]].concat(),
    );
    println!("move: {took:?}");
    moved.fine();
    assert!(took < ANSWERED_WITHIN * 4, "{took:?}");
    let now = fs::read_to_string(&file).unwrap();
    assert_eq!(now.matches("[[task]]").count(), own + TASKS);
    let changed: Vec<(&str, &str)> = text
        .lines()
        .zip(now.lines())
        .filter(|(old, new)| old != new)
        .take(5)
        .collect();
    assert_eq!(
        changed.first(),
        Some(&("date = 2016-01-10", "date = 2016-02-20"))
    );
}
