//! The run sheet as a page for the shed, and as JSON.

use super::review::some_blocks;
use super::wrap::{WIDTH, wrapped};
use crate::domain::chance::{Chance, JobChance};
use crate::domain::mix::{dose, measure::measure, tanks};
use crate::domain::run_sheet::{Help, RunSheet, SheetJob, Standing, Stint};
use crate::domain::season::{BlockId, Season, SprayerKind};
use chrono::NaiveDate;
use serde_json::{Value, json};
use std::fmt::Write;

/// Hours as people say them: `3.9 h`.
pub fn hours(minutes: u32) -> String {
    format!("{:.1} h", f64::from(minutes) / 60.0)
}

fn day(date: NaiveDate) -> String {
    date.format("%a %-d %b").to_string()
}

/// More blocks than this are told by their kinds.
const MANY: usize = 8;

/// Blocks, each once: by name while they are few, else `5 apricots, 4 peaches`.
fn told<'a>(season: &Season, jobs: impl Iterator<Item = &'a SheetJob>) -> String {
    let mut ids: Vec<BlockId> = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    for job in jobs {
        if !ids.contains(&job.block) {
            ids.push(job.block.clone());
            names.push(&job.name);
        }
    }
    if ids.len() > MANY {
        return some_blocks(season, &ids);
    }
    names.join(", ")
}

/// The verdict in one sentence.
pub fn verdict(season: &Season, sheet: &RunSheet) -> String {
    let late = told(season, sheet.standing(Standing::TooLate));
    let closed = told(season, sheet.standing(Standing::Closed));
    let mut said = Vec::new();
    if !late.is_empty() {
        said.push(format!(
            "SHORT by {}: {late} would be too late",
            hours(sheet.short_min)
        ));
    }
    if !closed.is_empty() {
        said.push(format!("past the last safe day: {closed}"));
    }
    if said.is_empty() {
        let planned = sheet.standing(Standing::Planned).count();
        let waits = sheet.standing(Standing::Waits).count();
        return match (planned, waits) {
            (0, 0) => "Nothing can be sprayed in the hours that are known.".to_owned(),
            (0, n) => format!("No fit hours are in sight; {n} can wait beyond the forecast."),
            (n, 0) => format!("All {n} are in time."),
            (n, w) => format!("{n} are in time; {w} can wait beyond the forecast."),
        };
    }
    format!("{}.", said.join("; "))
}

/// The page: at most eighty columns.
pub fn text(season: &Season, sheet: &RunSheet, helps: &[Help]) -> String {
    let mut out = String::new();
    let practice = if season.practice {
        "  PRACTICE: invented"
    } else {
        ""
    };
    out.push_str(&wrapped(
        &format!(
            "Run sheet, {}: {} to {}{practice}",
            season.orchard.name.trim(),
            sheet.from.format("%a %-d %b %H:%M"),
            sheet.to.format("%a %-d %b %H:%M"),
        ),
        0,
    ));
    out.push_str(&wrapped(&verdict(season, sheet), 0));
    let mut idle: Vec<NaiveDate> = Vec::new();
    for (d, minutes) in &sheet.days {
        let own: Vec<&Stint> = sheet
            .stints
            .iter()
            .filter(|s| s.from.date() == *d)
            .collect();
        if own.is_empty() {
            if minutes.iter().any(|m| *m > 0) {
                continue;
            }
            idle.push(*d);
            continue;
        }
        idle_lines(&mut out, &mut idle);
        let _ = writeln!(out, "\n{}", day(*d));
        for (c, crew) in sheet.crews.iter().enumerate() {
            let mine: Vec<&&Stint> = own.iter().filter(|s| s.crew == c).collect();
            if mine.is_empty() {
                continue;
            }
            let driver = crew
                .driver(*d)
                .map_or_else(|| "driver not named".to_owned(), str::to_owned);
            let _ = writeln!(out, "  {}, {driver}", crew.name);
            for stint in mine {
                stint_line(&mut out, sheet, stint);
            }
            tank_lines(&mut out, season, sheet, (*d, c));
        }
    }
    idle_lines(&mut out, &mut idle);
    left_out(&mut out, sheet);
    let late = sheet.standing(Standing::TooLate).count();
    let is_help = |h: &&Help| h.too_late < late || h.short_min < sheet.short_min;
    let (good, idle): (Vec<&Help>, Vec<&Help>) = helps.iter().partition(is_help);
    if !helps.is_empty() {
        out.push_str("\nWhat would help\n");
        for help in good {
            let then = match help.too_late {
                0 => "all are in time".to_owned(),
                n => format!("{n} still too late, short by {}", hours(help.short_min)),
            };
            out.push_str(&wrapped(&format!("{}: {then}", help.what), 2));
        }
        if !idle.is_empty() {
            let words: Vec<&str> = idle.iter().map(|h| h.what.as_str()).collect();
            out.push_str(&wrapped(&format!("no help: {}", words.join(", ")), 2));
        }
    }
    out.push('\n');
    if sheet.jobs.iter().any(|j| j.is_assumed) {
        out.push_str(&wrapped(
            "Lengths marked ~ are assumed: a calibration, a size or a refill time is not known.",
            0,
        ));
    }
    if season.people.is_empty() {
        out.push_str(&wrapped(
            "No people are entered: one driver for each sprayer is taken.",
            0,
        ));
    }
    out.push_str(&wrapped(
        "Earliest last safe day first; nothing stands outside its window. The label decides; this is a plan only: look at the sky, the trees and the buds before you begin.",
        0,
    ));
    out
}

/// Days without fit hours, those that follow on each other in one line.
fn idle_lines(out: &mut String, days: &mut Vec<NaiveDate>) {
    if let (Some(first), Some(last)) = (days.first(), days.last()) {
        let words = if first == last {
            day(*first)
        } else {
            format!("{} to {}", day(*first), day(*last))
        };
        let _ = writeln!(out, "\n{words}: no fit hours");
    }
    days.clear();
}

fn stint_line(out: &mut String, sheet: &RunSheet, stint: &Stint) {
    let Some(job) = sheet.jobs.get(stint.job) else {
        return;
    };
    let minutes = u32::try_from((stint.to - stint.from).num_minutes()).unwrap_or(0);
    let part = match sheet.of(stint.job).count() {
        0 | 1 => "",
        _ if sheet.of(stint.job).next() == Some(stint) => ", begun",
        _ => ", gone on with",
    };
    let assumed = if job.is_assumed { "~" } else { "" };
    let last = job
        .last_safe
        .map_or_else(String::new, |l| format!("last safe {}", day(l)));
    let head = format!(
        "    {}-{}  {}{part}",
        stint.from.format("%H:%M"),
        stint.to.format("%H:%M"),
        job.name
    );
    let tail = format!("{assumed}{}  {last:<20}", hours(minutes));
    let mix = format!("  {}", job.mix);
    let room = WIDTH.saturating_sub(tail.chars().count() + 2);
    let mut line: String = head.chars().take(room).collect();
    if line.chars().count() + mix.chars().count() <= room {
        line.push_str(&mix);
    }
    let _ = writeln!(out, "{}", format!("{line:<room$}  {tail}").trim_end());
}

/// Tanks of a crew on a day, joined across the blocks of one mix.
fn tank_lines(out: &mut String, season: &Season, sheet: &RunSheet, (d, crew): (NaiveDate, usize)) {
    let sprayer = sheet
        .crews
        .get(crew)
        .and_then(|c| season.sprayer(c.sprayer.as_ref()?));
    let mut mixes: Vec<(&str, f64)> = Vec::new();
    for stint in &sheet.stints {
        if stint.crew != crew || stint.from.date() != d {
            continue;
        }
        let Some(job) = sheet.jobs.get(stint.job) else {
            continue;
        };
        let whole = job.minutes.get(crew).copied().flatten().unwrap_or(1).max(1);
        let share = (stint.to - stint.from).num_minutes() as f64 / f64::from(whole);
        let Some(litres) = job.litres else { continue };
        match mixes.iter_mut().find(|m| m.0 == job.mix) {
            Some(m) => m.1 += litres * share,
            None => mixes.push((&job.mix, litres * share)),
        }
    }
    let shown = |l: f64| {
        measure(dose::litres(l), season.orchard.units, None, None)
            .amount
            .to_string()
    };
    for (mix, litres) in mixes {
        let tanks = sprayer
            .filter(|s| s.kind != SprayerKind::HoseEnd)
            .and_then(|s| tanks::plan(litres, s.tank.l()))
            .map_or_else(String::new, |t| {
                let full = match t.full {
                    0 => String::new(),
                    1 => format!("1 full tank of {}", shown(t.tank_l)),
                    n => format!("{n} full tanks of {}", shown(t.tank_l)),
                };
                let last = if t.last_l > 0.0 {
                    format!("one of {}", shown(t.last_l))
                } else {
                    String::new()
                };
                let both: Vec<String> =
                    [full, last].into_iter().filter(|s| !s.is_empty()).collect();
                format!(": {}", both.join(" and "))
            });
        out.push_str(&wrapped(
            &format!("{mix}, {} in all{tanks}", shown(litres)),
            4,
        ));
    }
}

fn left_out(out: &mut String, sheet: &RunSheet) {
    for (standing, title) in [
        (Standing::Closed, "Past the last safe day"),
        (Standing::TooLate, "Too late"),
        (Standing::Waits, "Not on this sheet, can wait"),
        (Standing::NotYet, "Window not open yet"),
    ] {
        let mut jobs: Vec<&SheetJob> = sheet.standing(standing).collect();
        if jobs.is_empty() {
            continue;
        }
        jobs.sort_by_key(|j| (j.last_safe, j.opens));
        let _ = writeln!(out, "\n{title}");
        let mut rows: Vec<(String, Vec<String>)> = Vec::new();
        for job in jobs {
            let when = match standing {
                Standing::NotYet => format!("opens {}", day(job.opens)),
                _ => job.last_safe.map_or_else(
                    || "no last safe day known".to_owned(),
                    |l| format!("last safe {}", day(l)),
                ),
            };
            let key = format!("{when}, {}", job.mix);
            let name = format!("{} {}", job.name, hours(job.shortest_min()));
            match rows.iter_mut().find(|r| r.0 == key) {
                // Several sprays of one mix on one block stand once.
                Some(row) if row.1.contains(&name) => {}
                Some(row) => row.1.push(name),
                None => rows.push((key, vec![name])),
            }
        }
        for (key, names) in rows {
            out.push_str(&wrapped(&format!("{key}: {}", names.join(", ")), 2));
        }
    }
}

/// The chance to finish, worst first; what stands alike shares a line.
pub fn chances(sheet: &RunSheet, chances: &[JobChance]) -> String {
    let mut out = "\nChance to finish, past winters replayed\n".to_owned();
    if chances.is_empty() {
        out.push_str(&wrapped(
            "not known: no hours of past winters are on file; bring them in with: barewood weather add FILE",
            2,
        ));
        return out;
    }
    let mut rows: Vec<(&Chance, Vec<&str>, &str)> = Vec::new();
    for c in chances {
        let Some(job) = sheet.jobs.get(c.job) else {
            continue;
        };
        match rows.iter_mut().find(|r| *r.0 == c.chance && r.2 == job.mix) {
            Some(row) => row.1.push(&job.name),
            None => rows.push((&c.chance, vec![&job.name], &job.mix)),
        }
    }
    rows.sort_by_key(|r| r.0.done);
    for (chance, names, mix) in rows {
        let begin = match chance.begin_by {
            Some(d) => format!("begin all by {} for 9 in 10", day(d)),
            None => "not 9 in 10 even if begun today".to_owned(),
        };
        out.push_str(&wrapped(
            &format!(
                "{}, {mix}: in time in {}; {begin}; other fit hours came in {} of {}",
                names.join(", "),
                chance.words(),
                chance.again,
                chance.of
            ),
            2,
        ));
    }
    out
}

/// The same as JSON, with the chances where they were asked for.
///
/// # Errors
/// Never, for plain values.
pub fn json(
    season: &Season,
    sheet: &RunSheet,
    helps: &[Help],
    chances: Option<&[JobChance]>,
) -> serde_json::Result<String> {
    let chance = |ix: usize| -> Option<Value> {
        let c = &chances?.iter().find(|c| c.job == ix)?.chance;
        Some(json!({
            "done": c.done, "of": c.of, "again": c.again,
            "begin_by": c.begin_by.map(|d| d.to_string()),
        }))
    };
    let job = |(ix, j): (usize, &SheetJob)| {
        json!({
            "task": j.task.as_str(), "block": j.block.as_str(), "mix": j.mix,
            "hours": f64::from(j.shortest_min()) / 60.0, "assumed": j.is_assumed,
            "opens": j.opens.to_string(),
            "last_safe": j.last_safe.map(|d| d.to_string()),
            "chance": chance(ix),
            "standing": match j.standing {
                Standing::Closed => "closed",
                Standing::TooLate => "too-late",
                Standing::Planned => "planned",
                Standing::Waits => "waits",
                Standing::NotYet => "not-yet",
            },
            "stints": sheet.of(ix).map(|s| json!({
                "from": s.from.format("%Y-%m-%dT%H:%M").to_string(),
                "to": s.to.format("%Y-%m-%dT%H:%M").to_string(),
                "sprayer": sheet.crews.get(s.crew).and_then(|c| c.sprayer.as_ref()).map(|s| s.as_str()),
                "driver": sheet.crews.get(s.crew).and_then(|c| c.driver(s.from.date())),
            })).collect::<Vec<_>>(),
        })
    };
    serde_json::to_string(&json!({
        "season": season.season,
        "practice": season.practice,
        "from": sheet.from.format("%Y-%m-%dT%H:%M").to_string(),
        "to": sheet.to.format("%Y-%m-%dT%H:%M").to_string(),
        "short_hours": f64::from(sheet.short_min) / 60.0,
        "verdict": verdict(season, sheet),
        "jobs": sheet.jobs.iter().enumerate().map(job).collect::<Vec<_>>(),
        "helps": helps.iter().map(|h| json!({
            "what": h.what, "too_late": h.too_late, "short_hours": f64::from(h.short_min) / 60.0,
        })).collect::<Vec<_>>(),
    }))
}
