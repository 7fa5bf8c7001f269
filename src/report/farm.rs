//! The farm's table as plain text: a row a block, at most eighty columns.

use crate::domain::farm::{FarmRow, Purpose};
use crate::domain::season::Season;
use chrono::{NaiveDate, Timelike};
use std::fmt::Write;

fn day(date: NaiveDate) -> String {
    date.format("%a %e %b").to_string()
}

fn cut(text: &str, room: usize) -> String {
    text.chars().take(room).collect()
}

/// From when to when, or the day it was done.
fn window(p: &Purpose, today: NaiveDate) -> String {
    match (p.done, p.last_safe) {
        (Some(done), _) => format!("done {}", done.format("%-d %b")),
        (None, Some(last)) if p.opens <= today => format!("by {}", day(last)),
        (None, Some(last)) => {
            format!("{}-{}", p.opens.format("%-d %b"), last.format("%-d %b"))
        }
        (None, None) if p.state.is_open() => "not known".to_owned(),
        (None, None) => String::new(),
    }
}

fn planned(p: &Purpose) -> String {
    match p.hour {
        Some(hour) if p.state.is_open() => format!("{} {hour:02}:00", day(p.planned)),
        _ if p.state.is_open() => day(p.planned),
        _ => String::new(),
    }
}

/// The table in groups; every spray of a block stands on a line of its own.
pub fn text(
    season: &Season,
    groups: &[(String, Vec<FarmRow>)],
    words: &str,
    today: NaiveDate,
) -> String {
    let n: usize = groups.iter().map(|g| g.1.len()).sum();
    let of = season.blocks.len();
    let mut out = String::new();
    let narrowed = if words.is_empty() {
        String::new()
    } else {
        format!(", '{words}'")
    };
    let _ = writeln!(
        out,
        "{}, {}: {n} of {of} blocks{narrowed}",
        cut(season.orchard.name.trim(), 40),
        day(today)
    );
    let _ = writeln!(
        out,
        "{:<8} {:<18} {:<12} {:<14} {:<16} {:>5}",
        "state", "block", "spray", "window", "planned", "hours"
    );
    for (name, rows) in groups {
        if !name.is_empty() {
            let _ = writeln!(out, "{name}");
        }
        for row in rows {
            lines(&mut out, row, today);
        }
    }
    out
}

fn lines(out: &mut String, row: &FarmRow, today: NaiveDate) {
    let mut name = cut(&row.name, 18);
    if row.purposes.is_empty() {
        let _ = writeln!(out, "{:<8} {name}", row.state().words());
    }
    for p in &row.purposes {
        let hours = match p.minutes {
            0 => String::new(),
            m => format!("{:.1} h", f64::from(m) / 60.0),
        };
        let line = format!(
            "{:<8} {name:<18} {:<12} {:<14} {:<16} {hours:>5}",
            p.state.words(),
            cut(&p.name, 12),
            window(p, today),
            planned(p)
        );
        let _ = writeln!(out, "{}", line.trim_end());
        name.clear();
    }
    if let Some(until) = row.keep_out {
        let until = until.map_or_else(
            || "until somebody sees that it is dry".to_owned(),
            |t| format!("until {} {:02}:{:02}", day(t.date()), t.hour(), t.minute()),
        );
        let _ = writeln!(out, "{:<8} KEEP OUT {until}", "");
    }
}
