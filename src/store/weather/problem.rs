//! What is wrong with a weather file: where, what, and what to write instead.

use crate::domain::harmless::steers;
use std::fmt;

use thiserror::Error;

/// At most this many problems are spelled out; the rest are counted.
pub(super) const LISTED: usize = 20;
/// A quoted piece of a file is cut to this many characters.
const QUOTED: usize = 40;
/// A file name is cut to this many characters.
const FILE_NAME: usize = 300;

/// Text from a file made fit for a message: one line, no control or direction-changing
/// characters, not too long.
pub fn shown(bytes: &[u8]) -> String {
    tamed(bytes, QUOTED)
}

/// A sentence of somebody else made fit for a message: as [`shown`], but longer.
pub fn shown_long(text: &str) -> String {
    tamed(text.as_bytes(), FILE_NAME)
}

/// A file's name made fit for a message: as [`shown`], but long enough for a path.
pub(super) fn shown_file(file: &str) -> String {
    tamed(file.as_bytes(), FILE_NAME)
}

fn tamed(bytes: &[u8], most: usize) -> String {
    // Four bytes a character at most, so that a huge field is not decoded for its first words.
    let head = bytes.get(..(most + 1) * 4).unwrap_or(bytes);
    let text = String::from_utf8_lossy(head);
    let mut shown: String = text.trim().chars().take(most).map(tame).collect();
    if text.trim().chars().count() > most || head.len() < bytes.len() {
        shown.push('…');
    }
    shown
}

/// Control characters would let a file drive the terminal; direction marks would let it lie.
fn tame(c: char) -> char {
    if steers(c) { '\u{FFFD}' } else { c }
}

/// One thing wrong with one place of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportProblem {
    /// File as named by the caller, made fit for a message.
    pub file: String,
    /// Line, from 1; 0 if the file as a whole is meant.
    pub line: u64,
    /// Column or field.
    pub column: Option<String>,
    /// What is wrong.
    pub what: String,
    /// What to write or do instead.
    pub instead: String,
}

impl fmt::Display for ImportProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if self.line > 0 {
            write!(f, ", line {}", self.line)?;
        }
        if let Some(column) = &self.column {
            write!(f, ", column {column}")?;
        }
        write!(f, ": {}; {}", self.what, self.instead)
    }
}

/// Problems in the order found: the first twenty in full, the rest counted.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problems {
    file: String,
    listed: Vec<ImportProblem>,
    more: usize,
}

impl Problems {
    pub(super) fn new(file: &str) -> Self {
        Self {
            file: shown_file(file),
            ..Self::default()
        }
    }

    /// Notes a problem. The texts are only made if there is room for them.
    pub(super) fn add(
        &mut self,
        line: u64,
        column: Option<&[u8]>,
        texts: impl FnOnce() -> (String, String),
    ) {
        if self.listed.len() >= LISTED {
            self.more += 1;
            return;
        }
        let (what, instead) = texts();
        self.listed.push(ImportProblem {
            file: self.file.clone(),
            line,
            column: column.map(shown),
            what,
            instead,
        });
    }

    /// Notes a cell that should hold a number.
    pub(super) fn bad_number(&mut self, line: u64, column: &[u8], cell: &[u8]) {
        self.add(line, Some(column), || {
            let what = format!("\"{}\" is not a number", shown(cell));
            (
                what,
                "write a number such as -2.5, or leave the cell empty".into(),
            )
        });
    }

    /// Notes that a file goes over to another station: a file is one place's record.
    pub(super) fn other_station(&mut self, line: u64, before: &[u8], now: &[u8]) {
        self.add(line, Some(b"station"), || {
            let what = format!("station {} after station {}", shown(now), shown(before));
            (what, "keep one station in a file".into())
        });
    }

    /// The problems spelled out.
    pub fn listed(&self) -> &[ImportProblem] {
        &self.listed
    }

    /// How many more there are.
    pub const fn more(&self) -> usize {
        self.more
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.listed.is_empty()
    }

    /// How many there are in all.
    pub fn count(&self) -> usize {
        self.listed.len() + self.more
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.listed.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        if self.more > 0 {
            write!(f, "\n{}: and {} more like these", self.file, self.more)?;
        }
        Ok(())
    }
}

/// Why a weather file was not taken.
#[derive(Debug, Error)]
pub enum ImportError {
    /// The file could not be read.
    #[error("{file}: cannot be read: {source}")]
    Read {
        /// File as named by the caller.
        file: String,
        /// The system's reason.
        source: std::io::Error,
    },
    /// The file was read but its content is wrong.
    #[error("{0}")]
    Content(Problems),
}

impl ImportError {
    pub(super) fn read(file: &str, source: std::io::Error) -> Self {
        Self::Read {
            file: shown_file(file),
            source,
        }
    }

    /// A single problem with the file as a whole or one line of it.
    pub(crate) fn one(file: &str, line: u64, what: &str, instead: &str) -> Self {
        let mut problems = Problems::new(file);
        problems.add(line, None, || (what.to_string(), instead.to_string()));
        Self::Content(problems)
    }

    /// The problems with the content, if that is what is wrong.
    pub fn problems(&self) -> &[ImportProblem] {
        match self {
            Self::Content(problems) => problems.listed(),
            Self::Read { .. } => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_steers_a_terminal_survives() {
        assert_eq!(shown(b"\x1b[31mred\x07"), "\u{FFFD}[31mred\u{FFFD}");
        assert_eq!(
            shown("a\u{202E}b\u{9b}c\nd".as_bytes()),
            "a\u{FFFD}b\u{FFFD}c\u{FFFD}d"
        );
        assert_eq!(shown(&[b'x'; 5000]).chars().count(), 41);
        assert_eq!(shown_file("seasons/a\nb.csv"), "seasons/a\u{FFFD}b.csv");
        assert_eq!(shown(&[0xFF, 0xFE]), "\u{FFFD}\u{FFFD}");
    }

    #[test]
    fn twenty_are_listed_and_the_rest_counted() {
        let mut problems = Problems::new("x.csv");
        for line in 1..=25 {
            problems.add(line, Some(b"tmin_c"), || {
                ("bad".into(), "write good".into())
            });
        }
        let text = problems.to_string();
        assert_eq!(text.lines().count(), 21);
        assert!(text.starts_with("x.csv, line 1, column tmin_c: bad; write good\n"));
        assert!(text.ends_with("x.csv: and 5 more like these"));
        assert_eq!(problems.count(), 25);
    }
}
