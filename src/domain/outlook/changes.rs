//! What a change does to the warnings: which are new, which are cleared, and which level stays.

use super::Outlook;
use crate::domain::look_up::LookUp;
use crate::domain::rules::{Level, Warning};
use crate::domain::season::{Season, Task, TaskId};
use std::cell::LazyCell;

/// The warnings that come and go between two outlooks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Changes {
    /// New ones, or graver than before.
    pub appeared: Vec<Warning>,
    /// Gone, or replaced by one of another level.
    pub cleared: Vec<Warning>,
}

/// What a change leaves: a change must never sound like an all-clear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stays<'a> {
    /// The gravest level that is left.
    pub level: Level,
    /// How many warnings of it are left on what was changed; of the whole plan, how many tasks
    /// have one.
    pub count: usize,
    /// The first of them.
    pub first: &'a Warning,
    /// Is it about the whole plan, since nothing is left on what was changed?
    pub of_plan: bool,
}

impl Outlook {
    /// What another outlook warns of that this one does not, and the reverse.
    pub fn changes_to(&self, after: &Self) -> Changes {
        // By task: each against each would take minutes in a season of very many.
        let missing_in = |from: &Self, other: &Self| {
            let is_there = |w: &Warning| match &w.task {
                Some(task) => other.warnings_of(task).any(|o| o.is_same_matter(w)),
                None => other.loose().any(|o| o.is_same_matter(w)),
            };
            let missing = from.warnings.iter().filter(|w| !is_there(w));
            missing.cloned().collect()
        };
        Changes {
            appeared: missing_in(after, self),
            cleared: missing_in(self, after),
        }
    }

    /// The stops, else the cautions, left on these tasks; where there is none, those of the plan.
    pub fn stays(&self, touched: &[TaskId]) -> Option<Stays<'_>> {
        let of_touched = || touched.iter().flat_map(|id| self.warnings_of(id));
        let level = of_touched()
            .map(|w| w.level)
            .max()
            .filter(|l| *l >= Level::Caution);
        if let Some(level) = level {
            let mut left = of_touched().filter(|w| w.level == level);
            let first = left.next()?;
            return Some(Stays {
                level,
                count: 1 + left.count(),
                first,
                of_plan: false,
            });
        }
        let (level, count) = match (self.stopped, self.cautioned) {
            (0, 0) => return None,
            (0, cautioned) => (Level::Caution, cautioned),
            (stopped, _) => (Level::Stop, stopped),
        };
        let first = self
            .warnings
            .iter()
            .find(|w| w.level == level && w.task.is_some())?;
        Some(Stays {
            level,
            count,
            first,
            of_plan: true,
        })
    }
}

/// The tasks that a change touched, those added among them.
pub fn touched(before: &Season, after: &Season) -> Vec<TaskId> {
    // Most edits leave every task in its place.
    let elsewhere = LazyCell::new(|| -> LookUp<&TaskId, &Task> {
        before.tasks.iter().map(|t| (&t.id, t)).collect()
    });
    let was = |place: usize, id: &TaskId| {
        let here = before.tasks.get(place).filter(|t| t.id == *id);
        here.or_else(|| elsewhere.get(id).copied())
    };
    let tasks = after.tasks.iter().enumerate();
    let touched = tasks.filter(|(place, task)| was(*place, &task.id) != Some(*task));
    touched.map(|(_, task)| task.id.clone()).collect()
}
