//! The real binary under faults of the machine: limits of file size, descriptors and memory, two
//! programs at once, no home, no folder, a terminal that takes nothing. After each the season is
//! whole, and holds the old state or the new.
#![cfg(unix)]
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

use portable_pty::{CommandBuilder, PtySize, native_pty_system};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::{Duration, Instant};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_barewood");

/// A season of many tasks in a home of its own.
struct Home {
    folder: TempDir,
}

impl Home {
    fn new() -> Self {
        let home = Self {
            folder: TempDir::new().unwrap(),
        };
        let made = home.sh(&format!(
            "exec {PROGRAM} start --yes --latitude 43 --longitude 1 --zone Europe/Paris --block peach::3 --block apple::9 --leaf-drop 2026-11-20 --on 2026-11-25 --season season.toml"
        ));
        assert!(made.status.success(), "{}", words(&made));
        home
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join("season.toml")
    }

    /// A shell in the home, with nothing else around it.
    fn sh(&self, script: &str) -> Output {
        Command::new("/bin/sh")
            .args(["-c", script])
            .env_clear()
            .env("HOME", self.folder.path())
            .env("PATH", "/usr/bin:/bin")
            .current_dir(self.folder.path())
            .output()
            .unwrap()
    }

    /// A move of the first copper to a day of January, under some limits.
    fn moved(&self, limits: &str, day: u32) -> Output {
        self.sh(&format!(
            "{limits} exec {PROGRAM} move first-copper 2027-01-{day:02} --season season.toml --on 2026-11-25"
        ))
    }

    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.folder.path())
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

fn words(output: &Output) -> String {
    format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

fn read(file: &Path) -> barewood::domain::season::Season {
    let text = std::fs::read_to_string(file).unwrap();
    barewood::store::season_file::read(&text, "season.toml")
        .unwrap_or_else(|e| panic!("{e}"))
        .season
}

/// After a fault: the old text or a whole new one, and nothing half-written beside it.
fn old_or_new(home: &Home, old: &str, output: &Output) {
    let now = std::fs::read_to_string(home.file()).unwrap();
    let ended = output.status.code();
    if ended == Some(0) {
        read(&home.file());
    } else {
        assert_eq!(now, old, "{}", words(output));
    }
    let left: Vec<String> = home
        .names()
        .into_iter()
        .filter(|n| n.starts_with('.') && !n.starts_with(".local"))
        .collect();
    // A process that was killed outright may leave its lock or a temporary file: the next start
    // sweeps them up.
    if ended.is_some() {
        assert!(left.is_empty(), "{left:?} {}", words(output));
    }
}

#[test]
fn a_file_that_may_not_grow_is_left_as_it_was() {
    let home = Home::new();
    let old = std::fs::read_to_string(home.file()).unwrap();
    assert!(old.len() > 2048);
    // One block of 512 bytes or 1 KiB, as the shell counts; the signal is ignored, so that the
    // write fails.
    let output = home.moved("trap '' XFSZ; ulimit -f 1;", 9);
    assert_eq!(output.status.code(), Some(3), "{}", words(&output));
    assert!(words(&output).contains("season.toml"), "{}", words(&output));
    old_or_new(&home, &old, &output);
}

#[test]
fn too_few_descriptors_or_too_little_memory_never_tear_it() {
    let home = Home::new();
    for (i, limits) in [
        "ulimit -n 4;",
        "ulimit -n 5;",
        "ulimit -n 6;",
        "ulimit -n 8;",
        "ulimit -v 12000;",
        "ulimit -v 20000;",
        "ulimit -v 40000;",
        "ulimit -v 80000;",
    ]
    .iter()
    .enumerate()
    {
        let old = std::fs::read_to_string(home.file()).unwrap();
        let output = home.moved(limits, 1 + i as u32);
        old_or_new(&home, &old, &output);
        read(&home.file());
    }
    let after = home.moved("", 20);
    assert!(after.status.success(), "{}", words(&after));
}

#[test]
fn two_programs_that_save_at_once_lose_nothing() {
    let home = Home::new();
    let before = read(&home.file());
    let script = |task: &str| {
        // Each tries until its turn comes; every success is counted.
        format!(
            "n=0; i=1; while [ $i -le 25 ]; do if {PROGRAM} move {task} 2027-01-$(printf %02d $i) --why step-$i --season season.toml --on 2026-11-25 >/dev/null 2>&1; then n=$((n+1)); fi; i=$((i+1)); done; echo $n"
        )
    };
    let run = |task: &str| {
        Command::new("/bin/sh")
            .args(["-c", &script(task)])
            .env_clear()
            .env("HOME", home.folder.path())
            .env("PATH", "/usr/bin:/bin")
            .current_dir(home.folder.path())
            .stdout(std::process::Stdio::piped())
            .spawn()
            .unwrap()
    };
    let ids = ["first-copper", "winterise"];
    let runs = ids.map(run);
    let counts = runs.map(|child| {
        let out = child.wait_with_output().unwrap();
        String::from_utf8(out.stdout)
            .unwrap()
            .trim()
            .parse::<usize>()
            .unwrap()
    });
    let after = read(&home.file());
    for (id, count) in ids.iter().zip(counts) {
        let moves = |season: &barewood::domain::season::Season| {
            season
                .tasks
                .iter()
                .find(|t| t.id.as_str() == *id)
                .unwrap()
                .moved
                .len()
        };
        assert!(count > 0, "{id} never had its turn");
        assert_eq!(moves(&after) - moves(&before), count, "{id}");
    }
}

#[test]
fn without_home_or_folder_it_says_so() {
    let bare = |script: &str, home: Option<&str>| {
        let mut command = Command::new("/bin/sh");
        command
            .args(["-c", script])
            .env_clear()
            .env("PATH", "/usr/bin:/bin");
        if let Some(home) = home {
            command.env("HOME", home);
        }
        command.output().unwrap()
    };
    for home in [None, Some("/nonexistent"), Some("")] {
        for what in [
            "due",
            "swell",
            "check",
            "shell places",
            "weather fetch",
            "start --yes --latitude 1 --longitude 1 --block peach",
        ] {
            let output = bare(&format!("cd /; exec {PROGRAM} {what}"), home);
            let code = output.status.code();
            assert!(
                matches!(code, Some(0..=3)),
                "{what} {home:?}: {code:?} {}",
                words(&output)
            );
            assert!(!words(&output).contains("panicked"), "{}", words(&output));
        }
    }
    let folder = TempDir::new().unwrap();
    let gone = bare(
        &format!(
            "mkdir {0}/x && cd {0}/x && rmdir {0}/x && exec {PROGRAM} due --season season.toml",
            folder.path().display()
        ),
        Some("/nonexistent"),
    );
    assert_eq!(gone.status.code(), Some(3), "{}", words(&gone));
}

#[test]
fn a_season_made_with_any_mask_can_be_read_by_its_owner_and_keeps_its_mode() {
    use std::os::unix::fs::PermissionsExt;
    for (mask, most) in [("077", 0o600), ("000", 0o666), ("027", 0o640)] {
        let home = Home::new();
        std::fs::remove_file(home.file()).unwrap();
        let made = home.sh(&format!(
            "umask {mask}; exec {PROGRAM} start --yes --latitude 43 --longitude 1 --zone Europe/Paris --block peach::3 --season masked.toml"
        ));
        assert!(made.status.success(), "{}", words(&made));
        let file = home.folder.path().join("masked.toml");
        let mode = |f: &Path| std::fs::metadata(f).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&file) & !most, 0, "mask {mask}: {:o}", mode(&file));
        assert_eq!(mode(&file) & 0o600, 0o600);
        // A folder shared by a group: the mode its owner gave stays through a save.
        std::fs::set_permissions(&file, PermissionsExt::from_mode(0o660)).unwrap();
        let moved = home.sh(&format!(
            "umask {mask}; exec {PROGRAM} move first-copper 2027-01-05 --season masked.toml"
        ));
        assert!(moved.status.success(), "{}", words(&moved));
        assert_eq!(mode(&file), 0o660, "mask {mask}");
    }
}

#[test]
fn saving_never_waits_for_a_terminal_that_takes_nothing() {
    let home = Home::new();
    let size = PtySize {
        rows: 24,
        cols: 80,
        pixel_width: 0,
        pixel_height: 0,
    };
    let pair = native_pty_system().openpty(size).unwrap();
    let mut command = CommandBuilder::new(PROGRAM);
    command.args(["open", "--on", "2026-11-25", "--season"]);
    command.arg(home.file());
    command.env_clear();
    command.env("HOME", home.folder.path());
    command.env("TERM", "xterm-256color");
    command.env("LANG", "C.UTF-8");
    command.cwd(home.folder.path());
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut keys = pair.master.take_writer().unwrap();
    // Nobody reads: whole screens pile up until the terminal takes no more.
    for _ in 0..30 {
        keys.write_all(b"?\x1b").unwrap();
        std::thread::sleep(Duration::from_millis(40));
    }
    let before = std::fs::read_to_string(home.file()).unwrap();
    let begun = Instant::now();
    // On a busy machine esc and the key after it are read as one: each stands alone here.
    for key in [b"\x1b", b">"].into_iter().cycle() {
        if std::fs::read_to_string(home.file()).unwrap() != before {
            break;
        }
        assert!(
            begun.elapsed() < Duration::from_secs(20),
            "the save waits for the screen"
        );
        keys.write_all(key).unwrap();
        std::thread::sleep(Duration::from_millis(400));
    }
    child.kill().unwrap();
    let _ = child.wait();
    read(&home.file());
}
