//! The whole plan as plain text: what the board shows, without a board. Where the season
//! stands, the ribbon of the year, every task of each lane with its worst warning.

use super::ribbon::{crowd_sign, span, task_sign};
use super::wrap::{WIDTH, wrapped};
use crate::domain::outlook::{Outlook, SpeciesSwell};
use crate::domain::season::{Lane, Season, Task, TaskState};
use chrono::{Datelike, Months, NaiveDate};
use serde_json::{Value, json};
use std::fmt::Write;

/// Columns for names on the left of the ribbon.
const NAMES: usize = 16;

/// `{"on","season","lanes":[{lane,tasks:[…]}],"swell":[…]}`. Stable.
///
/// # Errors
/// None is expected: everything in it is text and numbers.
pub fn json(season: &Season, outlook: &Outlook) -> serde_json::Result<String> {
    let lanes: Vec<Value> = Lane::ALL
        .iter()
        .map(|lane| {
            let tasks: Vec<Value> = cards(season, *lane)
                .iter()
                .map(|task| {
                    json!({
                        "task": task.id.as_str(),
                        "title": task.title,
                        "state": state(task),
                        "date": task.day().to_string(),
                        "blocks": season.blocks_of(task).map(|b| b.id.as_str()).collect::<Vec<_>>(),
                        "worst": outlook.worst_of(&task.id).map(|l| l.words()),
                        "standing": task
                            .state
                            .is_open()
                            .then(|| super::standing::json(outlook, &task.id)),
                    })
                })
                .collect();
            json!({ "lane": lane.key(), "tasks": tasks })
        })
        .collect();
    let swell: Vec<Value> = outlook
        .swells
        .iter()
        .map(|s| {
            json!({
                "species": s.species.words(), "p10": s.dates[0].to_string(), "p50": s.dates[1].to_string(),
                "p90": s.dates[2].to_string(), "last_safe": s.safe.to_string(),
            })
        })
        .collect();
    serde_json::to_string_pretty(&json!({
        "on": outlook.today.to_string(),
        "season": season.season,
        "lanes": lanes,
        "swell": swell,
        "weather": outlook.ground.lines(),
    }))
}

/// The same as text, eighty columns wide, in ASCII but for names.
pub fn text(season: &Season, outlook: &Outlook) -> String {
    let mut out = String::new();
    let today = outlook.today;
    let practice = if season.practice {
        "; PRACTICE, invented"
    } else {
        ""
    };
    out.push_str(&wrapped(
        &format!(
            "{} {}, as of {}{practice}",
            season.orchard.name,
            season.season,
            today.format("%a %Y-%m-%d")
        ),
        0,
    ));
    let swells = &outlook.swells;
    for swell in swells {
        out.push_str(&wrapped(&standing(swell, today), 2));
    }
    if swells.is_empty() {
        out.push_str("  no estimate of swell\n");
    }
    out.push_str(&super::ground::text(&outlook.ground));
    out.push('\n');
    out.push_str(&ribbon(season, swells, today));
    for lane in Lane::ALL {
        let _ = writeln!(out, "\n{}", lane.words());
        let tasks = cards(season, lane);
        if tasks.is_empty() {
            out.push_str("  nothing\n");
        }
        for task in tasks {
            card(&mut out, season, outlook, task);
        }
    }
    out
}

fn standing(swell: &SpeciesSwell, today: NaiveDate) -> String {
    let [p10, p50, p90] = swell.dates;
    let away = match (swell.safe - today).num_days() {
        0 => "today".to_owned(),
        n if n > 0 => format!("in {n} days"),
        n => format!("{} days ago", -n),
    };
    format!(
        "{} swells {p50}, 80 % between {p10} and {p90}; last safe day {}, {away}",
        swell.species.words(),
        swell.safe
    )
}

/// The cards of a lane, in date order.
fn cards(season: &Season, lane: Lane) -> Vec<&Task> {
    let mut tasks: Vec<&Task> = season.tasks.iter().filter(|t| t.lane == lane).collect();
    tasks.sort_by(|a, b| a.day().cmp(&b.day()).then_with(|| a.id.cmp(&b.id)));
    tasks
}

fn state(task: &Task) -> &'static str {
    match task.state {
        TaskState::Planned => "to do",
        TaskState::Done(_) => "done",
        TaskState::Skipped(_) => "skipped",
    }
}

/// The same with how far it is, where a part is done.
fn progress(season: &Season, task: &Task) -> String {
    let word = state(task);
    let progress = season.progress(task);
    if progress.is_partly() {
        format!("{word}, {} of {} blocks done", progress.done, progress.of)
    } else {
        word.to_owned()
    }
}

fn card(out: &mut String, season: &Season, outlook: &Outlook, task: &Task) {
    let blocks: Vec<&str> = if season.blocks_of(task).count() == season.blocks.len() {
        vec!["all blocks"]
    } else {
        season.blocks_of(task).map(|b| b.name.as_str()).collect()
    };
    let line = format!(
        "{} {}: {}, {} ({})",
        task.day().format("%a %Y-%m-%d"),
        progress(season, task),
        task.title,
        blocks.join(", "),
        task.id
    );
    out.push_str(&wrapped(&line, 2));
    if let Some(warning) = outlook.reason_of(&task.id) {
        let n = outlook.warnings_of(&task.id).count();
        let more = if n > 1 {
            format!(" (and {} more: barewood check)", n - 1)
        } else {
            String::new()
        };
        let words = format!("{}: {}{more}", warning.level.words(), warning.message);
        out.push_str(&wrapped(&words, 6));
    }
    if let Some(standing) = outlook.standing(&task.id) {
        let window = super::standing::window(standing, outlook.today);
        if !window.is_empty() {
            out.push_str(&wrapped(&format!("window: {window}"), 6));
        }
    }
}

/// Months, tasks, and a row a kind of tree, with what the signs mean.
fn ribbon(season: &Season, swells: &[SpeciesSwell], today: NaiveDate) -> String {
    let (from, to) = span(season, swells);
    let days = (to - from).num_days().max(1);
    let columns = (WIDTH - NAMES) as i64;
    let column = |day: NaiveDate| {
        let at = (day - from).num_days();
        (0..days)
            .contains(&at)
            .then(|| usize::try_from(at * columns / days).unwrap_or(0))
    };
    let clamped = |day: NaiveDate| match column(day) {
        Some(at) => at,
        None if day < from => 0,
        None => columns as usize - 1,
    };
    let blank = || vec![' '; columns as usize];
    let put = |row: &mut Vec<char>, at: usize, text: &str| {
        for (cell, c) in row.iter_mut().skip(at).zip(text.chars()) {
            *cell = c;
        }
    };
    let mut months = blank();
    let mut month = from;
    while month < to {
        if let Some(at) = column(month) {
            put(&mut months, at, &format!("|{}", month.format("%b")));
        }
        match month
            .with_day(1)
            .and_then(|m| m.checked_add_months(Months::new(1)))
        {
            Some(next) if next > month => month = next,
            _ => break,
        }
    }
    let mut now = blank();
    if let Some(at) = column(today) {
        put(&mut now, at, "v");
    }
    let mut crowd: Vec<(usize, usize, char)> = Vec::new();
    for task in &season.tasks {
        let Some(at) = column(task.day()) else {
            continue;
        };
        let sign = task_sign(task);
        match crowd.iter_mut().find(|(x, ..)| *x == at) {
            Some((_, count, known)) => {
                *count += 1;
                // An open task shows through finished ones.
                if sign == 'o' {
                    *known = sign;
                }
            }
            None => crowd.push((at, 1, sign)),
        }
    }
    let mut tasks = blank();
    for (at, count, sign) in crowd {
        put(&mut tasks, at, &crowd_sign(count, sign).to_string());
    }
    let mut rows = vec![("the year", months), ("today", now), ("tasks", tasks)];
    for swell in swells {
        let mut row = blank();
        let [early, even, late] = swell.dates.map(clamped);
        put(&mut row, early, &"=".repeat(late - early + 1));
        put(&mut row, even, "#");
        if let Some(at) = column(swell.safe) {
            put(&mut row, at, "]");
        }
        rows.push((swell.species.words(), row));
    }
    let mut out = String::new();
    for (name, row) in rows {
        let name: String = name.chars().take(NAMES - 1).collect();
        let line: String = row.into_iter().collect();
        let _ = writeln!(out, "{name:<NAMES$}{}", line.trim_end());
    }
    out.push_str("o task, x done, - skipped, a number: several; = likely swell (8 in 10),\n");
    out.push_str("# even chance, ] last safe day\n");
    out
}
