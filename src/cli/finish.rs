//! `finish` and `reenter`: a task is done or left out, a block may be entered again.

mod against;

use super::args::{FinishArgs, ReenterArgs};
use super::delay::write_changes;
use super::season_at::{At, Opened, edit_failure};
use super::{Exit, Failure};
use crate::domain::records::{self, Conditions, Law};
use crate::domain::season::{Record, RecordId, Season, Task, TaskId, TaskKind, TaskState, edit};
use chrono::{NaiveDate, NaiveDateTime, NaiveTime};
use std::io::Write;
use std::str::FromStr;

/// Marks a task as done, skipped, or open again. A spray that was done gets an
/// application record.
pub fn run(at: &At, args: &FinishArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let id = opened.task_id(&args.task)?;
    let day = opened.day_or_today(args.date.as_deref())?;
    if day > opened.today && !args.reopen {
        return Err(Failure::Input(format!(
            "{day} is still to come (today is {}); give the day it was done",
            opened.today
        )));
    }
    let task = opened.season.task(&id).cloned();
    let spray = task
        .filter(|t| t.kind == TaskKind::Spray)
        .filter(|_| !args.skipped && !args.reopen);
    if let Some(task) = spray.as_ref().filter(|_| !args.no_record) {
        return record(&mut opened, task, day, args, out);
    }
    let anyway = match &spray {
        Some(task) => {
            let bare = records::bare(&opened.season, task, day, opened.now());
            against::answered(&opened, &bare, args)?.1
        }
        None => None,
    };
    let why = args.why.as_deref().or(anyway.as_deref());
    let (state, words) = if args.reopen {
        (TaskState::Planned, "open again".to_owned())
    } else if args.skipped {
        (TaskState::Skipped(day), format!("skipped {day}"))
    } else {
        (TaskState::Done(day), format!("done {day}"))
    };
    let after = if args.reopen {
        records::reopen(&opened.season, &id, opened.today)
            .map_err(|e| Failure::Input(e.to_string()))?
    } else {
        edit::set_state_because(&opened.season, &id, state, why).map_err(edit_failure)?
    };
    let before = opened.outlook();
    opened.save(after)?;
    let because = why.map_or_else(String::new, |w| format!(": {w}"));
    writeln!(out, "{id}: {words}{because}")?;
    if args.skipped && why.is_none() {
        writeln!(
            out,
            "  note: no reason is kept; --why \"REASON\" keeps one for the plan of next season"
        )?;
    }
    write_changes(&before, &opened.outlook(), &[id], out)?;
    Ok(Exit::Fine)
}

fn record(
    opened: &mut Opened,
    task: &Task,
    day: NaiveDate,
    args: &FinishArgs,
    out: &mut dyn Write,
) -> Result<Exit, Failure> {
    // What was measured at the trees goes before what the hours of weather tell.
    let started = clock(args.started.as_deref(), day, "--started")?;
    let ended = clock(args.ended.as_deref(), day, "--ended")?;
    let (air, said) = started.map_or((Conditions::default(), None), |from| {
        let to = ended.unwrap_or(from);
        records::conditions(&opened.weather, &opened.season.orchard, from, to)
    });
    let by_hours = air.temperature;
    // Nobody read a temperature that the day's extremes make: it is not noted as if.
    let temperature = by_hours.filter(|_| said != Some(records::RECKONED));
    let hours = Conditions { temperature, ..air };
    let conditions = Conditions {
        wind: quantity(args.wind.as_deref(), "--wind")?.or(hours.wind),
        wind_from: args.wind_from.clone().or(hours.wind_from),
        temperature: quantity(args.temperature.as_deref(), "--temperature")?.or(hours.temperature),
        humidity_percent: args
            .humidity
            .filter(|h| (0.0..=100.0).contains(h))
            .or(hours.humidity_percent),
        sky: args.sky.clone().or(hours.sky),
        rain: args.rain.clone().or(hours.rain),
    };
    let blocks = opened.block_ids(&args.blocks)?;
    let part = records::part(&opened.season, task, &blocks)
        .map_err(|fault| Failure::Input(fault.to_string()))?;
    let amounts = records::amounts(&opened.season, &part, Some(&opened.estimates), opened.today);
    let prefilled = records::prefill(
        &opened.season,
        &part,
        day,
        opened.now(),
        &amounts,
        &conditions,
    );
    let mut record = with_arguments(prefilled, day, args)?;
    for text in &args.used {
        against::used(&opened.season, &mut record, text)?;
    }
    // Counted again from the end that was typed; without one from the end of the day.
    (record.reentry_until, record.reentry_until_dry) = (None, false);
    let worn = record.gear.is_empty();
    records::note_reckoned(&mut record, &amounts, by_hours);
    (record.judged, record.anyway) = against::answered(opened, &record, args)?;
    let offer = records::offer(&opened.season, task, day, opened.now(), &amounts);
    let kept = records::finish(&opened.season, record, opened.today)
        .map_err(|e| Failure::Input(e.to_string()))?;
    let id = kept.record.clone();
    let before = opened.outlook();
    opened.save(kept.season)?;
    // Joined with what somebody else wrote meanwhile it may have another number.
    let own = |r: &&Record| r.task.as_ref() == Some(&task.id);
    let id = opened
        .season
        .records
        .iter()
        .rev()
        .find(own)
        .map_or(id, |r| r.id.clone());
    writeln!(
        out,
        "{}: done {day}, record {id}{}",
        task.id,
        rest(opened, &task.id)
    )?;
    for note in kept.notes {
        writeln!(out, "  note: {note}")?;
    }
    let record = opened.season.records.iter().find(|r| r.id == id);
    let dry = record
        .zip(opened.fits.as_ref())
        .and_then(|(record, fits)| records::expected_dry(fits.air(), record));
    if let Some(dry) = dry {
        writeln!(out, "  re-entry: {dry}")?;
    }
    if worn && !offer.gear.is_empty() {
        writeln!(
            out,
            "  not noted: gear; the label asks for {} (say what was worn with --gear)",
            offer.gear.join(", ")
        )?;
    }
    for line in missing(&opened.season, &id) {
        writeln!(out, "  missing: {line}")?;
    }
    let kept = opened.season.records.iter().find(|r| r.id == id);
    if let Some(why) = kept.and_then(|r| r.anyway.as_ref()) {
        writeln!(out, "  done against a stop, kept in the record: {why}")?;
    }
    write_changes(
        &before,
        &opened.outlook(),
        std::slice::from_ref(&task.id),
        out,
    )?;
    Ok(Exit::Fine)
}

/// What of the task is still to do.
fn rest(opened: &Opened, task: &TaskId) -> String {
    let season = &opened.season;
    let Some(task) = season.task(task) else {
        return String::new();
    };
    let open: Vec<&str> = season
        .open_blocks(task)
        .iter()
        .map(|b| b.name.as_str())
        .collect();
    if open.is_empty() {
        return String::new();
    }
    let progress = season.progress(task);
    format!(
        "; {} of {} blocks done, still to do: {}",
        progress.done,
        progress.of,
        open.join(", ")
    )
}

/// What the law asks for and the record lacks: listed, not blocking.
fn missing(season: &Season, id: &RecordId) -> Vec<String> {
    let laws = Law::of_place(&season.orchard);
    season
        .records
        .iter()
        .filter(|r| &r.id == id)
        .flat_map(|r| records::missing(r, &laws))
        .filter(records::Missing::is_law)
        .map(|m| format!("{} ({})", m.element, m.regulation()))
        .collect()
}

fn with_arguments(
    mut record: Record,
    day: NaiveDate,
    args: &FinishArgs,
) -> Result<Record, Failure> {
    record.who.clone_from(&args.who);
    record.licence.clone_from(&args.licence);
    record.supervisor.clone_from(&args.supervisor);
    record.started = clock(args.started.as_deref(), day, "--started")?.or(record.started);
    record.ended = clock(args.ended.as_deref(), day, "--ended")?.or(record.ended);
    if let (Some(started), Some(ended)) = (record.started, record.ended)
        && ended < started
    {
        return Err(Failure::Input(format!(
            "--ended {ended} comes before the start {started}"
        )));
    }
    record.bbch = args.bbch.or(record.bbch);
    record.volume = quantity(args.volume.as_deref(), "--volume")?.or(record.volume);
    record.reason = args.reason.clone().or(record.reason);
    if !args.gear.is_empty() {
        record.gear.clone_from(&args.gear);
    }
    record.notices.clone_from(&args.notices);
    record.leftover.clone_from(&args.leftover);
    record.notes = args.notes.clone().or(record.notes);
    Ok(record)
}

fn quantity<T: FromStr>(text: Option<&str>, option: &str) -> Result<Option<T>, Failure>
where
    T::Err: std::fmt::Display,
{
    text.map(|t| {
        t.parse()
            .map_err(|e| Failure::Input(format!("{option}: {e}")))
    })
    .transpose()
}

fn clock(
    text: Option<&str>,
    day: NaiveDate,
    option: &str,
) -> Result<Option<NaiveDateTime>, Failure> {
    text.map(|t| {
        NaiveTime::parse_from_str(t.trim(), "%H:%M")
            .map(|time| day.and_time(time))
            .map_err(|_| {
                Failure::Input(format!(
                    "{option}: '{t}' is no time of day; write it as 09:30"
                ))
            })
    })
    .transpose()
}

/// Notes that a treated block may be entered again.
pub fn reenter(at: &At, args: &ReenterArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let id = RecordId::from(args.record.as_str());
    let now = opened.now();
    let kept = records::end_reentry(&opened.season, &id, now, &args.seen_by, now)
        .map_err(|e| Failure::Input(e.to_string()))?;
    let new = kept.record.clone();
    opened.save(kept.season)?;
    writeln!(
        out,
        "{id}: may be entered again, seen by {} (record {new})",
        args.seen_by
    )?;
    Ok(Exit::Fine)
}
