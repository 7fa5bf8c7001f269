//! Where the program writes: beside the season, and in its own folders of the home; nowhere else.

use crate::orchard::{Orchard, PROGRAM, TODAY, can, skipped, words};
use portable_pty::{CommandBuilder, PtySize, native_pty_system};
use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// The calls that change something.
const CALLS: &str = "trace=openat,creat,rename,renameat,renameat2,mkdir,mkdirat,link,linkat,symlink,symlinkat,unlink,unlinkat,truncate";

/// Paths a traced run made, opened to write, renamed, linked or removed.
fn written(trace: &str) -> Vec<PathBuf> {
    let changes = |line: &str| {
        let opened = line.contains("openat(")
            && ["O_CREAT", "O_WRONLY", "O_RDWR", "O_TRUNC"]
                .iter()
                .any(|flag| line.contains(flag));
        opened || !line.contains("openat(")
    };
    trace
        .lines()
        .filter(|line| !line.contains(" = -1 ") && line.contains('"') && changes(line))
        .flat_map(|line| line.split('"').skip(1).step_by(2))
        .filter(|text| text.starts_with('/'))
        .map(PathBuf::from)
        .collect()
}

#[test]
fn nothing_is_written_outside_the_seasons_folder_and_its_own() {
    if !can("strace", &["-o", "/dev/null", "true"]) {
        return skipped("where it writes", "strace does not run here");
    }
    let holder = TempDir::new().unwrap();
    let orchard_folder = holder.path().join("orchard");
    let home = holder.path().join("home");
    fs::create_dir_all(&orchard_folder).unwrap();
    fs::create_dir_all(&home).unwrap();
    let orchard = Orchard::begin(&orchard_folder);
    let days = holder.path().join("days.csv");
    let rows = (1..=20).map(|day| format!("2026-11-{day:02},2.0,{}.0\n", 9 + day % 5));
    let csv: String = std::iter::once("date,tmin_c,tmax_c\n".to_owned())
        .chain(rows)
        .collect();
    fs::write(&days, csv).unwrap();
    let days = days.display().to_string();
    let own = [
        ".config/barewood",
        ".local/share/barewood",
        ".local/state/barewood",
        ".cache/barewood",
    ];
    let allowed = |path: &Path| {
        let is_own = |folder: &&str| {
            let folder = home.join(folder);
            // Its own folders, and those above them where they are not there yet.
            path.starts_with(&folder) || (path.starts_with(&home) && folder.starts_with(path))
        };
        path.starts_with(&orchard_folder) || own.iter().any(is_own) || path.starts_with("/dev")
    };

    let runs: [&[&str]; 8] = [
        &["weather", "add", &days],
        &["move", "first-copper", "2027-01-05"],
        &["delay", "first-copper", "--days", "2"],
        &["read", "leaf-drop", "2026-11-20"],
        &["swell"],
        &["review", "--done"],
        &["check"],
        &["export", "json"],
    ];
    let mut seen = 0;
    for run in runs {
        let trace = holder.path().join("trace");
        let trace_name = trace.display().to_string();
        let output = orchard
            .through(&["strace", "-f", "-o", &trace_name, "-e", CALLS], run)
            .env("HOME", &home)
            .output()
            .unwrap();
        assert!(
            output.status.code().is_some_and(|c| c < 2),
            "{run:?}: {}",
            words(&output)
        );
        let paths = written(&fs::read_to_string(&trace).unwrap());
        seen += paths.len();
        let outside: Vec<&PathBuf> = paths.iter().filter(|p| !allowed(p)).collect();
        assert!(outside.is_empty(), "{run:?}: {outside:?}");
    }
    assert!(seen > 20, "the trace shows what was written: {seen}");
    // A session at the board: a card a day later, saved.
    let trace = holder.path().join("board");
    at_the_board(&orchard, &home, &trace);
    let paths = written(&fs::read_to_string(&trace).unwrap());
    assert!(paths.contains(&orchard.file()), "the board saved nothing");
    let outside: Vec<&PathBuf> = paths.iter().filter(|p| !allowed(p)).collect();
    assert!(outside.is_empty(), "board: {outside:?}");
}

fn at_the_board(orchard: &Orchard, home: &Path, trace: &Path) {
    let pair = native_pty_system().openpty(PtySize::default()).unwrap();
    let mut command = CommandBuilder::new("strace");
    command.args(["-f", "-e", CALLS, "-o"]);
    command.arg(trace);
    command.args([PROGRAM, "--on", TODAY, "--season"]);
    command.arg(orchard.file());
    command.env_clear();
    command.env("HOME", home);
    command.env("PATH", "/usr/bin:/bin");
    command.env("TERM", "xterm-256color");
    command.cwd(&orchard.folder);
    let before = orchard.text();
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut screen = pair.master.try_clone_reader().unwrap();
    let (say, drawn) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let mut bytes = [0; 4096];
        while screen.read(&mut bytes).is_ok_and(|n| n > 0) {
            let _ = say.send(());
        }
    });
    let mut keys = pair.master.take_writer().unwrap();
    drawn.recv_timeout(Duration::from_secs(60)).unwrap();
    keys.write_all(b">").unwrap();
    let until = Instant::now() + Duration::from_secs(60);
    while orchard.text() == before {
        assert!(Instant::now() < until, "nothing was saved");
        std::thread::sleep(Duration::from_millis(20));
    }
    keys.write_all(b"q").unwrap();
    while child.try_wait().unwrap().is_none() {
        assert!(Instant::now() < until, "the board does not leave");
        std::thread::sleep(Duration::from_millis(20));
    }
}
