//! Inside a terminal multiplexer, where one is installed: the same screen, the same keys.

use crate::steering::{CHANGES, VIEWS};
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

    /// Nobody set the title of the pane or of its window, or put anything into the clipboard.
    fn assert_untouched(&self) {
        let told = |args: &[&str]| {
            let output = self.run(args).unwrap();
            String::from_utf8_lossy(&output.stdout).into_owned()
        };
        let titles = told(&["display-message", "-p", "#{pane_title} #{window_name}"]);
        assert!(!titles.contains("owned"), "{titles}");
        assert_eq!(told(&["list-buffers"]), "");
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

/// In single quotes for a shell.
fn quoted(word: &str) -> String {
    format!("'{}'", word.replace('\'', "'\\''"))
}

#[test]
fn a_hostile_season_sets_neither_title_nor_clipboard() {
    let Some(tmux) = Tmux::start() else { return };
    tmux.wait_for("PRACTICE");
    let season = crate::hostile::season_in(tmux.home.path());
    tmux.run(&["set-option", "-s", "set-clipboard", "on"])
        .unwrap();
    // What looks, with and without `--json`, what changes something, and what refuses.
    let views = VIEWS.iter().flat_map(|args| {
        let json = args.iter().copied().chain(["--json"]).collect::<Vec<_>>();
        [args.to_vec(), json]
    });
    let changes = CHANGES.iter().filter(|args| args[0] != "open").step_by(3);
    let all = views.chain(changes.map(|args| args.to_vec()));
    let lines = all.map(|args| {
        let words: Vec<String> = args.iter().map(|word| quoted(word)).collect();
        let (words, season) = (words.join(" "), quoted(season.to_str().unwrap()));
        format!(
            "{PROGRAM} {words} --on 2027-02-08 --season {season} </dev/null; echo \"$?\" >>ran\n"
        )
    });
    let script: Vec<String> = lines.collect();
    std::fs::write(tmux.home.path().join("all.sh"), script.concat()).unwrap();
    let folder = tmux.home.path().display().to_string();
    tmux.run(&[
        "respawn-pane",
        "-k",
        "-c",
        &folder,
        "sh all.sh; clear; echo all-r''an; cat",
    ])
    .unwrap();
    let begun = Instant::now();
    while !tmux.screen().contains("all-ran") {
        assert!(begun.elapsed() < 5 * PATIENCE, "{}", tmux.screen());
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
    let ran = std::fs::read_to_string(tmux.home.path().join("ran")).unwrap();
    assert_eq!(ran.lines().count(), script.len());
    println!("{} commands in a multiplexer", ran.lines().count());
    tmux.assert_untouched();
    // And the board itself.
    let board = format!(
        "{PROGRAM} --on 2027-02-08 --season {}",
        quoted(season.to_str().unwrap())
    );
    tmux.run(&["respawn-pane", "-k", "-c", &folder, &board])
        .unwrap();
    tmux.wait_for("Before swell");
    for keys in [
        "Enter", "Escape", "S", "q", "V", "q", "e", "Escape", "?", "Escape", "R", "q",
    ] {
        tmux.keys(keys);
        // Esc and a letter on its heels would be that letter with Alt.
        std::thread::sleep(std::time::Duration::from_millis(200));
    }
    tmux.assert_untouched();
}
