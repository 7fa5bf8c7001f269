//! Mending a season file that cannot be read: what is wrong is put aside as comments, line by
//! line or item by item, so that nothing of the owner's text is lost; where that does not help,
//! the newest earlier version that reads is offered.

use super::backups;
use super::disk::Disk;
use super::season_file::{LARGEST_BYTES, Problems, read};
use std::path::{Path, PathBuf};

/// What stands before a line that was put aside.
pub const MARK: &str = "#! put aside: ";

/// Rounds after which mending gives up: each takes at least one line out of the way.
const MOST_ROUNDS: usize = 400;

/// A season made readable.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mended {
    /// Its own text with some lines put aside as comments.
    PutAside {
        /// The text.
        text: String,
        /// Those lines, from 1, with what they held.
        lines: Vec<(usize, String)>,
    },
    /// An earlier version.
    Earlier {
        /// Its text.
        text: String,
        /// Where it is kept.
        path: PathBuf,
    },
}

/// Makes a season readable: from its own text, else from an earlier version. `None` where neither
/// can be.
pub fn mend(disk: &dyn Disk, season: &Path, text: &str) -> Option<Mended> {
    put_aside(text).or_else(|| earlier(disk, season))
}

/// The newest earlier version that reads.
fn earlier(disk: &dyn Disk, season: &Path) -> Option<Mended> {
    backups::list(disk, season).into_iter().find_map(|backup| {
        let text = String::from_utf8(disk.read(&backup.path, LARGEST_BYTES as u64).ok()?).ok()?;
        read(&text, "an earlier version").ok()?;
        Some(Mended::Earlier {
            text,
            path: backup.path,
        })
    })
}

/// Puts aside what is wrong until the rest reads.
fn put_aside(text: &str) -> Option<Mended> {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..MOST_ROUNDS {
        let now = joined(&lines);
        let Err(problems) = read(&now, "mended") else {
            let aside = lines
                .iter()
                .enumerate()
                .filter_map(|(i, l)| Some((i + 1, l.strip_prefix(MARK)?.to_owned())))
                .collect();
            return Some(Mended::PutAside {
                text: now,
                lines: aside,
            });
        };
        lines = better(&lines, &problems)?;
    }
    None
}

/// The lines with the first problem out of the way: its line alone where that leaves fewer
/// problems, else the whole item it stands in.
fn better(lines: &[String], problems: &Problems) -> Option<Vec<String>> {
    let count = problems.list.len();
    let problem = problems.list.first()?;
    let at = problem.line.checked_sub(1)?;
    let left = |lines: &[String]| match read(&joined(lines), "mended") {
        Ok(_) => 0,
        Err(problems) => problems.list.len(),
    };
    let line = without(lines, at..at + 1);
    let item = item_of(lines, at).and_then(|range| without(lines, range));
    let tried: Vec<Vec<String>> = [line, item].into_iter().flatten().collect();
    let best = tried.iter().min_by_key(|t| left(t))?;
    // Where nothing gets better, go on with the smallest step that changes something.
    if left(best) < count {
        Some(best.clone())
    } else {
        tried.into_iter().next_back()
    }
}

/// The lines with a run of them put aside; `None` where all of it is already.
fn without(lines: &[String], run: std::ops::Range<usize>) -> Option<Vec<String>> {
    let mut after = lines.to_vec();
    let mut changed = false;
    for line in after.get_mut(run)? {
        if !line.trim_start().starts_with('#') && !line.trim().is_empty() {
            *line = format!("{MARK}{line}");
            changed = true;
        }
    }
    changed.then_some(after)
}

/// The lines of the list item (`[[task]]` …) that a line stands in, its own tables included.
fn item_of(lines: &[String], at: usize) -> Option<std::ops::Range<usize>> {
    let name = |line: &str| {
        let inner = line.trim().strip_prefix("[[")?;
        Some(inner.split("]]").next()?.trim().to_owned())
    };
    let table = |line: &str| line.trim_start().starts_with('[');
    let mut start = lines.get(..=at)?.iter().rposition(|l| table(l))?;
    // A table of an item, such as [material.label], belongs to the item above it.
    while name(lines.get(start)?).is_none_or(|n| n.contains('.')) {
        start = lines.get(..start)?.iter().rposition(|l| table(l))?;
    }
    let whole = name(lines.get(start)?)?;
    let own = format!("{whole}.");
    let belongs = |line: &str| {
        let head = line.trim().trim_start_matches('[');
        head.starts_with(&own)
    };
    let end = lines
        .iter()
        .enumerate()
        .skip(start + 1)
        .find(|(_, l)| table(l) && !belongs(l))
        .map_or(lines.len(), |(i, _)| i);
    Some(start..end)
}

fn joined(lines: &[String]) -> String {
    let mut text = lines.join("\n");
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::practice::SEASON_TEXT;

    fn mended(text: &str) -> (String, Vec<(usize, String)>) {
        match put_aside(text) {
            Some(Mended::PutAside { text, lines }) => (text, lines),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn one_wrong_value_costs_its_line_alone() {
        let text = SEASON_TEXT.replace("guard_days = 3 ", "guard_days = \"many\" ");
        let (text, lines) = mended(&text);
        assert_eq!(lines.len(), 1, "{lines:?}");
        assert!(lines[0].1.starts_with("guard_days = \"many\""));
        assert!(read(&text, "m").is_ok());
    }

    #[test]
    fn an_item_that_cannot_be_read_is_put_aside_whole_and_the_rest_stays() {
        let all = read(SEASON_TEXT, "s").unwrap().season;
        let text = SEASON_TEXT.replacen("date = 2027-03-24", "date = 2027-02-30", 1);
        let (text, lines) = mended(&text);
        let season = read(&text, "m").unwrap().season;
        assert_eq!(season.tasks.len(), all.tasks.len() - 1);
        assert_eq!(season.records, all.records);
        assert!(
            lines.iter().any(|(_, l)| l.contains("2027-02-30")),
            "{lines:?}"
        );
        // Nothing is lost: the text without the marks is the owner's.
        assert_eq!(
            text.replace(MARK, ""),
            SEASON_TEXT.replacen("date = 2027-03-24", "date = 2027-02-30", 1)
        );
    }

    #[test]
    fn broken_syntax_is_put_aside_too() {
        let text = SEASON_TEXT.replacen("lane = \"mid-winter\"", "lane = \"mid-winter", 1);
        let (text, _) = mended(&text);
        assert!(read(&text, "m").is_ok());
    }

    #[test]
    fn what_is_no_season_at_all_is_not_mended() {
        assert_eq!(put_aside("hello\n"), None);
        assert_eq!(put_aside(""), None);
    }
}
