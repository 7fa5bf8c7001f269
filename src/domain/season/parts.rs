//! Parts: a spray is done block by block, and its records say which blocks are done.
//!
//! Nothing is noted twice: a block of a spray is done when a record that holds names it. What no
//! record names is still open while the task is, so that an unsprayed block is never done, and
//! the records of two people, joined, are the whole spray. A spray marked as done without any
//! record counts as done on all of its blocks, as its grower said.

use super::{Block, BlockId, Record, Season, Task, TaskState};
use chrono::NaiveDate;

/// Some blocks of a task that are done.
#[derive(Debug, Clone, PartialEq)]
pub struct DonePart<'a> {
    /// The day.
    pub day: NaiveDate,
    /// Which blocks, in the order of the season.
    pub blocks: Vec<&'a Block>,
    /// The record that says so; `None` where the task was marked as done without one.
    pub record: Option<&'a Record>,
}

/// How far a task is, block by block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Blocks done.
    pub done: usize,
    /// Blocks in all.
    pub of: usize,
}

impl Progress {
    /// Is a part done and a part not?
    pub fn is_partly(self) -> bool {
        self.done > 0 && self.done < self.of
    }
}

impl Season {
    /// The records that no later one corrects or takes back, in file order.
    pub fn current_records(&self) -> impl Iterator<Item = &Record> {
        self.records.iter().filter(|r| self.holds(r))
    }

    fn holds(&self, record: &Record) -> bool {
        !record.taken_back
            && !self
                .records
                .iter()
                .any(|later| later.corrects.as_ref() == Some(&record.id) && later.id != record.id)
    }

    /// The records that hold of one task.
    pub fn records_of<'a>(&'a self, task: &'a Task) -> impl Iterator<Item = &'a Record> {
        self.records
            .iter()
            .filter(|r| r.task.as_ref() == Some(&task.id) && self.holds(r))
    }

    /// The blocks a task was planned for, done or not; an empty list in the file means all.
    pub fn planned_blocks<'a>(&'a self, task: &'a Task) -> impl Iterator<Item = &'a Block> {
        self.blocks
            .iter()
            .filter(|b| task.blocks.is_empty() || task.blocks.contains(&b.id))
    }

    /// The parts of a task that are done, in the order of their records.
    pub fn done_parts<'a>(&'a self, task: &'a Task) -> Vec<DonePart<'a>> {
        self.parts_from(task, self.records_of(task).collect())
    }

    /// The same from records already looked up.
    pub(crate) fn parts_from<'a>(
        &'a self,
        task: &'a Task,
        records: Vec<&'a Record>,
    ) -> Vec<DonePart<'a>> {
        let named = |record: &Record| -> Vec<&'a Block> {
            if record.blocks.is_empty() {
                self.planned_blocks(task).collect()
            } else {
                let is_named = |b: &&Block| record.blocks.contains(&b.id);
                self.blocks.iter().filter(is_named).collect()
            }
        };
        if records.is_empty() {
            return match task.state {
                TaskState::Done(day) => vec![DonePart {
                    day,
                    blocks: self.planned_blocks(task).collect(),
                    record: None,
                }],
                TaskState::Planned | TaskState::Skipped(_) => Vec::new(),
            };
        }
        records
            .into_iter()
            .map(|record| DonePart {
                day: record.date,
                blocks: named(record),
                record: Some(record),
            })
            .collect()
    }

    /// The blocks of a task that are still to do: none once it is done or skipped.
    pub fn open_blocks<'a>(&'a self, task: &'a Task) -> Vec<&'a Block> {
        if !task.state.is_open() {
            return Vec::new();
        }
        let records: Vec<&Record> = self.records_of(task).collect();
        if records.is_empty() {
            return self.planned_blocks(task).collect();
        }
        let done = self.parts_from(task, records);
        self.planned_blocks(task)
            .filter(|b| !done.iter().any(|p| p.blocks.iter().any(|d| d.id == b.id)))
            .collect()
    }

    /// The blocks a task is about as it stands: those still to do while it is open, those it was
    /// done on when it is done, those it was left out on when it was skipped.
    pub fn blocks_of<'a>(&'a self, task: &'a Task) -> impl Iterator<Item = &'a Block> {
        let records: Vec<&Record> = self.records_of(task).collect();
        let is_done = matches!(task.state, TaskState::Done(_));
        let parts = if records.is_empty() {
            None
        } else {
            Some(self.parts_from(task, records))
        };
        self.blocks.iter().filter(move |b| {
            let planned = task.blocks.is_empty() || task.blocks.contains(&b.id);
            match &parts {
                None => planned,
                Some(parts) => {
                    let done = parts.iter().any(|p| p.blocks.iter().any(|d| d.id == b.id));
                    if is_done { done } else { planned && !done }
                }
            }
        })
    }

    /// The last day on which a task was done on a block; `None` where it was not.
    pub fn done_on(&self, task: &Task, block: &BlockId) -> Option<NaiveDate> {
        self.done_parts(task)
            .iter()
            .filter(|p| p.blocks.iter().any(|b| &b.id == block))
            .map(|p| p.day)
            .max()
    }

    /// Is this block still to do in this task?
    pub fn is_open_on(&self, task: &Task, block: &BlockId) -> bool {
        self.open_blocks(task).iter().any(|b| &b.id == block)
    }

    /// How many of its blocks a task is done on.
    pub fn progress(&self, task: &Task) -> Progress {
        let parts = self.done_parts(task);
        let done = |b: &&Block| parts.iter().any(|p| p.blocks.iter().any(|d| d.id == b.id));
        Progress {
            done: self.planned_blocks(task).filter(done).count(),
            of: self.planned_blocks(task).count(),
        }
    }

    /// What the records of a task say of its state: done on the day of the last part once every
    /// planned block has one, to do again while some have none. Without records, and where the
    /// rest was skipped, what was said stands.
    pub fn state_by_records(&self, task: &Task) -> TaskState {
        let records: Vec<&Record> = self.records_of(task).collect();
        let Some(last) = records.iter().map(|r| r.date).max() else {
            return task.state.clone();
        };
        let progress = self.progress(task);
        if progress.done >= progress.of {
            TaskState::Done(last)
        } else if let TaskState::Skipped(day) = task.state {
            TaskState::Skipped(day)
        } else {
            TaskState::Planned
        }
    }
}
