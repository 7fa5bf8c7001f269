//! The review one reads: at most forty lines of sixty columns, whatever the size of the farm.
//! What is in danger first, then the week in order, then what changed, by groups. Danger is folded
//! where it is much, never dropped; everything else stands whole in the long review.

mod page;

use super::lines;
use crate::domain::chance::JobChance;
use crate::domain::outlook::DueTask;
use crate::domain::phenology::species::Species;
use crate::domain::records;
use crate::domain::review::Review;
use crate::domain::rules::{self, Level, Warning};
use crate::domain::run_sheet::{RunSheet, Standing};
use crate::domain::season::{BlockId, Season, TaskId, TaskKind};
use crate::domain::units::count;
use chrono::NaiveDate;
use page::{broken, cut, section};
use std::collections::BTreeMap;
use std::fmt::Write;
use unicode_width::UnicodeWidthStr;

/// Columns of a line.
pub const COLUMNS: usize = 60;
/// Lines in all.
pub const LINES: usize = 40;

/// Lines that each section may take.
const DANGER: usize = 12;
/// Lines for stops of their own among them.
const STOPS: usize = 7;
const WEEK: usize = 8;
const CHANGED: usize = 5;
const BEHIND: usize = 4;
/// Lines for what the dates rest on.
const GROUND: usize = 3;

/// The review in at most [`LINES`] lines of at most [`COLUMNS`] columns.
pub fn brief(
    season: &Season,
    review: &Review,
    sheet: Option<&RunSheet>,
    chances: &[JobChance],
) -> String {
    let since = if review.first {
        "the first of this season".to_owned()
    } else {
        format!("since {}", day(review.since))
    };
    let of_week = format!(": week of {}, {since}", day(review.today));
    // A long name gives way to the days.
    let room = COLUMNS.saturating_sub(of_week.width());
    let name: String = season.orchard.name.trim().chars().take(room).collect();
    let mut out = cut(&format!("{name}{of_week}"));
    out.push_str(&cut(&head(season, review, sheet)));
    let ground = review.around.ground.lines();
    let ground = ground
        .iter()
        .flat_map(|line| broken(&format!("note: {line}")));
    out.extend(ground.take(GROUND));
    let mut dangers = danger(season, review, sheet);
    dangers.extend(sheet.and_then(|sheet| unlikely(season, sheet, chances)));
    section(&mut out, "In danger", &dangers, DANGER);
    section(
        &mut out,
        "This week, in order",
        &week(season, review, sheet),
        WEEK,
    );
    section(&mut out, "What changed", &changed(season, review), CHANGED);
    section(&mut out, "Behind", &behind(season, review), BEHIND);
    // To be noted elsewhere: years later it tells whether the records are those of this day.
    if let Some(head) = records::short_head_of(season) {
        out.push_str(&cut(&format!("Records: head {head}")));
    }
    out.push_str("All of it: barewood review --all. The label decides.\n");
    out
}

fn day(date: NaiveDate) -> String {
    date.format("%a %-d %b").to_string()
}

fn head(season: &Season, review: &Review, sheet: Option<&RunSheet>) -> String {
    let stops = review
        .risks
        .iter()
        .filter(|r| r.warning.level == Level::Stop)
        .count();
    let open = season.tasks.iter().filter(|t| t.state.is_open()).count();
    let done = season.tasks.len() - open;
    let mut line = format!(
        "{stops} STOP; {open} open, {done} done; {}",
        count(season.blocks.len(), "block", "blocks")
    );
    if let Some(sheet) = sheet.filter(|s| s.short_min > 0) {
        let _ = write!(
            line,
            "; short by {:.1} h",
            f64::from(sheet.short_min) / 60.0
        );
    }
    line
}

/// Blocks in few words: names while they are few, else kinds with their numbers.
pub fn some_blocks(season: &Season, ids: &[BlockId]) -> String {
    if ids.len() == season.blocks.len() && ids.len() > 1 {
        return "all blocks".to_owned();
    }
    let blocks = || ids.iter().filter_map(|id| season.block(id));
    if ids.len() <= 3 {
        let names: Vec<&str> = blocks().map(|b| b.name.as_str()).collect();
        return names.join(", ");
    }
    let mut kinds: Vec<(Species, usize)> = Vec::new();
    for block in blocks() {
        match kinds.iter_mut().find(|k| k.0 == block.species) {
            Some(k) => k.1 += 1,
            None => kinds.push((block.species, 1)),
        }
    }
    let words: Vec<String> = kinds
        .iter()
        .map(|(s, n)| format!("{n} {}", many(s.words(), *n)))
        .collect();
    words.join(", ")
}

fn many(kind: &str, n: usize) -> String {
    match kind {
        _ if n == 1 => kind.to_owned(),
        k if k.ends_with('y') => format!("{}ies", k.trim_end_matches('y')),
        k if k.ends_with("ch") => format!("{k}es"),
        "other" => "others".to_owned(),
        k => format!("{k}s"),
    }
}

/// The blocks a warning is about.
fn blocks_of(season: &Season, warning: &Warning) -> Vec<BlockId> {
    if let Some(block) = &warning.block {
        return vec![block.clone()];
    }
    let task = warning.task.as_ref().and_then(|id| season.task(id));
    task.map_or_else(Vec::new, |t| {
        season.blocks_of(t).map(|b| b.id.clone()).collect()
    })
}

/// Stops by rule, new and old alike, then what cannot be done in time, then what closes.
fn danger(season: &Season, review: &Review, sheet: Option<&RunSheet>) -> Vec<String> {
    let mut items = Vec::new();
    if let Some(sheet) = sheet {
        let mut late: Vec<BlockId> = Vec::new();
        for job in sheet.standing(Standing::TooLate) {
            if !late.contains(&job.block) {
                late.push(job.block.clone());
            }
        }
        if !late.is_empty() {
            items.push(format!(
                "STOP short of hours: {} would be too late; barewood run-sheet",
                some_blocks(season, &late)
            ));
        }
    }
    let mut groups: Vec<(&'static str, Vec<BlockId>, Vec<&TaskId>, bool)> = Vec::new();
    for risk in &review.risks {
        let w = &risk.warning;
        if w.level != Level::Stop {
            continue;
        }
        let place = groups
            .iter()
            .position(|g| g.0 == w.rule)
            .unwrap_or_else(|| {
                groups.push((w.rule, Vec::new(), Vec::new(), false));
                groups.len() - 1
            });
        if let Some(group) = groups.get_mut(place) {
            for id in blocks_of(season, w) {
                if !group.1.contains(&id) {
                    group.1.push(id);
                }
            }
            if let Some(task) = w.task.as_ref().filter(|t| !group.2.contains(t)) {
                group.2.push(task);
            }
            group.3 |= risk.is_new;
        }
    }
    // What finds no line of its own is named in one: a stop is folded, never dropped.
    let rest = groups.split_off(groups.len().min(STOPS));
    let title = |rule: &'static str| rules::rule(rule).map_or(rule, |r| r.title);
    let also: Vec<&str> = rest.iter().map(|g| title(g.0)).collect();
    for (rule, blocks, tasks, is_new) in groups {
        let title = title(rule);
        let new = if is_new { "new: " } else { "" };
        let sprays = match tasks.as_slice() {
            [] => String::new(),
            [one] => season
                .task(one)
                .map_or_else(String::new, |t| format!(" ({})", t.title)),
            several => format!(" ({} sprays)", several.len()),
        };
        items.push(format!(
            "STOP {new}{title}: {}{sprays}",
            some_blocks(season, &blocks)
        ));
    }
    if !also.is_empty() {
        items.push(format!("STOP also: {}", also.join("; ")));
    }
    let mut closing: BTreeMap<(NaiveDate, u8), Vec<BlockId>> = BTreeMap::new();
    for c in review
        .closing
        .iter()
        .filter(|c| (0..=7).contains(&c.days_left))
    {
        let standing = match c.planned {
            Some(d) if d <= c.last_safe => 2,
            Some(_) => 1,
            None => 0,
        };
        let blocks = closing.entry((c.last_safe, standing)).or_default();
        if !blocks.contains(&c.block) {
            blocks.push(c.block.clone());
        }
    }
    for ((last, standing), blocks) in closing {
        let what = match standing {
            0 => "NOTHING PLANNED",
            1 => "planned TOO LATE",
            _ => "planned in time",
        };
        items.push(format!(
            "last safe {}: {}, {what}",
            day(last),
            some_blocks(season, &blocks)
        ));
    }
    items
}

/// Work that past winters seldom left the hours for: fewer than nine in ten, the rarest first.
fn unlikely(season: &Season, sheet: &RunSheet, chances: &[JobChance]) -> Option<String> {
    let mut seldom: Vec<(&JobChance, &BlockId)> = chances
        .iter()
        .filter(|c| c.chance.of > 0 && c.chance.done * 10 < c.chance.of * 9)
        .filter_map(|c| Some((c, &sheet.jobs.get(c.job)?.block)))
        .collect();
    seldom.sort_by_key(|(c, _)| c.chance.done);
    let rarest = seldom.first()?.0.chance.words();
    let mut blocks: Vec<BlockId> = Vec::new();
    for (_, block) in &seldom {
        if !blocks.contains(block) {
            blocks.push((*block).clone());
        }
    }
    Some(format!(
        "chance to finish under 9 in 10: {} (worst {rarest}); barewood run-sheet --chance",
        some_blocks(season, &blocks)
    ))
}

/// Day by day: what the run sheet has, else what is due.
fn week(season: &Season, review: &Review, sheet: Option<&RunSheet>) -> Vec<String> {
    let mut items = Vec::new();
    let end = review
        .today
        .checked_add_days(chrono::Days::new(7))
        .unwrap_or(review.today);
    let mut on_sheet: Vec<&TaskId> = Vec::new();
    if let Some(sheet) = sheet {
        for (date, minutes) in sheet.days.iter().filter(|d| d.0 < end) {
            let mut mixes: Vec<(&str, Vec<BlockId>)> = Vec::new();
            let own: Vec<_> = sheet
                .stints
                .iter()
                .filter(|s| s.from.date() == *date)
                .collect();
            for job in own.iter().filter_map(|s| sheet.jobs.get(s.job)) {
                on_sheet.push(&job.task);
                match mixes.iter_mut().find(|m| m.0 == job.mix) {
                    Some(m) if m.1.contains(&job.block) => {}
                    Some(m) => m.1.push(job.block.clone()),
                    None => mixes.push((&job.mix, vec![job.block.clone()])),
                }
            }
            let from = own.iter().map(|s| s.from).min();
            let to = own.iter().map(|s| s.to).max();
            if let Some((from, to)) = from.zip(to) {
                let what: Vec<String> = mixes
                    .iter()
                    .map(|(mix, blocks)| format!("{mix} on {}", some_blocks(season, blocks)))
                    .collect();
                items.push(format!(
                    "{} {}-{} {}",
                    day(*date),
                    from.format("%H:%M"),
                    to.format("%H:%M"),
                    what.join("; ")
                ));
            } else if minutes.iter().all(|m| *m == 0) && items.len() < 3 {
                items.push(format!("{} no fit hours", day(*date)));
            }
        }
    }
    let mut due: Vec<(String, String, Vec<BlockId>)> = Vec::new();
    // Sprays have windows, other work can wait a day: they come first where lines are short.
    let waits = |task: &DueTask| {
        season
            .task(&task.task)
            .is_none_or(|t| t.kind != TaskKind::Spray)
    };
    let mut tasks: Vec<&DueTask> = review.overdue.iter().chain(&review.next).collect();
    tasks.sort_by_key(|t| waits(t));
    for task in tasks {
        if on_sheet.contains(&&task.task) {
            continue;
        }
        let mut when = if task.date < review.today {
            "late".to_owned()
        } else {
            day(task.date)
        };
        // Why stands above: no line asks for work that a stop speaks against.
        if task.worst == Some(Level::Stop) {
            when.push_str(", STOP");
        }
        match due.iter_mut().find(|d| d.0 == when && d.1 == task.title) {
            Some(d) => d.2.extend(task.blocks.iter().cloned()),
            None => due.push((when, task.title.clone(), task.blocks.clone())),
        }
    }
    items.extend(due.into_iter().map(|(when, title, mut blocks)| {
        let mut seen: Vec<BlockId> = Vec::new();
        blocks.retain(|b| {
            let is_new = !seen.contains(b);
            seen.push(b.clone());
            is_new
        });
        format!("{when}: {title}, {}", some_blocks(season, &blocks))
    }));
    items
}

fn changed(season: &Season, review: &Review) -> Vec<String> {
    let mut items = Vec::new();
    let (done, skipped): (Vec<_>, Vec<_>) = review.finished.iter().partition(|t| !t.skipped);
    for (word, list) in [("done", done), ("skipped", skipped)] {
        if !list.is_empty() {
            let mut titles: Vec<(String, usize)> = Vec::new();
            for task in &list {
                let why = task.why.as_ref();
                let said = why.map_or_else(
                    || task.title.clone(),
                    |why| format!("{} ({why})", task.title),
                );
                match titles.iter_mut().find(|t| t.0 == said) {
                    Some(t) => t.1 += 1,
                    None => titles.push((said, 1)),
                }
            }
            let words: Vec<String> = titles
                .iter()
                .map(|(title, n)| {
                    if *n > 1 {
                        format!("{title} x{n}")
                    } else {
                        title.clone()
                    }
                })
                .collect();
            items.push(format!("{} {word}: {}", list.len(), words.join("; ")));
        }
    }
    if !review.moved.is_empty() {
        let later = review.moved.iter().filter(|m| m.to > m.from).count();
        items.push(format!(
            "{} moved, {later} of them later",
            review.moved.len()
        ));
    }
    let mut swells: Vec<(i64, Vec<BlockId>)> = Vec::new();
    for change in &review.swell {
        let days = change.days().unwrap_or(0);
        match swells.iter_mut().find(|s| s.0 == days) {
            Some(s) => s.1.push(change.block.clone()),
            None => swells.push((days, vec![change.block.clone()])),
        }
    }
    swells.sort_by_key(|s| s.0);
    let words: Vec<String> = swells
        .iter()
        .map(|(days, blocks)| {
            let moved = match days {
                0 => "as before".to_owned(),
                d if *d < 0 => format!("{} d earlier", -d),
                d => format!("{d} d later"),
            };
            format!("{} {moved}", some_blocks(season, blocks))
        })
        .collect();
    if !words.is_empty() {
        items.push(format!("swell: {}", words.join("; ")));
    }
    let new: Vec<&Warning> = review
        .risks
        .iter()
        .filter(|r| r.is_new && r.warning.level == Level::Caution)
        .map(|r| &r.warning)
        .collect();
    if !new.is_empty() || !review.cleared.is_empty() {
        items.push(format!(
            "{}, {} gone",
            count(new.len(), "new caution", "new cautions"),
            count(review.cleared.len(), "warning", "warnings")
        ));
    }
    if !review.readings.is_empty() {
        let noted = count(review.readings.len(), "reading", "readings");
        items.push(format!("{noted} noted"));
    }
    items
}

fn behind(season: &Season, review: &Review) -> Vec<String> {
    let mut items = Vec::new();
    for state in &review.reentry {
        items.push(format!(
            "keep out: {}: {}",
            some_blocks(season, &state.blocks),
            state.standing.words()
        ));
    }
    if !review.flaws.is_empty() {
        items.push(format!(
            "RECORDS: {} do not match their seals",
            review.flaws.len()
        ));
    }
    if !review.around.short.is_empty() {
        let words: Vec<&str> = review
            .around
            .short
            .iter()
            .map(|s| s.words.as_str())
            .collect();
        items.push(format!("short: {}", words.join("; ")));
    }
    if !review.incomplete.is_empty() {
        items.push(format!(
            "records: {} lack something a law asks for",
            review.incomplete.len()
        ));
    }
    if let Some(first) = review.look.first() {
        let more = match review.look.len() {
            1 => String::new(),
            n => format!("; {} more looks", n - 1),
        };
        items.push(format!("look at: {}: {}{more}", first.what, first.how));
    }
    let standing = lines::standing(review);
    if !standing.is_empty() {
        items.push(standing);
    }
    items
}
