//! What is wrong in a season file, where, and what to write instead.

use crate::domain::units::shown;
use std::fmt;

/// One thing that is wrong, or one gentle note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The file, as its owner names it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Where in the plan, for instance `task[3] "second-copper".date`; items count from 1.
    pub field: String,
    /// What is wrong.
    pub what: String,
    /// What to do about it, as an order: `write …`, `remove …`.
    pub fix: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}", shown(&self.file), self.line, self.column)?;
        if !self.field.is_empty() {
            write!(f, " {}", self.field)?;
        }
        write!(f, ": {}", self.what)?;
        if !self.fix.is_empty() {
            write!(f, "; {}", self.fix)?;
        }
        Ok(())
    }
}

/// Everything that is wrong in a file. Nothing of such a file is used.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problems {
    /// All of it, in the order of the file.
    pub list: Vec<Problem>,
    /// The format number, where the only trouble is that a newer program wrote the file.
    pub newer_format: Option<i64>,
}

/// How many problems a message lists; the rest is counted.
const LISTED: usize = 100;

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.list.iter().take(LISTED).enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        let more = self.list.len().saturating_sub(LISTED);
        if more > 0 {
            write!(f, "\n… and {more} more")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

/// Finds the line and column of a byte.
#[derive(Debug)]
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        let starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(i, _)| i + 1))
            .collect();
        Self { text, starts }
    }

    /// Line and column, both from 1; columns count characters.
    pub(super) fn at(&self, byte: usize) -> (usize, usize) {
        let byte = byte.min(self.text.len());
        let line = self.starts.partition_point(|s| *s <= byte).max(1);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let column = self
            .text
            .as_bytes()
            .get(start..byte)
            .map_or(0, |b| b.iter().filter(|c| (**c & 0xC0) != 0x80).count());
        (line, column + 1)
    }
}

/// The known word nearest to what was written, if any is near.
pub(super) fn nearest<'k>(
    written: &str,
    known: impl IntoIterator<Item = &'k str>,
) -> Option<&'k str> {
    let written = written.to_lowercase();
    known
        .into_iter()
        .map(|k| (strsim::jaro_winkler(&written, &k.to_lowercase()), k))
        .filter(|(likeness, _)| *likeness > 0.8)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, k)| k)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one_and_in_characters() {
        let lines = Lines::new("ab\nüx = 1\n");
        assert_eq!(lines.at(0), (1, 1));
        assert_eq!(lines.at(3), (2, 1));
        assert_eq!(lines.at(5), (2, 2)); // ü is two bytes, one character
        assert_eq!(lines.at(999), (3, 1));
    }

    #[test]
    fn names_the_nearest_word_only_if_near() {
        assert_eq!(nearest("materiel", ["material", "block"]), Some("material"));
        assert_eq!(nearest("zzz", ["material", "block"]), None);
    }
}
