//! What a shell may offer for an argument: the ids of the season it would work on.

use crate::cli::season_at::At;
use crate::domain::season::Season;
use crate::store::session::Mode;
use clap_complete::engine::{ArgValueCandidates, CompletionCandidate};
use std::ffi::OsString;
use std::path::PathBuf;

/// The ids of the tasks, each with its title.
pub fn tasks() -> ArgValueCandidates {
    ArgValueCandidates::new(|| {
        of_season(|s| {
            let rows = s.tasks.iter();
            rows.map(|t| offer(t.id.as_str(), &t.title)).collect()
        })
    })
}

/// The ids of the blocks.
pub fn blocks() -> ArgValueCandidates {
    ArgValueCandidates::new(|| {
        of_season(|s| {
            let rows = s.blocks.iter();
            rows.map(|b| offer(b.id.as_str(), &b.name)).collect()
        })
    })
}

/// The ids of the materials.
pub fn materials() -> ArgValueCandidates {
    ArgValueCandidates::new(|| {
        of_season(|s| {
            let rows = s.materials.iter();
            rows.map(|m| offer(m.id.as_str(), &m.name)).collect()
        })
    })
}

/// The ids of the records, each with its day.
pub fn records() -> ArgValueCandidates {
    ArgValueCandidates::new(|| {
        of_season(|s| {
            let rows = s.records.iter();
            rows.map(|r| offer(r.id.as_str(), &r.date.to_string()))
                .collect()
        })
    })
}

fn offer(id: &str, words: &str) -> CompletionCandidate {
    CompletionCandidate::new(id).help(Some(words.to_owned().into()))
}

/// A season that cannot be read offers nothing: a shell that completes is no place for a message.
fn of_season(rows: fn(&Season) -> Vec<CompletionCandidate>) -> Vec<CompletionCandidate> {
    let at = At {
        season: named(&std::env::args_os().collect::<Vec<_>>())
            .or_else(|| std::env::var_os("BAREWOOD_SEASON").map(PathBuf::from)),
        ..At::default()
    };
    at.read_alone(Mode::ReadOnly, false)
        .map_or_else(|_| Vec::new(), |read| rows(&read.season))
}

/// The season file named on the line that is being completed.
fn named(words: &[OsString]) -> Option<PathBuf> {
    let at = words.iter().rposition(|w| w == "-s" || w == "--season");
    if let Some(file) = at.and_then(|at| words.get(at + 1)) {
        return Some(PathBuf::from(file));
    }
    words.iter().rev().find_map(|w| {
        let file = w.to_str()?.strip_prefix("--season=")?;
        Some(PathBuf::from(file))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_named_on_the_line_is_found_in_both_forms() {
        let words = |line: &str| line.split(' ').map(OsString::from).collect::<Vec<_>>();
        let file = Some(PathBuf::from("a.toml"));
        assert_eq!(named(&words("barewood -s a.toml mix")), file);
        assert_eq!(named(&words("barewood --season=a.toml mix")), file);
        assert_eq!(named(&words("barewood mix")), None);
        assert_eq!(named(&words("barewood mix -s")), None);
    }
}
