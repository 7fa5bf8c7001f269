//! The README's tour, run as it stands.

use assert_cmd::cargo::cargo_bin;
use std::process::Command;

/// The shell block under the tour's heading.
fn tour() -> String {
    let readme = include_str!("../../README.md");
    let (_, rest) = readme.split_once("## A tour of the commands").unwrap();
    let (_, rest) = rest.split_once("```sh\n").unwrap();
    rest.split_once("```").unwrap().0.to_owned()
}

#[test]
fn every_line_of_the_tour_runs() {
    let home = tempfile::tempdir().unwrap();
    let program = cargo_bin("barewood");
    let folder = program.parent().unwrap().display().to_string();
    let script = tour();
    let lines: Vec<&str> = script
        .lines()
        .filter(|l| l.starts_with("barewood "))
        .collect();
    assert!(lines.len() > 14, "{script}");
    for line in &lines {
        let ran = Command::new("sh")
            .args(["-c", line])
            .env_clear()
            .env("HOME", home.path())
            .env("PATH", format!("{folder}:/usr/bin:/bin"))
            .current_dir(home.path())
            .output()
            .unwrap();
        assert!(
            ran.status.success(),
            "{line}\n{}{}",
            String::from_utf8_lossy(&ran.stdout),
            String::from_utf8_lossy(&ran.stderr)
        );
    }
    for file in [
        "season.ics",
        "records.csv",
        "materials.csv",
        "season.html",
        "outlook.json",
        "barewood.bash",
        "barewood.1",
    ] {
        let made = std::fs::read(home.path().join(file)).unwrap();
        assert!(made.len() > 100, "{file}");
    }
    // Every command the table names has its example, here or in the five minutes before.
    let readme = include_str!("../../README.md");
    for command in [
        "finish",
        "reenter",
        "review",
        "history",
        "export ics",
        "export csv",
        "export html",
        "export json",
        "shell completions",
        "shell manual",
    ] {
        assert!(
            lines
                .iter()
                .any(|l| l.contains(&format!("barewood {command} "))),
            "{command}"
        );
    }
    assert!(readme.contains("## Commands"));
}
