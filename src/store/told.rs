//! What `due` has said of a season, so that it can say what is new.

use super::places::Places;
use super::whole;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};

/// Longest file read.
const MOST_BYTES: u64 = 4 << 20;

/// What was said of one season, a line each.
#[derive(Debug, Default)]
pub struct Told {
    file: Option<PathBuf>,
    lines: BTreeSet<String>,
}

impl Told {
    /// Nothing, and nothing is kept.
    pub fn nowhere() -> Self {
        Self::default()
    }

    /// What was said of the season in that file.
    pub fn of(places: &Places, season: &Path) -> Self {
        let file = file_of(places, "told", season);
        let lines = read(&file).unwrap_or_default();
        Self {
            lines: lines.lines().map(str::to_owned).collect(),
            file: Some(file),
        }
    }

    /// Was this said?
    pub fn holds(&self, line: &str) -> bool {
        self.lines.contains(line)
    }

    /// Keeps what is said now; what is not among it may be new again one day.
    ///
    /// # Errors
    /// Where it cannot be written.
    pub fn keep(&self, said: &[&str]) -> io::Result<()> {
        let Some(file) = &self.file else {
            return Ok(());
        };
        let said: BTreeSet<String> = said.iter().map(|line| (*line).to_owned()).collect();
        if said == self.lines {
            return Ok(());
        }
        let lines: Vec<&str> = said.iter().flat_map(|line| [line, "\n"]).collect();
        whole::put(file, lines.concat().as_bytes())
    }
}

/// Where something of a kind is kept for a season.
pub(super) fn file_of(places: &Places, kind: &str, season: &Path) -> PathBuf {
    let season = std::fs::canonicalize(season).unwrap_or_else(|_| season.to_owned());
    let digest: [u8; 32] = Sha256::digest(season.as_os_str().as_encoded_bytes()).into();
    let number = digest
        .first_chunk()
        .map_or(0, |head| u64::from_be_bytes(*head));
    places.state.join(kind).join(format!("{number:016x}"))
}

/// The text of a file that is not too long.
pub(super) fn read(file: &Path) -> Option<String> {
    let meta = std::fs::metadata(file).ok()?;
    if meta.len() > MOST_BYTES {
        return None;
    }
    std::fs::read_to_string(file).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_said_is_kept_by_season() {
        let folder = tempfile::tempdir().unwrap();
        let places = Places::under(folder.path());
        let season = folder.path().join("a.toml");
        let told = Told::of(&places, &season);
        assert!(!told.holds("today spray"));
        told.keep(&["today spray", "next prune"]).unwrap();
        let told = Told::of(&places, &season);
        assert!(told.holds("today spray") && told.holds("next prune"));
        assert!(!Told::of(&places, &folder.path().join("b.toml")).holds("today spray"));
        told.keep(&["next prune"]).unwrap();
        assert!(!Told::of(&places, &season).holds("today spray"));
    }
}
