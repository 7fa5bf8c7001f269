//! The table: a column a season.

use super::{day, off, range};
use crate::domain::history::{BlockYear, NotedEstimate, SeasonRow};
use unicode_width::UnicodeWidthStr;

/// The names on the left: at least and at most.
const LABEL: (usize, usize) = (17, 24);
/// The least a season needs: a date with its range.
const LEAST: usize = 21;

/// A line of the table: its name, and what one season has to say.
type Line<'a> = (String, Box<dyn Fn(&SeasonRow) -> String + 'a>);

/// Seasons side by side in so many columns; of more than fit the latest come first.
pub fn side_by_side(rows: &[SeasonRow], width: usize) -> Vec<String> {
    let longest = rows
        .iter()
        .flat_map(|r| &r.blocks)
        .map(|b| b.name.width() + 1)
        .max();
    let label = longest.unwrap_or(0).clamp(LABEL.0, LABEL.1);
    let fits = (width.saturating_sub(label) / (LEAST + 1)).max(1);
    let room = (width.saturating_sub(label) / fits.min(rows.len()).max(1)).clamp(LEAST, 34) - 1;
    let mut out = Vec::new();
    for (place, group) in rows.rchunks(fits).enumerate() {
        if place > 0 {
            out.push(String::new());
        }
        for (name, cell) in lines(group) {
            let cells: Vec<String> = group.iter().map(|r| fitted(&cell(r), room)).collect();
            out.push(format!(
                "{}{}",
                fitted(&name, label - 1) + " ",
                cells.join(" ")
            ));
        }
    }
    out
}

fn lines(rows: &[SeasonRow]) -> Vec<Line<'_>> {
    let mut lines: Vec<Line<'_>> = vec![
        ("season".to_owned(), Box::new(|r| r.season.clone())),
        ("leaves down".to_owned(), Box::new(leaf_drop)),
        ("planned".to_owned(), Box::new(|r| r.planned.to_string())),
        (
            "done, left out".to_owned(),
            Box::new(|r| format!("{}, {}", r.done, r.skipped)),
        ),
        (
            "dates changed".to_owned(),
            Box::new(|r| r.moves.to_string()),
        ),
        ("records".to_owned(), Box::new(|r| r.records.to_string())),
        ("copper, kg/ha".to_owned(), Box::new(copper)),
    ];
    let mut seen: Vec<&str> = Vec::new();
    for block in rows.iter().flat_map(|r| &r.blocks) {
        let id = block.block.as_str();
        if seen.contains(&id) {
            continue;
        }
        seen.push(id);
        let of = move |say: fn(&BlockYear) -> String| {
            move |r: &SeasonRow| {
                let year = r.blocks.iter().find(|b| b.block.as_str() == id);
                year.map_or_else(|| "-".to_owned(), say)
            }
        };
        lines.push((block.name.clone(), Box::new(|_| String::new())));
        lines.push(("  swell seen".to_owned(), Box::new(of(swell))));
        lines.push(("  bloom seen".to_owned(), Box::new(of(bloom))));
        if rows
            .iter()
            .flat_map(|r| &r.blocks)
            .any(|b| b.block.as_str() == id && !b.noted.is_empty())
        {
            lines.push((
                "  estimated".to_owned(),
                Box::new(of(|b| first(b).map_or_else(none, |n| range(n.range)))),
            ));
            lines.push((
                "    on".to_owned(),
                Box::new(of(|b| first(b).map_or_else(none, asked))),
            ));
            lines.push((
                "    last said".to_owned(),
                Box::new(of(|b| last(b).map_or_else(none, |n| range(n.range)))),
            ));
            lines.push((
                "    on".to_owned(),
                Box::new(of(|b| last(b).map_or_else(none, asked))),
            ));
        }
    }
    lines
}

fn none() -> String {
    "-".to_owned()
}

fn leaf_drop(row: &SeasonRow) -> String {
    let (date, seen) = row.leaf_drop;
    format!("{} {}", day(date), if seen { "seen" } else { "expected" })
}

fn copper(row: &SeasonRow) -> String {
    let more = if row.copper_unknown_uses > 0 {
        " or more"
    } else {
        ""
    };
    format!("{:.2}{more}", row.copper_kg_per_ha)
}

fn swell(year: &BlockYear) -> String {
    match (year.swell_seen, year.swollen_by) {
        (Some(date), _) => day(date),
        (None, Some(date)) => format!("by {}", day(date)),
        (None, None) => "not noted".to_owned(),
    }
}

fn bloom(year: &BlockYear) -> String {
    year.bloom_seen.map_or_else(|| "not noted".to_owned(), day)
}

fn first(year: &BlockYear) -> Option<&NotedEstimate> {
    year.noted.first()
}

/// The last one that was made before swell, if swell was seen.
fn last(year: &BlockYear) -> Option<&NotedEstimate> {
    year.noted
        .iter()
        .rev()
        .find(|n| n.lead_days.is_none_or(|d| d >= 0))
}

fn asked(noted: &NotedEstimate) -> String {
    match noted.error_days {
        Some(days) => format!("{}: {}", day(noted.date), off(days)),
        None => day(noted.date),
    }
}

/// A text cut or filled to a width.
fn fitted(text: &str, columns: usize) -> String {
    let mut cut = String::new();
    let clean: String = text.chars().filter(|c| !c.is_control()).collect();
    if clean.width() <= columns {
        cut.push_str(&clean);
    } else {
        for c in clean.chars() {
            if format!("{cut}{c}").width() + 1 > columns {
                break;
            }
            cut.push(c);
        }
        cut.push('~');
    }
    let fill = columns.saturating_sub(cut.width());
    cut + &" ".repeat(fill)
}
