//! The season as iCalendar (RFC 5545): tasks, re-entry, likely swell, with alarms.
//!
//! Days are whole-day events; times are written in UTC, so that no time zone
//! needs to be described in the file. Entries keep their UIDs from export to
//! export, and one that is gone since an earlier export is cancelled.

mod alarms;
mod before;
mod fold;
mod hours;

use super::stable_id::stable_id;
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::{Estimates, Outlook, Standing};
use crate::domain::phenology::stage::Stage;
use crate::domain::records;
use crate::domain::review::{Range, stage_date};
use crate::domain::rules::Level;
use crate::domain::season::{Block, Record, Season, Task, TaskKind, TaskState};
use chrono::{DateTime, LocalResult, NaiveDate, NaiveDateTime, TimeDelta, TimeZone, Utc};
use icalendar::{Calendar, Component, Event, EventLike, EventStatus, Property};

/// The caution that goes with every spray.
const CAUTION: &str = "Plan only. The label decides: crop, rate, dates, gear and re-entry.";

/// What a calendar is made from.
#[derive(Debug, Clone, Copy)]
pub struct CalendarOf<'a> {
    /// The plan.
    pub season: &'a Season,
    /// Its estimates.
    pub estimates: &'a Estimates,
    /// How its tasks stand.
    pub outlook: &'a Outlook,
    /// The hourly weather that their fit hours were found in, where there is any.
    pub fits: Option<&'a Fits>,
    /// The time of the export.
    pub made: DateTime<Utc>,
    /// An earlier export: what it held and this one does not is cancelled.
    pub before: Option<&'a str>,
}

/// The season as an iCalendar file.
pub fn ics(of: &CalendarOf<'_>) -> String {
    let CalendarOf {
        season,
        estimates,
        made,
        before,
        ..
    } = *of;
    let mut calendar = Calendar::empty();
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", "-//barewood//dormant season//EN"),
        ("CALSCALE", "GREGORIAN"),
        ("METHOD", "PUBLISH"),
    ] {
        calendar.append_property(Property::new(key, value));
    }
    let name = format!(
        "{}, dormant season {}",
        season.orchard.name.trim(),
        season.season
    );
    let name = clean(&name).replace('\n', " ");
    // RFC 7986 makes NAME a text, so it is escaped; the crate writes it as it is.
    calendar.append_property(Property::new("NAME", escaped(&name)));
    calendar.append_property(Property::new("X-WR-CALNAME", name));
    for task in &season.tasks {
        calendar.push(stamped(task_event(of, task), made));
    }
    for record in records::current(season) {
        if let Some(event) = reentry_event(season, record) {
            calendar.push(stamped(event, made));
        }
    }
    for block in &season.blocks {
        if let Some(events) = swell_events(season, estimates, block) {
            for event in events {
                calendar.push(stamped(event, made));
            }
        }
    }
    let text = calendar.to_string();
    let cancelled = before.map_or_else(String::new, |b| before::cancelled(b, &text, made));
    let end = "END:VCALENDAR";
    fold::folded(&match text.rsplit_once(end) {
        Some((body, _)) => format!("{body}{cancelled}{end}\r\n"),
        None => text,
    })
}

/// The longest text of an event.
const MOST_CHARACTERS: usize = 4000;

fn stamped(mut event: Event, made: DateTime<Utc>) -> Event {
    event.timestamp(made);
    event.done()
}

/// Control characters have no place in a calendar; line ends stay.
///
/// Longer texts are cut: programs that read calendars expect nothing of the kind, and folding it
/// takes minutes.
fn clean(text: &str) -> String {
    let text: String = text.chars().take(MOST_CHARACTERS).collect();
    text.replace("\r\n", "\n")
        .chars()
        .map(|c| {
            if c == '\n' || !crate::domain::harmless::steers(c) {
                c
            } else {
                ' '
            }
        })
        .collect()
}

/// A text as a content line holds it (RFC 5545, 3.3.11).
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if matches!(c, '\\' | ',' | ';') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// The instant of a local time: the first of two, an hour on where there is none.
fn utc(season: &Season, local: NaiveDateTime) -> Option<DateTime<Utc>> {
    let zone = season.orchard.time_zone;
    let at = match zone.from_local_datetime(&local) {
        LocalResult::Single(at) | LocalResult::Ambiguous(at, _) => Some(at),
        LocalResult::None => zone
            .from_local_datetime(&(local + TimeDelta::hours(1)))
            .earliest(),
    };
    at.map(|at| at.with_timezone(&Utc))
}

fn whole_days(event: &mut Event, first: NaiveDate, last: NaiveDate) {
    // The end of a whole-day event is the day after it (RFC 5545, 3.6.1).
    event.starts(first);
    event.ends(last.succ_opt().unwrap_or(last));
}

fn names(blocks: &[&Block], season: &Season) -> String {
    if blocks.len() == season.blocks.len() {
        return "all blocks".to_owned();
    }
    let names: Vec<&str> = blocks.iter().map(|b| b.name.as_str()).collect();
    names.join(", ")
}

fn task_event(of: &CalendarOf<'_>, task: &Task) -> Event {
    let season = of.season;
    let standing = of.outlook.standing(&task.id);
    let stopped = standing.is_some_and(|s| s.level == Some(Level::Stop));
    let mut event = Event::new();
    event.uid(&stable_id(season, "task", task.id.as_str()));
    event.sequence(u32::try_from(task.moved.len()).unwrap_or(u32::MAX));
    let (mark, status) = match task.state {
        TaskState::Planned if stopped => (" (STOP)", EventStatus::Tentative),
        TaskState::Planned => ("", EventStatus::Tentative),
        TaskState::Done(_) => (" (done)", EventStatus::Confirmed),
        TaskState::Skipped(_) => (" (left out)", EventStatus::Cancelled),
    };
    event.status(status);
    event.summary(&clean(&format!("{}{mark}", task.title)));
    let blocks: Vec<&Block> = season.blocks_of(task).collect();
    let mut lines = vec![
        task.lane.words().to_owned(),
        format!("Blocks: {}", names(&blocks, season)),
    ];
    let mix: Vec<&str> = task
        .mix
        .iter()
        .map(|part| {
            season
                .material(&part.material)
                .map_or(part.material.as_str(), |m| m.name.as_str())
        })
        .collect();
    if !mix.is_empty() {
        lines.push(format!("Materials: {}", mix.join(", ")));
    }
    lines.extend(task.notes.clone());
    if let Some(standing) = standing {
        lines.extend(stands(of.outlook, task, standing));
    }
    let hours = of
        .fits
        .zip(standing)
        .and_then(|(fits, standing)| hours::of(fits.air(), standing, season, task));
    if let Some(hours) = &hours {
        lines.push(hours.words.clone());
    }
    if task.kind == TaskKind::Spray {
        lines.push(CAUTION.to_owned());
    }
    event.description(&clean(&lines.join("\n")));
    event.add_property("TRANSP", "TRANSPARENT");
    event.categories([task.lane.key(), task.kind.key()]);
    let set = task
        .hour
        .filter(|_| task.state.is_open())
        .and_then(|h| task.date.and_hms_opt(h, 0, 0))
        .and_then(|local| utc(season, local))
        .map(|at| (at, at + TimeDelta::hours(1)));
    // The hour somebody chose goes before the hours that would fit.
    match set.or_else(|| hours.as_ref()?.on_its_day) {
        Some((from, to)) => {
            event.starts(from);
            event.ends(to);
        }
        None => whole_days(&mut event, task.day(), task.day()),
    }
    if let Some(alarm) = hours.and_then(|h| h.alarm) {
        event.alarm(alarm);
    }
    event
}

/// What speaks against a task as planned with its cure, and its window, a line each.
fn stands(outlook: &Outlook, task: &Task, standing: &Standing) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(reason) = outlook
        .reason_of(&task.id)
        .filter(|w| w.level > Level::Note)
    {
        lines.push(format!(
            "{}: {} Do: {}",
            reason.level.words(),
            reason.message,
            reason.todo
        ));
    }
    let window = super::standing::window(standing, outlook.today);
    if !window.is_empty() {
        lines.push(format!("Window: {window}"));
    }
    lines
}

/// The record a chain of corrections began with: it names the event.
fn root<'a>(season: &'a Season, record: &'a Record) -> &'a Record {
    let mut root = record;
    // A chain cannot be longer than the list, whatever a hand edit made of it.
    for _ in 0..season.records.len() {
        let before = root
            .corrects
            .as_ref()
            .and_then(|id| season.records.iter().find(|r| &r.id == id));
        match before {
            Some(before) => root = before,
            None => break,
        }
    }
    root
}

fn reentry_event(season: &Season, record: &Record) -> Option<Event> {
    if record.materials.is_empty() {
        return None;
    }
    let blocks = records::blocks_of(season, record);
    let from = record.ended.or(record.started);
    let end = match (record.reentry_until, record.reentry_ended) {
        (Some(until), Some(ended)) => Some(until.max(ended)),
        (until, ended) => until.or(ended),
    };
    let mut event = Event::new();
    event.uid(&stable_id(
        season,
        "reentry",
        root(season, record).id.as_str(),
    ));
    event
        .sequence(u32::from(record.corrects.is_some()) + u32::from(record.reentry_ended.is_some()));
    event.summary(&clean(&format!("Keep out: {}", names(&blocks, season))));
    let mut lines = Vec::new();
    match (
        &record.reentry_ended,
        record.reentry_until_dry || record.reentry_until.is_none(),
    ) {
        (Some(at), _) => lines.push(format!(
            "Ended {}: dry, seen by {}",
            at.format("%Y-%m-%d %H:%M"),
            record
                .reentry_seen_by
                .as_deref()
                .unwrap_or("a person not named")
        )),
        (None, true) => lines.push("Until somebody has seen that it is dry.".to_owned()),
        (None, false) => {}
    }
    lines.push("The label's re-entry time rules.".to_owned());
    event.description(&clean(&lines.join("\n")));
    event.categories(["re-entry"]);
    if record.reentry_ended.is_none() {
        event.alarm(alarms::at_the_end(&clean(&over_words(
            &blocks, season, record,
        ))));
    }
    match (
        from.and_then(|t| utc(season, t)),
        end.and_then(|t| utc(season, t)),
    ) {
        (Some(from), Some(end)) if end > from => {
            event.starts(from);
            event.ends(end);
        }
        _ => {
            let last = end.map_or(record.date, |e| e.date()).max(record.date);
            whole_days(&mut event, record.date, last);
        }
    }
    Some(event)
}

/// What the phone says when the label's time is over: that is not yet leave to go in.
fn over_words(blocks: &[&Block], season: &Season, record: &Record) -> String {
    let names = names(blocks, season);
    if record.reentry_until_dry || record.reentry_until.is_none() {
        format!("Re-entry time over on {names}: keep out until somebody has seen that it is dry")
    } else {
        format!("Re-entry time over on {names}: see that the spray is dry before anyone goes in")
    }
}

/// Open sprays of a block that its last safe day is for.
fn open_sprays<'a>(season: &'a Season, block: &Block, last: NaiveDate) -> Vec<&'a str> {
    season
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray && t.state.is_open())
        // What is planned for weeks after it is not meant to be on before swell.
        .filter(|t| t.date <= last + TimeDelta::days(21))
        .filter(|t| season.blocks_of(t).any(|b| b.id == block.id))
        .map(|t| t.title.as_str())
        .collect()
}

fn swell_events(season: &Season, estimates: &Estimates, block: &Block) -> Option<[Event; 2]> {
    let date = stage_date(estimates, &block.id, Stage::Swell)?;
    let range = Range::of(date);
    let guard = block.guard_days.unwrap_or(season.orchard.guard_days);
    let last_safe = date.last_safe(season.orchard.tolerance.fraction(), guard);
    let mut window = Event::new();
    window.uid(&stable_id(season, "swell", block.id.as_str()));
    window.summary(&clean(&format!(
        "Buds of {} likely to swell (middle {})",
        block.name, range.p50
    )));
    window.description(&clean(&format!(
        "Four times in five between {} and {}; as likely before as after {}{}.",
        range.p10,
        range.p90,
        range.p50,
        estimates.ground.beside()
    )));
    window.add_property("TRANSP", "TRANSPARENT");
    window.categories(["swell"]);
    whole_days(&mut window, range.p10, range.p90);
    let mut last = Event::new();
    last.uid(&stable_id(season, "last-safe", block.id.as_str()));
    let words = format!("Last safe day for sprays on bare wood: {}", block.name);
    last.summary(&clean(&words));
    let mut about = format!(
        "At most {} that buds swell within {guard} days of it (swell {}, {} to {}){}. {CAUTION}",
        season.orchard.tolerance,
        range.p50,
        range.p10,
        range.p90,
        estimates.ground.beside()
    );
    let open = open_sprays(season, block, last_safe);
    if !open.is_empty() {
        about = format!("Still open: {}. {about}", open.join("; "));
        for alarm in alarms::mornings_before(&clean(&words)) {
            last.alarm(alarm);
        }
    }
    last.description(&clean(&about));
    last.add_property("TRANSP", "TRANSPARENT");
    last.categories(["swell"]);
    whole_days(&mut last, last_safe, last_safe);
    Some([window, last])
}
