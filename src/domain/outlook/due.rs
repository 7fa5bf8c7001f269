//! What is due: overdue, today, in the next seven days.

use crate::domain::rules::Level;
use crate::domain::season::{BlockId, Lane, Season, TaskId};
use chrono::{Days, NaiveDate};

/// One open task with its day and its worst warning.
#[derive(Debug, Clone, PartialEq)]
pub struct DueTask {
    /// Which task.
    pub task: TaskId,
    /// Its title.
    pub title: String,
    /// Its lane.
    pub lane: Lane,
    /// The day it is planned for.
    pub date: NaiveDate,
    /// The blocks it is for.
    pub blocks: Vec<BlockId>,
    /// The worst warning on it.
    pub worst: Option<Level>,
}

/// Open tasks by when they are due, each list in date order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Due {
    /// Planned for a day that has passed; stops first, since an old chore must not hide them.
    pub overdue: Vec<DueTask>,
    /// Planned for today.
    pub today: Vec<DueTask>,
    /// Planned for one of the seven days after today.
    pub next: Vec<DueTask>,
}

impl Due {
    /// Sorts the open tasks of a season by when they are due.
    pub fn of(
        season: &Season,
        today: NaiveDate,
        worst_of: impl Fn(&TaskId) -> Option<Level>,
    ) -> Self {
        let mut open: Vec<DueTask> = season
            .tasks
            .iter()
            .filter(|t| t.state.is_open())
            .map(|t| DueTask {
                task: t.id.clone(),
                title: t.title.clone(),
                lane: t.lane,
                date: t.date,
                blocks: season.blocks_of(t).map(|b| b.id.clone()).collect(),
                worst: worst_of(&t.id),
            })
            .collect();
        open.sort_by(|a, b| a.date.cmp(&b.date).then_with(|| a.task.cmp(&b.task)));
        let week = today.checked_add_days(Days::new(7)).unwrap_or(today);
        let mut due = Self::default();
        for task in open {
            if task.date < today {
                due.overdue.push(task);
            } else if task.date == today {
                due.today.push(task);
            } else if task.date <= week {
                due.next.push(task);
            }
        }
        due.overdue.sort_by_key(|d| d.worst != Some(Level::Stop));
        due
    }

    /// Is nothing due?
    pub fn is_empty(&self) -> bool {
        self.overdue.is_empty() && self.today.is_empty() && self.next.is_empty()
    }
}
