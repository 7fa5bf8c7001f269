//! Which records hold now, and which work has none.

use crate::domain::season::{Block, Record, Season, Task, TaskKind, TaskState};

/// The records that no later one corrects or takes back, in file order.
pub fn current(season: &Season) -> impl Iterator<Item = &Record> {
    season.current_records()
}

/// The blocks a record is for: those it names, else those of its task.
pub fn blocks_of<'a>(season: &'a Season, record: &'a Record) -> Vec<&'a Block> {
    if record.blocks.is_empty() {
        return record
            .task
            .as_ref()
            .and_then(|id| season.task(id))
            .map(|task| season.planned_blocks(task).collect())
            .unwrap_or_default();
    }
    season
        .blocks
        .iter()
        .filter(|b| record.blocks.contains(&b.id))
        .collect()
}

/// Sprays marked done that have no record.
pub fn done_without_record(season: &Season) -> impl Iterator<Item = &Task> {
    season.tasks.iter().filter(|t| {
        t.kind == TaskKind::Spray
            && matches!(t.state, TaskState::Done(_))
            && !current(season).any(|r| r.task.as_ref() == Some(&t.id))
    })
}
