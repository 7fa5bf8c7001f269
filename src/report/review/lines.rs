//! The sentences of the review, shared by its plain and Markdown forms.

use crate::domain::outlook::DueTask;
use crate::domain::review::{
    Cause, Closing, FinishedTask, FitWindow, MovedTask, Range, Review, SwellChange,
};
use crate::domain::season::{BlockId, HowMany, Reading, Season};
use chrono::NaiveDate;
use std::fmt::Write;

/// A day of this year, short.
pub(super) fn short(date: NaiveDate) -> String {
    date.format("%-d %b").to_string()
}

fn weekday(date: NaiveDate) -> String {
    date.format("%a %-d %b").to_string()
}

pub(super) fn headline(season: &Season, review: &Review) -> String {
    let since = if review.first {
        "the first of this season".to_owned()
    } else {
        format!("since {}", review.since.format("%a %Y-%m-%d"))
    };
    format!(
        "{}, {}: review of {}, {since}",
        season.orchard.name.trim(),
        season.season,
        review.today.format("%a %Y-%m-%d")
    )
}

pub(super) fn finished(task: &FinishedTask) -> String {
    let what = if task.skipped { "left out" } else { "done" };
    let why = task
        .why
        .as_ref()
        .map_or_else(String::new, |why| format!(": {why}"));
    format!("{} {what} {}{why}", task.title, weekday(task.date))
}

pub(super) fn moved(task: &MovedTask) -> String {
    let mut words = format!("{} {} -> {}", task.title, short(task.from), short(task.to));
    if task.times > 1 {
        let _ = write!(words, ", {} times", task.times);
    }
    if task.times_in_all > task.times {
        let _ = write!(words, ", {} times this season", task.times_in_all);
    }
    if !task.why.is_empty() {
        let _ = write!(words, " ({})", task.why.join("; "));
    }
    words
}

pub(super) fn overdue(task: &DueTask, today: NaiveDate) -> String {
    let days = (today - task.date).num_days();
    format!(
        "{} was due {}, {days} d ago",
        task.title,
        weekday(task.date)
    )
}

pub(super) fn next(task: &DueTask, today: NaiveDate) -> String {
    let level = task
        .worst
        .map_or_else(String::new, |l| format!(" [{}]", l.words()));
    if task.date == today {
        format!("{} today{level}", task.title)
    } else {
        format!("{} {}{level}", task.title, weekday(task.date))
    }
}

/// `10 Mar (28 Feb-20 Mar)`.
pub(super) fn range(range: Range) -> String {
    format!(
        "{} ({}-{})",
        short(range.p50),
        short(range.p10),
        short(range.p90)
    )
}

/// What moved an estimate; nothing where nothing did.
pub(super) fn causes(change: &SwellChange) -> Option<String> {
    let days = change.days()?;
    let signed = |d: i64| format!("{d:+} d");
    let causes: Vec<String> = change
        .causes
        .iter()
        .map(|c: &Cause| format!("{} {}", c.words(), signed(c.days())))
        .collect();
    if days == 0 && causes.is_empty() {
        return None;
    }
    let moved = match days {
        0 => "middle unchanged".to_owned(),
        d if d < 0 => format!("{} d earlier", -d),
        d => format!("{d} d later"),
    };
    if causes.is_empty() {
        return Some(moved);
    }
    Some(format!("{moved}: {}", causes.join(", ")))
}

/// Changes that say the same are shown once, with the names of their blocks.
pub(super) fn grouped(swell: &[SwellChange]) -> Vec<(String, &SwellChange)> {
    let mut groups: Vec<(Vec<&str>, &SwellChange)> = Vec::new();
    for change in swell {
        let same = groups.iter_mut().find(|(_, g)| {
            g.now == change.now
                && g.then == change.then
                && g.last_safe == change.last_safe
                && g.causes == change.causes
        });
        match same {
            Some((names, _)) => names.push(&change.name),
            None => groups.push((vec![&change.name], change)),
        }
    }
    groups
        .into_iter()
        .map(|(names, change)| (names.join(", "), change))
        .collect()
}

pub(super) fn window(window: &FitWindow) -> String {
    let to = if window.from.date() == window.to.date() {
        window.to.format("%H:%M").to_string()
    } else {
        window.to.format("%a %-d %b %H:%M").to_string()
    };
    format!(
        "{}-{to} {}",
        window.from.format("%a %-d %b %H:%M"),
        window.words
    )
    .trim_end()
    .to_owned()
}

/// How long a window is still open, and whether a spray is planned in it.
pub(super) fn closing(closing: &Closing) -> String {
    let left = match closing.days_left {
        d if d < 0 => format!("closed {} d ago", -d),
        0 => "last safe day is today".to_owned(),
        d => format!("last safe day {}, {d} d left", short(closing.last_safe)),
    };
    let planned = match closing.planned {
        Some(date) if date <= closing.last_safe => format!("spray planned {}", short(date)),
        Some(date) => format!("spray planned {}, TOO LATE", short(date)),
        None => "NO SPRAY PLANNED".to_owned(),
    };
    format!("{left}; {planned}")
}

/// Windows that close alike on one block share a line, with the names of the targets.
pub(super) fn closing_groups(list: &[Closing]) -> Vec<(String, &Closing)> {
    let mut groups: Vec<(Vec<&str>, &Closing)> = Vec::new();
    for closing in list {
        let same = groups.iter_mut().find(|(_, g)| {
            g.block == closing.block
                && g.last_safe == closing.last_safe
                && g.planned == closing.planned
        });
        match same {
            Some((names, _)) => names.push(&closing.name),
            None => groups.push((vec![&closing.name], closing)),
        }
    }
    groups
        .into_iter()
        .map(|(names, c)| (format!("{} on {}", names.join(", "), c.block_name), c))
        .collect()
}

pub(super) fn names(season: &Season, blocks: &[BlockId]) -> String {
    if blocks.len() == season.blocks.len() {
        return "all blocks".to_owned();
    }
    let names: Vec<&str> = blocks
        .iter()
        .map(|id| season.block(id).map_or(id.as_str(), |b| b.name.as_str()))
        .collect();
    names.join(", ")
}

pub(super) fn reading(season: &Season, reading: &Reading) -> String {
    let blocks = reading.blocks();
    let what = match reading {
        Reading::DegreeDays { total, base, .. } => format!("{total} degree days base {base}"),
        Reading::Buds { bbch, how_many, .. } => match how_many {
            HowMany::All => format!("buds at BBCH {bbch}"),
            some => format!("{} buds at BBCH {bbch}", some.words()),
        },
        Reading::Rain { rain, .. } => format!("rain {rain}"),
    };
    let place = if blocks.is_empty() {
        "all blocks".to_owned()
    } else {
        names(season, blocks)
    };
    format!("{what} on {place}, {}", weekday(reading.date()))
}

/// How many stand, in words.
pub(super) fn standing(review: &Review) -> String {
    use crate::domain::rules::Level;
    let of = |level| {
        review
            .risks
            .iter()
            .filter(|r| !r.is_new && r.warning.level == level)
            .count()
    };
    let (stops, cautions) = (of(Level::Stop), of(Level::Caution));
    if stops + cautions == 0 {
        return String::new();
    }
    let plural = |n: usize, word: &str| match n {
        0 => None,
        1 => Some(format!("1 {word}")),
        _ => Some(format!("{n} {word}s")),
    };
    let parts: Vec<String> = [plural(stops, "stop"), plural(cautions, "caution")]
        .into_iter()
        .flatten()
        .collect();
    format!("{} as before", parts.join(" and "))
}
