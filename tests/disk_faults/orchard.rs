//! A season in a folder, and the program that changes it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

pub const PROGRAM: &str = env!("CARGO_BIN_EXE_barewood");
pub const TODAY: &str = "2026-11-25";

/// The name of the season file.
pub const FILE: &str = "season.toml";

/// Can a command be run here? What it must do is to succeed.
pub fn can(program: &str, arguments: &[&str]) -> bool {
    Command::new(program)
        .args(arguments)
        .output()
        .is_ok_and(|o| o.status.success())
}

pub fn is_root() -> bool {
    rustix::process::geteuid().is_root()
}

/// Says that a test does not run, and why.
pub fn skipped(test: &str, why: &str) {
    println!("SKIPPED: {test}: {why}");
}

pub fn words(output: &Output) -> String {
    format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

/// A season file in a folder; its home is there as well.
pub struct Orchard {
    pub folder: PathBuf,
}

impl Orchard {
    /// Begins a season in a folder.
    pub fn begin(folder: &Path) -> Self {
        let orchard = Self {
            folder: folder.to_owned(),
        };
        let arguments = "start --yes --latitude 43 --longitude 1 --zone Europe/Paris --block peach::3 --block apple::9 --leaf-drop 2026-11-20";
        let arguments: Vec<&str> = arguments.split(' ').collect();
        let made = orchard.command(&arguments).output().unwrap();
        assert!(made.status.success(), "{}", words(&made));
        orchard
    }

    pub fn file(&self) -> PathBuf {
        self.folder.join(FILE)
    }

    pub fn text(&self) -> String {
        std::fs::read_to_string(self.file()).unwrap()
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        self.through(&[], arguments)
    }

    /// The program under another one, such as a tracer.
    pub fn through(&self, before: &[&str], arguments: &[&str]) -> Command {
        let mut all: Vec<&str> = before.to_vec();
        all.push(PROGRAM);
        all.extend(arguments);
        let mut command = Command::new(all[0]);
        command
            .args(&all[1..])
            .args(["--on", TODAY, "--season"])
            .arg(self.file())
            .env_clear()
            .env("HOME", &self.folder)
            .env("PATH", "/usr/sbin:/usr/bin:/sbin:/bin")
            .current_dir(&self.folder);
        command
    }

    /// Moves the first copper to a day of January.
    pub fn moved(&self, before: &[&str], day: u32) -> Output {
        let to = format!("2027-01-{day:02}");
        let arguments = ["move", "first-copper", &to];
        self.through(before, &arguments).output().unwrap()
    }

    /// The day the first copper stands on, as the program reads the file.
    pub fn copper(&self) -> String {
        let due = self.command(&["export", "json"]).output().unwrap();
        assert!(due.status.success(), "{}", words(&due));
        let all: serde_json::Value = serde_json::from_slice(&due.stdout).unwrap();
        let tasks = all["tasks"].as_array().unwrap();
        let copper = tasks.iter().find(|t| t["id"] == "first-copper").unwrap();
        copper["date"].as_str().unwrap().to_owned()
    }

    /// Names in the folder that a save leaves behind when it is cut short.
    pub fn left_over(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(&self.folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .filter(|n| n.contains(".tmp") || n.contains(".lock"))
            .collect();
        names.sort();
        names
    }
}
