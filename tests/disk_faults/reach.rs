//! Where the program writes: beside the season, and in its own folders of the home; nowhere else.

use crate::orchard::{Orchard, can, skipped, words};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

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
        path.starts_with(&orchard_folder)
            || own.iter().any(|folder| path.starts_with(home.join(folder)))
            || path.starts_with("/dev")
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
        let calls = "trace=openat,creat,rename,renameat,renameat2,mkdir,mkdirat,link,linkat,symlink,symlinkat,unlink,unlinkat,truncate";
        let output = orchard
            .through(&["strace", "-f", "-o", &trace_name, "-e", calls], run)
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
}
