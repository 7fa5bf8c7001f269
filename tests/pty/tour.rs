//! The tour through the practice season on the real board, recorded and played back; and the
//! screens of the README. `BAREWOOD_RECORD=1 cargo test --test pty tour` makes both anew.

use crate::terminal::{Pty, non_zero, seen};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// The recording: an asciicast file of version 2, lines of JSON.
const CAST: &str = "tests/data/tour.cast";
/// No larger than this.
const MOST_BYTES: usize = 120_000;
const SIZE: (u16, u16) = (80, 24);

fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn is_recording() -> bool {
    std::env::var("BAREWOOD_RECORD").is_ok_and(|v| v == "1")
}

/// What the board sent, piece by piece, with the time a reader needs for each.
struct Recorder {
    pty: Pty,
    taken: usize,
    seconds: f64,
    events: Vec<Value>,
}

impl Recorder {
    /// Takes what came since the last piece; a reader looks at it for so long.
    fn take(&mut self, look_s: f64) {
        self.pty.settle();
        let bytes = self.pty.bytes();
        let text = std::str::from_utf8(&bytes[self.taken..]).expect("whole characters");
        // A player has nobody to answer.
        let text = text.replace("\x1b[5n", "");
        if !text.is_empty() {
            self.events.push(json!([self.seconds, "o", text]));
        }
        self.taken = bytes.len();
        self.seconds += look_s;
    }

    /// Keys, one after the other, then what they bring.
    fn keys(&mut self, keys: &[&str], words: &str, look_s: f64) {
        for key in keys {
            self.pty.send(key);
            self.take(0.4);
        }
        self.pty.wait_for(words);
        self.take(look_s);
    }

    fn cast(&self) -> String {
        let header = json!({
            "version": 2,
            "width": SIZE.0,
            "height": SIZE.1,
            "title": "barewood: the tour of the practice season (invented; times set for reading)",
            "env": {"TERM": "xterm-256color"},
        });
        let lines = std::iter::once(&header).chain(&self.events);
        lines.map(Value::to_string).collect::<Vec<_>>().join("\n") + "\n"
    }
}

/// What each step shows, in order.
const SEEN: [&str; 8] = [
    "tour 1 of 5",
    "tour 2 of 5",
    "Blocks:",
    "tour 3 of 5",
    "tour 4 of 5",
    "tour 5 of 5",
    "Rain delay:",
    "that was the tour",
];

#[test]
fn the_tour_is_walked_with_ones_own_keys_and_ends_with_a_rain_delay() {
    let pty = Pty::start(&["open"], &[], SIZE);
    pty.wait_for("Begin your season");
    let mut tour = Recorder {
        pty,
        taken: 0,
        seconds: 0.0,
        events: Vec::new(),
    };
    tour.take(2.0);
    tour.keys(&["\x1b"], "T takes a tour", 0.0);
    tour.pty.wait_for("7-17h");
    tour.take(3.0);
    tour.keys(&["T"], "tour 1 of 5", 3.0);
    for _ in 0..4 {
        if tour.pty.screen().contains("tour 1 of 5") {
            tour.keys(&["d"], "tour ", 0.8);
        }
    }
    tour.keys(&[], "tour 2 of 5", 2.0);
    tour.keys(&["\r"], "Blocks:", 5.0);
    tour.keys(&["\x1b"], "tour 3 of 5", 2.0);
    tour.keys(&["H"], "tour 4 of 5", 5.0);
    tour.keys(&["S"], "tour 5 of 5", 5.0);
    tour.keys(&["B"], "Before swell", 1.5);
    tour.keys(&["r"], "Rain delay:", 3.0);
    tour.keys(&["p"], "Rain delay:", 4.0);
    tour.keys(&["\r"], "that was the tour", 4.0);
    tour.pty.send("q");
    assert_eq!(tour.pty.end().exit_code(), 0);
    let cast = tour.cast();
    follows(&cast);
    if is_recording() {
        std::fs::write(file(CAST), cast).unwrap();
    }
}

/// Plays a recording on an independent terminal and finds each step in its order.
fn follows(cast: &str) {
    assert!(cast.len() < MOST_BYTES, "{} bytes", cast.len());
    let mut lines = cast
        .lines()
        .map(|l| serde_json::from_str::<Value>(l).unwrap());
    let header = lines.next().unwrap();
    assert_eq!(header["version"], 2);
    let size = |key: &str| u16::try_from(header[key].as_u64().unwrap()).unwrap();
    let mut terminal = vt100::Parser::new(non_zero(size("height")), non_zero(size("width")), 0);
    let mut wanted = SEEN.iter().peekable();
    let mut last = 0.0;
    for event in lines {
        let (at, kind) = (event[0].as_f64().unwrap(), event[1].as_str().unwrap());
        assert!(at >= last && kind == "o", "{event}");
        last = at;
        terminal.process(event[2].as_str().unwrap().as_bytes());
        let screen = seen(terminal.screen());
        while wanted.next_if(|words| screen.contains(**words)).is_some() {}
    }
    assert_eq!(wanted.next(), None, "a step is missing");
}

#[test]
fn the_recorded_tour_plays_and_shows_every_step() {
    follows(&std::fs::read_to_string(file(CAST)).unwrap());
}

/// Board, swell and hours of the practice season as the README shows them.
fn screens() -> [String; 3] {
    let mut pty = Pty::practice();
    pty.wait_for("7-17h");
    pty.settle();
    let board = pty.screen();
    pty.send("S");
    pty.wait_for("chance that swell has begun");
    pty.settle();
    let swell = pty.screen();
    pty.send("q");
    pty.wait_for("Before swell");
    pty.send("/mild spell\r");
    pty.wait("the mark", |s| {
        s.lines()
            .any(|l| l.starts_with('>') && l.contains("Copper on the cher"))
    });
    pty.send("H");
    pty.wait_for("dry in under");
    pty.settle();
    let hours = pty.screen();
    pty.send("qq");
    assert_eq!(pty.end().exit_code(), 0);
    [board, swell, hours]
}

#[test]
fn the_readme_shows_the_screens_of_the_tour_as_they_are() {
    let readme = std::fs::read_to_string(file("README.md")).unwrap();
    let (head, rest) = readme.split_once("## What it looks like").unwrap();
    let (section, tail) = rest.split_once("\n## ").unwrap();
    let mut parts: Vec<String> = section.split("```").map(str::to_owned).collect();
    assert_eq!(parts.len(), 7, "three screens between words");
    for (i, screen) in screens().iter().enumerate() {
        let fenced = format!("text\n{}\n", screen.trim_end());
        if is_recording() {
            parts[2 * i + 1] = fenced;
        } else {
            assert_eq!(
                parts[2 * i + 1],
                fenced,
                "the README shows another screen; see the head of this file"
            );
        }
    }
    if is_recording() {
        let section = parts.join("```");
        let text = format!("{head}## What it looks like{section}\n## {tail}");
        std::fs::write(file("README.md"), text).unwrap();
    }
}
