//! The real program killed at any moment while its user edits: the file holds a whole season,
//! and every change that the board had shown as saved.

use crate::terminal::{PROGRAM, Pty};
use chrono::NaiveDate;
use portable_pty::CommandBuilder;
use std::path::Path;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// How often the program is killed.
const KILLS: u32 = 500;

/// A small generator with a fixed seed: the moments differ, the run repeats.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % n
    }
}

/// The date of the only task, read by the program's own reader: the file is whole.
fn date_in(file: &Path) -> NaiveDate {
    let text = std::fs::read_to_string(file).unwrap();
    let loaded = barewood::store::season_file::read(&text, "killed.toml")
        .unwrap_or_else(|e| panic!("{e}\n{text}"));
    assert_eq!(loaded.season.tasks.len(), 1);
    assert_eq!(loaded.season.readings.len(), 1);
    loaded.season.tasks[0].date
}

const SEASON: &str = r#"format = 1
season = "2026-27"   # a comment that stays

[orchard]
name = "Killed often"
latitude = 41.0
longitude = 1.0
time_zone = "UTC"

[dates]
leaf_drop_expected = 2026-11-20

[[block]]
id = "p"
name = "P"
species = "peach"
trees = 3

[[task]]
id = "t"
title = "Moved often"
lane = "before-swell"
kind = "other"
date = 2027-01-01

[[reading]]
kind = "buds"
date = 2026-12-01
bbch = 0
"#;

#[test]
fn no_moment_of_a_kill_tears_the_file_or_loses_what_was_shown_as_saved() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("killed.toml");
    std::fs::write(&file, SEASON).unwrap();
    let mut dice = Dice(0x2545_F491_4F6C_DD1D);
    let mut last = date_in(&file);
    let (mut moved, mut shown_saved) = (0, 0);
    for round in 0..KILLS {
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(["open", "--on", "2026-12-15", "--season"]);
        command.arg(&file);
        let mut pty = Pty::run(command, &[], (80, 24), TempDir::new().unwrap());
        pty.wait_for("Moved often");
        let keys = 1 + dice.below(6);
        for _ in 0..keys {
            pty.send(">");
            std::thread::sleep(Duration::from_micros(dice.below(4000)));
        }
        if round % 3 == 0 {
            // Killed the moment the board shows it as saved: however slow the machine is.
            let begun = Instant::now();
            let saved = |s: &str| {
                let top = s.lines().next().unwrap_or_default();
                top.ends_with(" saved") && s.contains("Moved to")
            };
            while !saved(&pty.screen()) && begun.elapsed() < Duration::from_secs(5) {
                std::thread::sleep(Duration::from_micros(300));
            }
        } else {
            std::thread::sleep(Duration::from_micros(dice.below(12_000)));
        }
        let id = pty.child.process_id().unwrap();
        let id = rustix::process::Pid::from_raw(i32::try_from(id).unwrap()).unwrap();
        rustix::process::kill_process(id, rustix::process::Signal::KILL).unwrap();
        let _ = pty.child.wait();
        let screen = pty.last_frame();
        let now = date_in(&file);
        // Old or new, never between, never back.
        let steps = (now - last).num_days();
        assert!(
            (0..=i64::try_from(keys).unwrap()).contains(&steps),
            "round {round}: {last} -> {now} after {keys} keys"
        );
        // What the last whole frame called saved is in the file.
        let top = screen.lines().next().unwrap_or_default();
        if top.trim_end().ends_with(" saved") {
            shown_saved += 1;
            let day = now.format("%a %-d %b").to_string();
            assert!(
                screen.contains(&day),
                "round {round}: shown as saved, file has {now}:\n{screen}"
            );
        }
        moved += steps;
        last = now;
    }
    // A test in which nothing was ever written, or never shown as saved, would prove nothing.
    assert!(moved > i64::from(KILLS) / 4, "{moved} days moved");
    assert!(
        shown_saved > KILLS / 10,
        "{shown_saved} times shown as saved"
    );
    // Nothing half-written is left behind by the next start.
    let begun = Instant::now();
    let mut command = CommandBuilder::new(PROGRAM);
    command.args(["open", "--on", "2026-12-15", "--season"]);
    command.arg(&file);
    let mut pty = Pty::run(command, &[], (80, 24), TempDir::new().unwrap());
    pty.wait_for("Moved often");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    assert!(begun.elapsed() < crate::terminal::PATIENCE);
    let left: Vec<String> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|n| n != "killed.toml" && n != "killed.toml.backups" && n != "killed.backups")
        .collect();
    assert!(left.is_empty(), "left behind: {left:?}");
}
