//! The season file: TOML made to be read and edited by hand.
//!
//! [`read`] lists every problem of a file at once, each with its place and what
//! to write instead. [`write()`] puts a changed season back into the text its
//! owner wrote, touching only what changed: comments, order, unknown keys and
//! layout stay. [`fresh()`] makes the text of a new season, with comments.

mod fresh;
mod migrate;
mod parts;
mod problem;
mod reader;
mod sync;
mod write;

pub use fresh::{Comments, fresh};
pub use write::{WriteError, write};

pub use problem::{Problem, Problems};

use super::tree::{Node, Table};
use crate::domain::season::{FORMAT, Season, TargetRow};
use crate::domain::units::shown;
use reader::{About, Found, Reader, Section};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The largest file that is read, in bytes. A season of a hundred thousand
/// tasks is about half of it.
pub const LARGEST_BYTES: usize = 20 * 1024 * 1024;

/// How many problems are collected; beyond that the file is no season file.
const MOST_PROBLEMS: usize = 1000;

/// A season read without problems.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The season.
    pub season: Season,
    /// Worth knowing, nothing to stop for: unknown keys, odd words.
    pub notes: Vec<Problem>,
    /// The text in the present format, where the file was of an older one.
    pub migrated: Option<String>,
}

/// Reads the bytes of a season file: refuses what is too large or not UTF-8.
///
/// # Errors
/// [`Problems`], all of them, in the order of the file.
pub fn read_bytes(bytes: &[u8], name: &str) -> Result<Loaded, Problems> {
    read_bytes_beside(bytes, name, &[])
}

/// The same beside the targets of the grower's own file, which it may name.
///
/// # Errors
/// [`Problems`], all of them, in the order of the file.
pub fn read_bytes_beside(
    bytes: &[u8],
    name: &str,
    shared: &[TargetRow],
) -> Result<Loaded, Problems> {
    if bytes.len() > LARGEST_BYTES {
        return Err(too_large(name));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => read_beside(text, name, shared),
        Err(error) => {
            let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
            let good = String::from_utf8_lossy(good);
            let reader = Reader::new(&good, name);
            Err(alone(reader.problem(
                good.len(),
                String::new(),
                "this is not UTF-8 text from here on".to_owned(),
                "save the file as UTF-8".to_owned(),
            )))
        }
    }
}

fn alone(problem: Problem) -> Problems {
    Problems {
        list: vec![problem],
        newer_format: None,
    }
}

/// Its size is not told: no more of it was read than shows that it is too large.
fn too_large(name: &str) -> Problems {
    alone(Problem {
        file: name.to_owned(),
        line: 1,
        column: 1,
        field: String::new(),
        what: format!(
            "the file is larger than {} MB, the most a season file may have",
            LARGEST_BYTES / (1024 * 1024)
        ),
        fix: "keep one dormant year in a file and weather in its own files".to_owned(),
    })
}

/// Reads the text of a season file; `name` is what messages call it.
///
/// # Errors
/// [`Problems`], all of them, in the order of the file.
pub fn read(text: &str, name: &str) -> Result<Loaded, Problems> {
    read_beside(text, name, &[])
}

/// The same beside the targets of the grower's own file.
///
/// # Errors
/// [`Problems`], all of them, in the order of the file.
pub fn read_beside(text: &str, name: &str, shared: &[TargetRow]) -> Result<Loaded, Problems> {
    if text.len() > LARGEST_BYTES {
        return Err(too_large(name));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let reader = Reader::new(text, name);
    let (document, errors) = DeTable::parse_recoverable(text);
    let table = document.get_ref();
    let format = format_of(table);
    if let Some(newer) = format.filter(|f| *f > i64::from(FORMAT)) {
        let at = table.get("format").map_or(0, |v| v.span().start);
        return Err(Problems {
            list: vec![reader.problem(
                at,
                "format".to_owned(),
                format!("the file has format {newer}, this program knows up to {FORMAT}"),
                "update the program; the file was not touched".to_owned(),
            )],
            newer_format: Some(newer),
        });
    }
    if errors.is_empty()
        && let Some(older) = format.filter(|f| *f < i64::from(FORMAT))
    {
        let Some(migrated) = migrate::upgrade(text, older) else {
            let at = table.get("format").map_or(0, |v| v.span().start);
            return Err(alone(reader.problem(
                at,
                "format".to_owned(),
                format!("no format {older} was ever written"),
                format!("write format = {FORMAT}"),
            )));
        };
        let mut loaded = read_beside(&migrated, name, shared)?;
        loaded.migrated = Some(migrated);
        return Ok(loaded);
    }
    let root = Section::root(&reader, table);
    if format.is_none() {
        if root.has("format") {
            root.complain_at(
                "format",
                "the format is a whole number",
                format!("write format = {FORMAT}"),
            );
        } else {
            reader.note(
                0,
                "format".to_owned(),
                format!("missing, taken as {FORMAT}"),
                format!("write format = {FORMAT} at the top"),
            );
        }
    }
    let mut season = parts::season(&root);
    season.shared_targets = shared.to_vec();
    if errors.is_empty() {
        parts::check_names(&reader, shared);
    }
    let syntax: Vec<(Problem, Range<usize>)> = errors
        .iter()
        .take(MOST_PROBLEMS)
        .map(|e| syntax_problem(&reader, e))
        .collect();
    let outcome = reader.outcome();
    let list = joined(syntax, outcome.found);
    if list.is_empty() {
        Ok(Loaded {
            season,
            notes: outcome.notes,
            migrated: None,
        })
    } else {
        Err(Problems {
            list,
            newer_format: None,
        })
    }
}

/// Reads the grower's own file of targets, in which nothing stands but
/// `[[target]]` tables as in a season file.
///
/// # Errors
/// [`Problems`], all of them, in the order of the file.
pub fn read_targets(text: &str, name: &str) -> Result<Vec<TargetRow>, Problems> {
    if text.len() > LARGEST_BYTES {
        return Err(too_large(name));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let reader = Reader::new(text, name);
    let (document, errors) = DeTable::parse_recoverable(text);
    let root = Section::root(&reader, document.get_ref());
    let rows = parts::targets(&root);
    if errors.is_empty() {
        parts::check_names(&reader, &[]);
    }
    let syntax = errors
        .iter()
        .take(MOST_PROBLEMS)
        .map(|e| syntax_problem(&reader, e))
        .collect();
    let outcome = reader.outcome();
    let mut list = joined(syntax, outcome.found);
    // A key that is not known here would be a target that silently is not what
    // its owner meant: this file is small and is put right at once.
    if list.is_empty() {
        list = outcome.notes;
    }
    if list.is_empty() {
        Ok(rows)
    } else {
        Err(Problems {
            list,
            newer_format: None,
        })
    }
}

/// The season a tree stands for.
pub(super) fn season_of(tree: &Table, shared: &[TargetRow]) -> Result<Season, Problems> {
    let mut document = toml_edit::DocumentMut::new();
    for (key, node) in tree.0.iter().filter(|(k, n)| !n.is_default(k)) {
        document.insert(key, fresh::root_item(key, node));
    }
    read_beside(&document.to_string(), "the joined season", shared).map(|loaded| loaded.season)
}

/// A value as it would stand in a file.
pub(super) fn value_text(node: &Node) -> String {
    fresh::value(node).to_string()
}

fn format_of(table: &DeTable<'_>) -> Option<i64> {
    match table.get("format").map(Spanned::get_ref) {
        Some(DeValue::Integer(n)) => i64::from_str_radix(n.as_str(), n.radix()).ok(),
        _ => None,
    }
}

fn syntax_problem(reader: &Reader<'_>, error: &toml::de::Error) -> (Problem, Range<usize>) {
    let span = error.span().unwrap_or(0..0);
    let problem = reader.problem(
        span.start,
        String::new(),
        format!("not TOML: {}", shown_long(error.message())),
        "look at the quotes, brackets and = signs of this line".to_owned(),
    );
    (problem, span)
}

fn shown_long(message: &str) -> String {
    let words: Vec<String> = message.split_whitespace().take(20).map(shown).collect();
    words.join(" ")
}

/// Syntax errors and the rest in one list: a value that our own words explain is
/// not told twice, and beside broken syntax only plain values are judged.
fn joined(mut syntax: Vec<(Problem, Range<usize>)>, found: Vec<Found>) -> Vec<Problem> {
    let mut ours: Vec<Found> = found;
    syntax.retain(|(_, span)| {
        !ours.iter().any(|f| {
            f.about == About::Value
                && f.span.start <= span.start
                && span.end <= f.span.end
                && !f.span.is_empty()
        })
    });
    if !syntax.is_empty() {
        ours.retain(|f| {
            f.about == About::Value && !syntax.iter().any(|(p, _)| p.line == f.problem.line)
        });
    }
    let mut list: Vec<Problem> = syntax
        .into_iter()
        .map(|(p, _)| p)
        .chain(ours.into_iter().map(|f| f.problem))
        .collect();
    list.sort_by_key(|p| (p.line, p.column));
    list.dedup();
    list.truncate(MOST_PROBLEMS);
    list
}
