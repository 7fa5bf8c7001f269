//! Sprays of one mix on many blocks as one line: `5 of 11 done`.

use crate::domain::look_up::LookUp;
use crate::domain::season::{BlockId, Lane, MaterialId, MixPart, Season, Task, TaskId, TaskKind};
use std::collections::HashSet;

/// Tasks that belong together: parts of one spray, or the same work with the same mix planned
/// block by block.
#[derive(Debug, Clone, PartialEq)]
pub struct Fold {
    /// The tasks, by day.
    pub tasks: Vec<TaskId>,
}

impl Fold {
    /// Blocks done and blocks in all.
    pub fn blocks(&self, season: &Season) -> (usize, usize) {
        let mut blocks: Vec<&BlockId> = Vec::new();
        let mut done: Vec<&BlockId> = Vec::new();
        for task in self.tasks.iter().filter_map(|id| season.task(id)) {
            for block in season.planned_blocks(task) {
                if !blocks.contains(&&block.id) {
                    blocks.push(&block.id);
                }
            }
            for block in season.done_parts(task).into_iter().flat_map(|p| p.blocks) {
                if !done.contains(&&block.id) {
                    done.push(&block.id);
                }
            }
        }
        let done = done.iter().filter(|b| blocks.contains(b)).count();
        (done, blocks.len())
    }

    /// `5 of 11 done`; nothing where it is one task with nothing done.
    pub fn progress(&self, season: &Season) -> Option<String> {
        let (done, of) = self.blocks(season);
        let is_one = self.tasks.len() == 1;
        let is_partly = done > 0 && done < of;
        (!is_one || is_partly).then(|| format!("{done} of {of} done"))
    }
}

/// What tasks that are alike share.
#[derive(PartialEq, Eq, Hash)]
struct Alike<'a> {
    title: &'a str,
    lane: Lane,
    is_spray: bool,
    mix: Vec<(&'a MaterialId, Option<String>)>,
}

fn alike(task: &Task) -> Alike<'_> {
    let rate = |p: &MixPart| p.rate.map(|rate| rate.to_string());
    Alike {
        title: &task.title,
        lane: task.lane,
        is_spray: task.kind == TaskKind::Spray,
        mix: task.mix.iter().map(|p| (&p.material, rate(p))).collect(),
    }
}

/// Those of several tasks, with what each task belongs to: a board of hundreds asks card by card.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Folds {
    all: Vec<Fold>,
    of: LookUp<TaskId, usize>,
}

impl Folds {
    /// Folds the tasks of a season.
    pub fn new(season: &Season) -> Self {
        let mut all = folds(season);
        all.retain(|f| f.tasks.len() > 1);
        let each = all.iter().enumerate();
        let of = each.flat_map(|(place, f)| f.tasks.iter().map(move |id| (id.clone(), place)));
        Self {
            of: of.collect(),
            all,
        }
    }

    /// The place of the fold of a task.
    pub fn place(&self, task: &TaskId) -> Option<usize> {
        self.of.get(task).copied()
    }

    /// The fold of a task.
    pub fn of(&self, task: &TaskId) -> Option<&Fold> {
        self.all.get(self.place(task)?)
    }
}

/// The tasks of a season folded, in the order of the file.
fn folds(season: &Season) -> Vec<Fold> {
    let ids: HashSet<&TaskId> = season.tasks.iter().map(|t| &t.id).collect();
    let mut by_root: LookUp<&TaskId, usize> = LookUp::default();
    let mut by_kind: LookUp<Alike<'_>, usize> = LookUp::default();
    let mut groups: Vec<Vec<&Task>> = Vec::new();
    for task in &season.tasks {
        let root = task.part_of.as_ref().filter(|id| ids.contains(id));
        let root = root.unwrap_or(&task.id);
        let kind = alike(task);
        let found = by_root.get(root).or_else(|| by_kind.get(&kind)).copied();
        let place = found.unwrap_or_else(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        by_root.entry(root).or_insert(place);
        by_kind.entry(kind).or_insert(place);
        if let Some(group) = groups.get_mut(place) {
            group.push(task);
        }
    }
    groups
        .into_iter()
        .map(|mut tasks| {
            tasks.sort_by_key(|t| t.day());
            Fold {
                tasks: tasks.iter().map(|t| t.id.clone()).collect(),
            }
        })
        .collect()
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
        assert_eq!(folds[0].progress(&season).unwrap(), "1 of 3 done");
        assert_eq!(folds[0].tasks.len(), 3);
    }
}
