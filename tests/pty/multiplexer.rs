//! Inside a terminal multiplexer, where one is installed: the same screen, the same keys.

use crate::terminal::{PATIENCE, PROGRAM};
use std::process::{Command, Output};
use std::time::Instant;
use tempfile::TempDir;

/// A multiplexer of the tests' own, ended with its programs.
struct Tmux {
    home: TempDir,
}

impl Tmux {
    /// Starts the practice season in it; `None` where there is no such program here.
    fn start() -> Option<Self> {
        let tmux = Self {
            home: TempDir::new().unwrap(),
        };
        let program = format!("{PROGRAM} open --practice");
        let args = ["new-session", "-d", "-x", "80", "-y", "24", &program];
        let Some(started) = tmux.run(&args) else {
            println!("SKIPPED: there is no tmux here");
            return None;
        };
        assert!(
            started.status.success(),
            "{}",
            String::from_utf8_lossy(&started.stderr)
        );
        Some(tmux)
    }

    fn run(&self, args: &[&str]) -> Option<Output> {
        Command::new("tmux")
            .arg("-S")
            .arg(self.home.path().join("socket"))
            .args(["-f", "/dev/null"])
            .args(args)
            .env_clear()
            .env("PATH", "/usr/bin:/bin")
            .env("HOME", self.home.path())
            .env("LANG", "C.UTF-8")
            .env("TERM", "xterm-256color")
            .output()
            .ok()
    }

    fn screen(&self) -> String {
        let shown = self.run(&["capture-pane", "-p"]).unwrap();
        String::from_utf8_lossy(&shown.stdout).into_owned()
    }

    fn wait_for(&self, words: &str) -> String {
        let begun = Instant::now();
        loop {
            let screen = self.screen();
            if screen.contains(words) {
                return screen;
            }
            assert!(begun.elapsed() < PATIENCE, "no '{words}':\n{screen}");
            std::thread::sleep(std::time::Duration::from_millis(30));
        }
    }

    fn keys(&self, keys: &str) {
        let args: Vec<&str> = ["send-keys"].into_iter().chain(keys.split(' ')).collect();
        self.run(&args).unwrap();
    }
}

impl Drop for Tmux {
    fn drop(&mut self) {
        self.run(&["kill-server"]);
    }
}

#[test]
fn it_works_inside_a_multiplexer() {
    let Some(tmux) = Tmux::start() else { return };
    let screen = tmux.wait_for("7-17h");
    assert_eq!(screen.lines().count(), 24, "{screen}");
    assert!(
        screen.lines().next().unwrap().contains("PRACTICE"),
        "{screen}"
    );
    // Letters, arrows with their sequences, Esc, Enter.
    tmux.keys("Right Down Enter");
    tmux.wait_for("Blocks:");
    // Esc and a letter on its heels would be that letter with Alt.
    tmux.keys("Escape");
    let begun = Instant::now();
    while tmux.screen().contains("Blocks:") {
        assert!(begun.elapsed() < PATIENCE, "{}", tmux.screen());
    }
    tmux.keys("S");
    tmux.wait_for("block 1 of 6");
    tmux.keys("Right");
    tmux.wait_for("block 2 of 6");
    // A window that changes under it.
    tmux.run(&["resize-window", "-x", "100", "-y", "30"])
        .unwrap();
    tmux.keys("q");
    let screen = tmux.wait_for("Before swell");
    assert!(
        screen.lines().any(|l| l.chars().count() > 85),
        "laid out anew:\n{screen}"
    );
    // Painted anew after the multiplexer showed something else.
    tmux.run(&["clear-history"]).unwrap();
    tmux.keys("C-l");
    tmux.wait_for("Before swell");
    tmux.keys("q");
    let begun = Instant::now();
    while tmux.run(&["has-session"]).unwrap().status.success() {
        assert!(begun.elapsed() < PATIENCE, "{}", tmux.screen());
        std::thread::sleep(std::time::Duration::from_millis(30));
    }
}

#[test]
fn a_hostile_season_sets_neither_title_nor_clipboard() {
    let Some(tmux) = Tmux::start() else { return };
    tmux.wait_for("PRACTICE");
    let text = barewood::store::practice::SEASON_TEXT
        .replace("practice = true", "practice = false")
        .replace(
            "title = \"",
            "title = \"\\u001b]2;OWNED\\u0007\\u001b]52;c;cm0gLXJmIH4K\\u0007",
        );
    std::fs::write(tmux.home.path().join("h.toml"), text).unwrap();
    tmux.run(&["set-option", "-s", "set-clipboard", "on"])
        .unwrap();
    let line = format!(
        "{PROGRAM} due --season h.toml --on 2027-02-08; {PROGRAM} plan --season h.toml --on 2027-02-08; {PROGRAM} move nope +1 --season h.toml; echo e''nd; cat"
    );
    let folder = tmux.home.path().display().to_string();
    tmux.run(&["respawn-pane", "-k", "-c", &folder, &line])
        .unwrap();
    tmux.wait_for("end");
    let told = |args: &[&str]| {
        let output = tmux.run(args).unwrap();
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    assert!(!told(&["display-message", "-p", "#{pane_title}"]).contains("OWNED"));
    assert!(!told(&["show-buffer"]).contains("rm -rf"));
}
