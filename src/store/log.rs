//! The log: what the program did, a line each with its time in UTC. There is none unless it is
//! asked for; it never grows beyond its limit, and a log that fails never stops the work.

use crate::domain::harmless::steers;
use chrono::{SecondsFormat, Utc};
use std::fs::{File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// The file's name among the state, where no other is given.
pub const FILE_NAME: &str = "barewood.log";
/// A file longer than this becomes the one before, and a new one is begun.
const MOST_BYTES: u64 = 256 * 1024;
/// One event takes no more than this.
const LONGEST_NOTE: usize = 16 * 1024;

/// Where events are noted; the plain value notes nothing.
#[derive(Debug, Clone, Default)]
pub struct Log(Option<Arc<Open>>);

#[derive(Debug)]
struct Open {
    path: PathBuf,
    file: Mutex<(File, u64)>,
}

impl Log {
    /// A log at the end of a file, which is made where it is absent; with its folder, if that may
    /// be made.
    ///
    /// # Errors
    /// Where it cannot be written, or is no plain file.
    pub fn at(path: &Path) -> io::Result<Self> {
        if std::fs::metadata(path).is_ok_and(|m| !m.is_file()) {
            return Err(io::Error::other("this is no plain file"));
        }
        if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty())
            && !folder.exists()
        {
            std::fs::create_dir_all(folder)?;
        }
        Ok(Self(Some(Arc::new(Open {
            path: path.to_owned(),
            file: Mutex::new(opened(path)?),
        }))))
    }

    /// Where it is, if there is one.
    pub fn path(&self) -> Option<&Path> {
        self.0.as_ref().map(|open| open.path.as_path())
    }

    /// Notes an event; several lines keep its time.
    pub fn note(&self, what: &str) {
        let Some(open) = &self.0 else {
            return;
        };
        let time = Utc::now().to_rfc3339_opts(SecondsFormat::Secs, true);
        let what: String = what.chars().take(LONGEST_NOTE).collect();
        let mut lines = String::new();
        for line in what.lines().filter(|line| !line.trim().is_empty()) {
            lines.push_str(&time);
            lines.push(' ');
            lines.push_str(&line.replace(steers, "?"));
            lines.push('\n');
        }
        let mut held = open.file.lock().unwrap_or_else(PoisonError::into_inner);
        if held.1 >= MOST_BYTES
            && std::fs::rename(&open.path, before(&open.path)).is_ok()
            && let Ok(fresh) = opened(&open.path)
        {
            *held = fresh;
        }
        // In one piece, so that lines of two sessions do not mix.
        if held.0.write_all(lines.as_bytes()).is_ok() {
            held.1 += lines.len() as u64;
        }
    }
}

/// The file before the present one: `barewood.log.1`.
fn before(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".1");
    path.with_file_name(name)
}

fn opened(path: &Path) -> io::Result<(File, u64)> {
    let mut options = OpenOptions::new();
    options.append(true).create(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    let file = options.open(path)?;
    let length = file.metadata()?.len();
    Ok((file, length))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_notes_a_line_an_event_and_nothing_that_steers() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new/a.log");
        let log = Log::at(&path).unwrap();
        log.note("saved: \u{1b}[31mred");
        log.note("two\n\nlines");
        Log::default().note("nowhere");
        let text = std::fs::read_to_string(&path).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 3, "{text}");
        assert!(lines[0].ends_with("Z saved: ?[31mred"), "{text}");
        assert!(lines[0].split_once(' ').unwrap().0.len() == 20, "{text}");
    }

    #[test]
    fn it_never_fills_up() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.log");
        let log = Log::at(&path).unwrap();
        for i in 0..200 {
            log.note(&format!("{i} {}", "x".repeat(8000)));
        }
        log.note(&"y".repeat(1_000_000));
        let sizes: Vec<u64> = std::fs::read_dir(folder.path())
            .unwrap()
            .map(|e| e.unwrap().metadata().unwrap().len())
            .collect();
        assert_eq!(sizes.len(), 2, "this one and the one before");
        assert!(
            sizes.iter().sum::<u64>() < 2 * MOST_BYTES + 40_000,
            "{sizes:?}"
        );
        assert!(std::fs::read_to_string(&path).unwrap().contains("yyy"));
    }

    #[test]
    fn what_is_no_plain_file_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        assert!(Log::at(folder.path()).is_err());
    }
}
