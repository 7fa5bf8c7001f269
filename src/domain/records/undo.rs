//! Taking a record back. What is on the disk is never taken out of the file:
//! a new record says that the old one no longer holds.

use super::keep::{Kept, RecordError, append, holding};
use super::{current, seal, stock};
use crate::domain::season::{Record, RecordId, Season, TaskId, TaskState, edit};
use chrono::NaiveDate;

/// Takes a record back: the task is open again, its stock is given back, and a
/// new record names the old one and says why. Where the old one was itself a
/// correction (or the end of a re-entry), the new one restores what it corrected.
pub fn take_back(
    season: &Season,
    id: &RecordId,
    why: &str,
    today: NaiveDate,
) -> Result<Kept, RecordError> {
    let old = holding(season, id)?;
    let back = undoing(season, old, why);
    let mut after = season.clone();
    let used = if back.taken_back {
        &[][..]
    } else {
        &back.materials
    };
    let notes = stock::use_up(&mut after, &old.materials, used);
    append(after, back, today, notes)
}

/// Opens a finished task again. If it has a record, that one is taken back.
pub fn reopen(season: &Season, task: &TaskId, today: NaiveDate) -> Result<Season, RecordError> {
    let mut after = season.clone();
    let held: Vec<Record> = current(season)
        .filter(|r| r.task.as_ref() == Some(task))
        .cloned()
        .collect();
    for held in held {
        let notes = stock::use_up(&mut after, &held.materials, &[]);
        let back = Record {
            corrects: Some(held.id.clone()),
            correction: Some("the task was opened again".to_owned()),
            taken_back: true,
            ..held
        };
        after = append(after, back, today, notes)?.season;
    }
    edit::set_state(&after, task, TaskState::Planned)
        .map_err(|_| RecordError::NoTask(task.to_string()))
}

/// The record that undoes another.
fn undoing(season: &Season, old: &Record, why: &str) -> Record {
    let before = old
        .corrects
        .as_ref()
        .and_then(|id| season.records.iter().find(|r| &r.id == id));
    Record {
        corrects: Some(old.id.clone()),
        correction: Some(why.trim().to_owned()).filter(|w| !w.is_empty()),
        taken_back: before.is_none_or(|b| b.taken_back),
        ..before.unwrap_or(old).clone()
    }
}

/// An undone season with the records it may not lose.
///
/// `before` is the season as it stands, `undone` what undo makes of it, and the
/// first `on_disk` records of `before` are saved. A record that was never saved
/// goes without a trace. One that was saved stays, and a new one takes it back;
/// tasks and stock are as undo left them.
pub fn undone(before: &Season, undone: Season, on_disk: usize, today: NaiveDate) -> Season {
    let has = |record: &Record| undone.records.iter().any(|r| r.id == record.id);
    let saved = before.records.get(..on_disk).unwrap_or(&before.records);
    let lost: Vec<&Record> = saved.iter().filter(|r| !has(r)).collect();
    if lost.is_empty() {
        return undone;
    }
    let mut after = undone.clone();
    after.records = before
        .records
        .iter()
        .enumerate()
        .filter(|(place, record)| *place < on_disk || has(record))
        .map(|(_, record)| record.clone())
        .collect();
    after.records_head = seal::head(&after);
    for old in lost.iter().rev() {
        let back = undoing(&after, old, "undone");
        // One that was corrected since no longer holds: there is nothing to take back.
        if holding(&after, &old.id).is_ok()
            && let Ok(kept) = append(after.clone(), back, today, Vec::new())
        {
            after.records = kept.season.records;
            after.records_head = kept.season.records_head;
        }
    }
    after
}
