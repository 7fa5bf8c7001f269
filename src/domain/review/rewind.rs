//! The season as it was on a day.

use crate::domain::records::seal;
use crate::domain::season::{Season, TaskState};
use chrono::NaiveDate;

/// The season as it was at the end of a day: later moves, states, readings,
/// records and sightings are taken back. Tasks and blocks added or deleted
/// since then leave no day behind, so they are as they are now.
pub fn season_as_of(season: &Season, day: NaiveDate) -> Season {
    let mut then = season.clone();
    for task in &mut then.tasks {
        if let Some(first) = task.moved.iter().position(|m| m.on > day) {
            if let Some(undone) = task.moved.get(first) {
                task.date = undone.from;
            }
            task.moved.truncate(first);
        }
        if let TaskState::Done(on) | TaskState::Skipped(on) = task.state
            && on > day
        {
            task.state = TaskState::Planned;
        }
        task.quiet.retain(|q| q.on <= day);
    }
    then.readings.retain(|r| r.date() <= day);
    then.records.retain(|r| r.noted.unwrap_or(r.date) <= day);
    then.records_head = seal::head(&then);
    then.reviewed.retain(|d| *d <= day);
    then.estimates_noted.retain(|e| e.date <= day);
    let seen = |date: Option<NaiveDate>| date.filter(|d| *d <= day);
    then.dates.leaf_drop_seen = seen(then.dates.leaf_drop_seen);
    for block in &mut then.blocks {
        block.leaf_drop_seen = seen(block.leaf_drop_seen);
        block.quiet.retain(|q| q.on <= day);
    }
    for material in &mut then.materials {
        material.label.read_on = seen(material.label.read_on);
    }
    then
}
