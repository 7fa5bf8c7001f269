//! Sprays of one mix on many blocks as one line: `5 of 11 done`.

use crate::domain::season::{BlockId, MixPart, Season, Task, TaskId, TaskKind};
use chrono::NaiveDate;

/// Tasks that belong together: parts of one spray, or the same work with the same mix planned
/// block by block.
#[derive(Debug, Clone, PartialEq)]
pub struct Fold {
    /// The title they share.
    pub title: String,
    /// The tasks, by day.
    pub tasks: Vec<TaskId>,
    /// The first and the last day still to do, else of the work done.
    pub days: (NaiveDate, NaiveDate),
    /// Every block.
    pub blocks: Vec<BlockId>,
    /// Blocks done.
    pub done: usize,
}

impl Fold {
    /// `5 of 11 done`; nothing where it is one task with nothing done.
    pub fn progress(&self) -> Option<String> {
        (self.done > 0 || self.tasks.len() > 1)
            .then(|| format!("{} of {} done", self.done, self.blocks.len()))
    }
}

fn root<'a>(season: &Season, task: &'a Task) -> &'a TaskId {
    match &task.part_of {
        Some(id) if season.task(id).is_some() => id,
        _ => &task.id,
    }
}

/// The tasks of a season folded, in the order of their first open day.
pub fn folds(season: &Season) -> Vec<Fold> {
    struct Key<'a> {
        root: &'a TaskId,
        title: &'a str,
        mix: &'a [MixPart],
        lane: crate::domain::season::Lane,
        is_spray: bool,
    }
    let mut groups: Vec<(Key<'_>, Vec<&Task>)> = Vec::new();
    for task in &season.tasks {
        let key = Key {
            root: root(season, task),
            title: &task.title,
            mix: &task.mix,
            lane: task.lane,
            is_spray: task.kind == TaskKind::Spray,
        };
        let alike = |other: &Key<'_>| {
            other.root == key.root
                || (other.is_spray == key.is_spray
                    && other.lane == key.lane
                    && other.title == key.title
                    && other.mix == key.mix)
        };
        match groups.iter_mut().find(|g| alike(&g.0)) {
            Some(g) => g.1.push(task),
            None => groups.push((key, vec![task])),
        }
    }
    let mut folds: Vec<Fold> = groups
        .into_iter()
        .map(|(key, mut tasks)| {
            tasks.sort_by_key(|t| t.day());
            let open: Vec<NaiveDate> = tasks
                .iter()
                .filter(|t| t.state.is_open())
                .map(|t| t.date)
                .collect();
            let all: Vec<NaiveDate> = tasks.iter().map(|t| t.day()).collect();
            let days = if open.is_empty() { &all } else { &open };
            let mut blocks: Vec<BlockId> = Vec::new();
            let mut done: Vec<BlockId> = Vec::new();
            for task in &tasks {
                for block in season.planned_blocks(task) {
                    if !blocks.contains(&block.id) {
                        blocks.push(block.id.clone());
                    }
                }
                for part in season.done_parts(task) {
                    for block in part.blocks {
                        if !done.contains(&block.id) {
                            done.push(block.id.clone());
                        }
                    }
                }
            }
            let first = days.iter().min().copied().unwrap_or_default();
            let last = days.iter().max().copied().unwrap_or(first);
            Fold {
                title: key.title.to_owned(),
                tasks: tasks.iter().map(|t| t.id.clone()).collect(),
                days: (first, last),
                done: done.iter().filter(|b| blocks.contains(b)).count(),
                blocks,
            }
        })
        .collect();
    folds.sort_by_key(|f| f.days.0);
    folds
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::{block, copper, season_with, spray};

    #[test]
    fn the_same_spray_block_by_block_is_one_line() {
        let mut season = season_with(vec![copper("cu")]);
        season.blocks = ["a", "b", "c"].map(block).to_vec();
        let on = |id: &str, block: &str| {
            let mut task = spray(id, &["cu"]);
            task.title = "copper".to_owned();
            task.blocks = vec![BlockId::from(block)];
            task
        };
        season.tasks = vec![on("1", "a"), on("2", "b"), on("3", "c")];
        season.tasks[0].state =
            crate::domain::season::TaskState::Done("2026-02-01".parse().unwrap());
        let folds = folds(&season);
        assert_eq!(folds.len(), 1);
        assert_eq!(folds[0].progress().unwrap(), "1 of 3 done");
        assert_eq!(folds[0].tasks.len(), 3);
    }
}
