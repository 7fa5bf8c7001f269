//! Adding records: finishing a spray, correcting a record, ending re-entry.

use super::clash::clash;
use super::prefill::to_minute;
use super::seal::{self, Seal};
use super::{reentry_from_labels, stock};
use crate::domain::season::{
    BlockId, MaterialId, Record, RecordId, RecordedMaterial, Season, Task, TaskId, TaskState,
};
use chrono::{NaiveDate, NaiveDateTime};
use thiserror::Error;

/// Why a record cannot be added.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum RecordError {
    /// The task is not in this season.
    #[error("there is no task '{0}' in this season")]
    NoTask(String),
    /// There is no such record.
    #[error("there is no record '{0}'")]
    NoRecord(RecordId),
    /// The task has a record on one of these blocks already.
    #[error(
        "record '{0}' already holds this task on some of these blocks; correct that one instead, or finish the blocks that are left"
    )]
    AlreadyRecorded(RecordId),
    /// The record was corrected before.
    #[error("record '{old}' was corrected by '{by}'; correct that one instead")]
    AlreadyCorrected {
        /// The record named.
        old: RecordId,
        /// The one that holds now.
        by: RecordId,
    },
    /// The day is still to come.
    #[error("{0} is still to come; give the day it was done")]
    InFuture(NaiveDate),
    /// The end lies before the start.
    #[error("it cannot end before it started")]
    EndsBeforeStart,
    /// The label's hours are not over.
    #[error("the label's re-entry time is not over before {0}; being dry does not shorten it")]
    ReentryRuns(NaiveDateTime),
    /// Re-entry was ended before.
    #[error("re-entry after record '{0}' was already ended")]
    ReentryEnded(RecordId),
    /// It is dry before it was sprayed, or in the future.
    #[error("{0} is not between the end of the spraying and now")]
    OddTime(NaiveDateTime),
    /// Nobody is named.
    #[error("say who saw that it was dry")]
    Nobody,
}

/// A season with a record more.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// The season after.
    pub season: Season,
    /// The new record.
    pub record: RecordId,
    /// What the grower should know, for instance of the stock.
    pub notes: Vec<String>,
}

/// The id the next record gets: `r1`, `r2`, …
pub fn next_id(season: &Season) -> RecordId {
    let mut n = season.records.len() + 1;
    loop {
        let id = RecordId::from(format!("r{n}").as_str());
        if season.records.iter().all(|r| r.id != id) {
            return id;
        }
        n += 1;
    }
}

/// Adds the record of a finished spray, or of a part of it: the task is done once all of its
/// blocks have a record, stock falls by what was used, re-entry begins on these blocks.
pub fn finish(season: &Season, record: Record, today: NaiveDate) -> Result<Kept, RecordError> {
    if let Some(task) = record.task.as_ref().and_then(|id| season.task(id))
        && let Some(held) = already(season, task, &record)
    {
        return Err(RecordError::AlreadyRecorded(held.clone()));
    }
    let mut after = season.clone();
    let notes = stock::use_up(&mut after, &[], &record.materials);
    let record = Record {
        corrects: None,
        correction: None,
        taken_back: false,
        reentry_ended: None,
        reentry_seen_by: None,
        ..record
    };
    let record = never_shorter_than_labels(season, record);
    let mut notes = notes;
    notes.extend(
        season
            .current_records()
            .filter_map(|r| clash(season, r, &record)),
    );
    append(after, record, today, notes)
}

/// A record that says a block of this one is done already.
fn already<'a>(season: &'a Season, task: &'a Task, record: &Record) -> Option<&'a RecordId> {
    let parts = season.done_parts(task);
    let twice = |id: &BlockId| record.blocks.is_empty() || record.blocks.contains(id);
    parts
        .iter()
        .filter(|part| part.blocks.is_empty() || part.blocks.iter().any(|b| twice(&b.id)))
        .find_map(|part| part.record)
        .map(|held| &held.id)
}

/// Re-entry as written, or as the labels say where that is later.
fn never_shorter_than_labels(season: &Season, mut record: Record) -> Record {
    let (until, until_dry) = reentry_from_labels(season, &record);
    record.reentry_until = record.reentry_until.max(until);
    record.reentry_until_dry |= until_dry;
    record
}

fn same_materials(record: &Record, before: &[RecordedMaterial]) -> bool {
    let ids = |used: &[RecordedMaterial]| -> Vec<MaterialId> {
        used.iter().map(|m| m.material.clone()).collect()
    };
    ids(&record.materials) == ids(before)
}

/// Adds a correction: the new record holds, the old one stays. Stock is set
/// right by the difference.
pub fn correct(
    season: &Season,
    old: &RecordId,
    record: Record,
    why: &str,
    today: NaiveDate,
) -> Result<Kept, RecordError> {
    let before = holding(season, old)?.clone();
    let mut after = season.clone();
    let notes = stock::use_up(&mut after, &before.materials, &record.materials);
    let mut record = Record {
        corrects: Some(before.id.clone()),
        correction: Some(why.trim().to_owned()).filter(|w| !w.is_empty()),
        task: record.task.or(before.task),
        ..record
    };
    // Where the end or the materials were wrong, the old re-entry was reckoned from them.
    if record.reentry_until == before.reentry_until
        && (record.ended, record.date) != (before.ended, before.date)
        || !same_materials(&record, &before.materials)
    {
        record.reentry_until = None;
    }
    let record = never_shorter_than_labels(season, record);
    append(after, record, today, notes)
}

/// Ends re-entry: somebody saw that it was dry. Like a correction this is a
/// new record, a copy of the old one with the end in it.
pub fn end_reentry(
    season: &Season,
    id: &RecordId,
    at: NaiveDateTime,
    seen_by: &str,
    now: NaiveDateTime,
) -> Result<Kept, RecordError> {
    let before = holding(season, id)?;
    if before.reentry_ended.is_some() {
        return Err(RecordError::ReentryEnded(before.id.clone()));
    }
    if seen_by.trim().is_empty() {
        return Err(RecordError::Nobody);
    }
    let from = before
        .ended
        .or(before.started)
        .or(before.date.and_hms_opt(0, 0, 0));
    if at > now || from.is_some_and(|from| at < from) {
        return Err(RecordError::OddTime(at));
    }
    if let Some(until) = before.reentry_until.filter(|until| at < *until) {
        return Err(RecordError::ReentryRuns(until));
    }
    let record = Record {
        corrects: Some(before.id.clone()),
        correction: Some("re-entry ended".to_owned()),
        reentry_ended: Some(to_minute(at)),
        reentry_seen_by: Some(seen_by.trim().to_owned()),
        ..before.clone()
    };
    append(season.clone(), record, now.date(), Vec::new())
}

/// Seals the unsealed records at the end, as they stand: for records written
/// by hand or brought in. One in the middle stays unsealed, and found.
pub fn adopt(season: &Season) -> Season {
    let mut after = season.clone();
    let last = after
        .records
        .iter()
        .rposition(|r| r.seal.is_some())
        .map_or(0, |i| i + 1);
    let mut own = seal::owns(season).pop();
    for record in after.records.iter_mut().skip(last) {
        let sealed = Seal::of(record, own.as_deref());
        record.seal = Some(sealed.text());
        own = Some(sealed.own);
    }
    after.records_head = seal::head(&after);
    after
}

/// Tasks whose every block has a record by now are done: parts that two people wrote down apart
/// come together so. Only tasks open in both of the seasons that were joined: one that was opened
/// again on purpose stays open.
#[must_use]
pub fn settled(mut season: Season, sides: [&Season; 2]) -> Season {
    let is_open = |side: &Season, id: &TaskId| side.task(id).is_none_or(|t| t.state.is_open());
    let states: Vec<(usize, TaskState)> = season
        .tasks
        .iter()
        .enumerate()
        .filter(|(_, t)| t.state.is_open() && sides.iter().all(|side| is_open(side, &t.id)))
        .map(|(ix, t)| (ix, season.state_by_records(t)))
        .filter(|(_, state)| !state.is_open())
        .collect();
    for (ix, state) in states {
        if let Some(task) = season.tasks.get_mut(ix) {
            task.state = state;
        }
    }
    season
}

/// The record with this id, if it still holds.
pub(super) fn holding<'a>(season: &'a Season, id: &RecordId) -> Result<&'a Record, RecordError> {
    let record = season
        .records
        .iter()
        .find(|r| &r.id == id)
        .ok_or_else(|| RecordError::NoRecord(id.clone()))?;
    match season
        .records
        .iter()
        .rev()
        .find(|r| r.corrects.as_ref() == Some(id) && &r.id != id)
    {
        Some(by) => Err(RecordError::AlreadyCorrected {
            old: id.clone(),
            by: by.id.clone(),
        }),
        None => Ok(record),
    }
}

pub(super) fn append(
    mut season: Season,
    mut record: Record,
    today: NaiveDate,
    notes: Vec<String>,
) -> Result<Kept, RecordError> {
    if record.date > today {
        return Err(RecordError::InFuture(record.date));
    }
    record.started = record.started.map(to_minute);
    record.ended = record.ended.map(to_minute);
    if let (Some(started), Some(ended)) = (record.started, record.ended)
        && ended < started
    {
        return Err(RecordError::EndsBeforeStart);
    }
    for used in &mut record.materials {
        // As a season file is read where these are left empty: the seal must not differ by it.
        if used.name.trim().is_empty() {
            used.name = used.material.to_string();
        }
        if used.active.trim().is_empty() {
            used.active = used.name.to_lowercase();
        }
    }
    record.id = next_id(&season);
    record.noted = Some(today);
    record.reentry_until = record.reentry_until.map(to_minute);
    if let Some(id) = &record.task
        && season.task(id).is_none()
    {
        return Err(RecordError::NoTask(id.to_string()));
    }
    record.seal = Some(Seal::of(&record, seal::owns(&season).last().map(String::as_str)).text());
    let id = record.id.clone();
    let task = record.task.clone();
    season.records.push(record);
    if let Some(task) = task.and_then(|id| season.task(&id)) {
        let state = if season.records_of(task).next().is_some() {
            season.state_by_records(task)
        } else {
            TaskState::Planned
        };
        let id = task.id.clone();
        for task in season.tasks.iter_mut().filter(|t| t.id == id) {
            task.state = state.clone();
        }
    }
    season.records_head = seal::head(&season);
    Ok(Kept {
        season,
        record: id,
        notes,
    })
}
