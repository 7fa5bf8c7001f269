//! How one task stands: derived once, read by every face.

use crate::domain::fit_hours::{self, Busy, NextHours, Stretch};
use crate::domain::look_up::LookUp;
use crate::domain::rules::{Facts, Level};
use crate::domain::season::{BlockId, Task, TaskId};
use crate::domain::window::{LastStart, TaskWindow, WindowState};
use chrono::NaiveDate;

/// How one open task stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The day it is judged on: the later of its planned day and today.
    pub judged_on: NaiveDate,
    /// How its window stands ([`TaskWindow::standing`](crate::domain::window::TaskWindow::standing));
    /// none for other work than sprays.
    pub state: Option<WindowState>,
    /// The first day its window is open.
    pub opens: Option<NaiveDate>,
    /// The last safe day.
    pub last_safe: Option<NaiveDate>,
    /// Is no day left for it at all: a season's limit is taken, or it opens after its last safe day?
    pub no_day_left: bool,
    /// The days on which it does most good.
    pub best: Option<(NaiveDate, NaiveDate)>,
    /// A job of several days begins by this one.
    pub start_by: Option<LastStart>,
    /// The block that sets the last safe day.
    pub last_safe_on: Option<BlockId>,
    /// The gravest level of its warnings.
    pub level: Option<Level>,
    /// The place of the warning that is said first: its reason and its cure.
    pub reason: Option<usize>,
    /// The next hours of a spray.
    pub hours: NextHours,
    /// Every stretch of hours inside its window, best first.
    pub stretches: Vec<Stretch>,
}

impl Standing {
    /// Days until the last safe day, counted from a day; negative once it has passed.
    pub fn days_left(&self, from: NaiveDate) -> Option<i64> {
        self.last_safe.map(|last| (last - from).num_days())
    }
}

/// The standings of all open tasks.
pub(super) fn all(
    facts: &Facts<'_>,
    spoken: impl Fn(&TaskId) -> Option<(Level, usize)>,
) -> LookUp<TaskId, Standing> {
    let busy = facts
        .fits()
        .map_or_else(Busy::default, |fits| Busy::new(facts, fits.air()));
    facts
        .season
        .tasks
        .iter()
        .filter(|t| t.state.is_open())
        .map(|task| (task.id.clone(), one(facts, task, spoken(&task.id), &busy)))
        .collect()
}

fn one(facts: &Facts<'_>, task: &Task, spoken: Option<(Level, usize)>, busy: &Busy) -> Standing {
    let window = facts.windows().of(&task.id);
    let stretches = facts.fits().map_or_else(Vec::new, |fits| {
        fit_hours::stretches(fits, task, window, busy)
    });
    let hours = facts.fits().map_or(NextHours::NotKnown, |fits| {
        fit_hours::next_of(fits, task, window, &stretches)
    });
    Standing {
        judged_on: facts.judged_on(task),
        state: window.map(|w| w.standing(facts.today)),
        opens: window.and_then(|w| w.opens_on()),
        last_safe: window.and_then(|w| w.last_safe()),
        no_day_left: window.is_some_and(TaskWindow::has_no_day),
        best: window.and_then(|w| w.best),
        start_by: window.and_then(|w| w.start_by),
        last_safe_on: window
            .and_then(|w| w.closes)
            .and_then(|(_, ix)| facts.season.blocks.get(ix))
            .map(|b| b.id.clone()),
        level: spoken.map(|(level, _)| level),
        reason: spoken.map(|(_, place)| place),
        hours,
        stretches,
    }
}
