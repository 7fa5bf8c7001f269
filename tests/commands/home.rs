//! A bare home, and the binary run in it.

use assert_cmd::Command;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// A home folder with nothing in it.
pub struct Home {
    folder: TempDir,
}

/// What a run printed, and how it ended.
pub struct Ran {
    pub out: String,
    pub err: String,
    pub code: i32,
}

impl From<std::process::Output> for Ran {
    fn from(output: std::process::Output) -> Self {
        Self {
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
            code: output.status.code().unwrap_or(-1),
        }
    }
}

impl Ran {
    /// Standard output as JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e}: {}{}", self.out, self.err))
    }

    /// The run, which must have gone well.
    pub fn fine(self) -> Self {
        assert_eq!(self.code, 0, "{}{}", self.out, self.err);
        self
    }
}

impl Home {
    pub fn new() -> Self {
        Self {
            folder: TempDir::new().unwrap(),
        }
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Runs the binary as cron would: no terminal, no variables but HOME.
    pub fn run(&self, args: &[&str]) -> Ran {
        let output = Command::cargo_bin("barewood")
            .unwrap()
            .env_clear()
            .env("HOME", self.path())
            .current_dir(self.path())
            .args(args)
            .output()
            .unwrap();
        output.into()
    }

    /// A season of two blocks near Zaragoza, begun by options.
    pub fn started() -> (Self, PathBuf) {
        let home = Self::new();
        home.run(&[
            "start",
            "--yes",
            "--name",
            "Test hill",
            "--latitude",
            "41.65",
            "--longitude",
            "-0.88",
            "--zone",
            "Europe/Madrid",
            "--units",
            "metric",
            "--leaf-drop",
            "2015-11-20",
            "--block",
            "peach:redhaven:6",
            "--block",
            "apple::20",
            "--on",
            "2015-11-25",
            "--season",
            "season.toml",
        ])
        .fine();
        let file = home.path().join("season.toml");
        (home, file)
    }
}

/// The names of an object's keys, in order.
pub fn keys(value: &serde_json::Value) -> Vec<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}
