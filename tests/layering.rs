//! The arrows between the rooms, as DEVELOPERS.md draws them: a boundary that
//! nobody checks decays.

use std::fs;
use std::path::{Path, PathBuf};

/// A room, and what its files may not mention.
const FORBIDDEN: &[(&str, &[&str])] = &[
    (
        "src/domain",
        &[
            "std::fs",
            "std::io",
            "std::net",
            "std::env",
            "std::process",
            "std::thread",
            "std::time::",
            "Utc::now",
            "Local::now",
            "ratatui",
            "crossterm",
            "clap",
            "toml",
            "directories",
            "tempfile",
            "crate::store",
            "crate::report",
            "crate::cli",
            "crate::tui",
        ],
    ),
    (
        "src/store",
        &[
            "ratatui",
            "crossterm",
            "clap::",
            "crate::cli",
            "crate::tui",
            "crate::report",
        ],
    ),
    (
        "src/report",
        &[
            "ratatui",
            "crossterm",
            "clap::",
            "crate::cli",
            "crate::tui",
            "std::fs",
        ],
    ),
    ("src/cli", &["ratatui", "crossterm"]),
    ("src/tui/model", &["ratatui::", "std::fs"]),
    ("src/tui/update", &["ratatui::", "std::fs"]),
];

fn rust_files(room: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let alone = room.with_extension("rs");
    if alone.is_file() {
        files.push(alone);
    }
    let Ok(entries) = fs::read_dir(room) else {
        return files;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
    files
}

/// The part of a source line that is code.
fn code(line: &str) -> &str {
    line.split("//").next().unwrap_or("")
}

#[test]
fn every_room_keeps_to_its_arrows() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut broken = Vec::new();
    let mut read = 0;
    for (room, words) in FORBIDDEN {
        for file in rust_files(&root.join(room)) {
            read += 1;
            let text = fs::read_to_string(&file).unwrap();
            for (number, line) in text.lines().enumerate() {
                for word in words.iter().filter(|w| code(line).contains(**w)) {
                    broken.push(format!("{}:{}: {word}", file.display(), number + 1));
                }
            }
        }
    }
    assert!(
        read > 20,
        "the rooms were not found: read only {read} files"
    );
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn the_top_level_is_as_ordered() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "tests",
        "sample-season.toml",
        "target",
    ];
    let strays: Vec<String> = fs::read_dir(root)
        .unwrap()
        .flatten()
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.') && !allowed.contains(&name.as_str()))
        .collect();
    assert!(
        strays.is_empty(),
        "beside the ordered top level: {strays:?}"
    );
}

/// What has the raw streams, function by function: everything else says what it says through
/// `domain::harmless`. `.clippy.toml` forbids the streams, the lints `print_stdout` and
/// `print_stderr` the macros; an exception is an `allow`, and these are all there are.
const RAW_STREAMS: [(&str, &str); 7] = [
    ("src/cli.rs", "fn told() -> Clean<std::io::Stderr> {"),
    ("src/cli.rs", "fn stdout_is_terminal() -> bool {"),
    ("src/cli.rs", "fn raw_told() -> std::io::Stderr {"),
    ("src/main.rs", "fn main() -> ExitCode {"),
    ("src/tui/terminal.rs", "pub fn open() -> io::Result<Self> {"),
    (
        "src/tui/terminal/held.rs",
        "fn catch_errors() -> Option<(OwnedFd, File)> {",
    ),
    ("src/tui/terminal/held.rs", "pub fn give_back() {"),
];

#[test]
fn foreign_text_has_one_way_out() {
    let mut found = Vec::new();
    for file in rust_files(Path::new("src")) {
        let text = fs::read_to_string(&file).unwrap();
        let name = file.display().to_string();
        let mut lines = text.lines();
        while let Some(line) = lines.next() {
            let loosens = line.contains("allow(") || line.contains("expect(");
            let lint = ["clippy::disallowed_methods", "clippy::print_"]
                .iter()
                .any(|lint| line.contains(lint));
            assert!(
                !(lint && line.contains("#![")),
                "{name}: a whole file may not print: {line}"
            );
            if loosens && lint {
                let what = lines.next().unwrap_or_default().trim().to_owned();
                found.push((name.clone(), what));
            }
            let raw = ["/dev/stdout", "/dev/stderr", "/proc/self/fd", "from_raw_fd"];
            let used = raw.iter().find(|raw| code(line).contains(*raw));
            assert!(used.is_none(), "{name}: {line}");
        }
    }
    found.sort();
    found.dedup();
    let mut named = RAW_STREAMS.map(|(file, what)| (file.to_owned(), what.to_owned()));
    named.sort();
    assert_eq!(found, named);
}
