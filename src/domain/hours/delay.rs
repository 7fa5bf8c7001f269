//! Where each task goes after rain: into the next fit hours, keeping the labels' intervals, the
//! days between actives that do not go together, re-entry and the last safe day. When nothing
//! fits: what to give up, and what that costs. The last safe day is never passed: where the weather
//! fits only behind it, the task is left out, and that is said.

mod give;
mod neighbours;
mod plan;
mod search;
mod slots;

use chrono::{DateTime, Days, NaiveDate, Utc};

use super::air::Air;
use crate::domain::fit_hours::Busy;
use crate::domain::mix::safety;
use crate::domain::outlook::Estimates;
use crate::domain::rules::Facts;
use crate::domain::season::edit::{self, Delay, DelayScope, EditError};
use crate::domain::season::{Season, Task, TaskId};
use crate::domain::window::TaskWindow;
use neighbours::Neighbours;
use slots::Slot;

pub use give::{Give, Gives};
pub use plan::{Place, Plan};

/// What is asked.
#[derive(Debug, Clone)]
pub struct Request {
    /// The task that cannot be done as planned.
    pub task: TaskId,
    /// It alone, or all that follow on its blocks.
    pub scope: DelayScope,
    /// Not before this moment.
    pub from: DateTime<Utc>,
    /// How many days after that to look, the forecast's among them.
    pub days: u32,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The tasks that move.
    pub moved: Vec<TaskId>,
    /// Every task into fit hours with nothing given on; `None` where there is no such plan.
    pub best: Option<Plan>,
    /// Where there is none: plans that give on as few things as can be, cheapest first. Each
    /// gives on a different set, and no set holds another.
    pub choices: Vec<Plan>,
}

/// How long people stay out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wait {
    /// Hours of the longest label.
    pub hours: f64,
    /// Must it also be dry?
    pub until_dry: bool,
}

impl Wait {
    /// Hours with the time to dry; `None` where it must dry and that is not known.
    fn hours(self, drying_h: Option<f64>) -> Option<f64> {
        if self.until_dry {
            drying_h.map(|d| d.max(self.hours))
        } else {
            Some(self.hours)
        }
    }
}

/// A task that moves, with what it must keep.
pub(super) struct Moved<'a> {
    /// The season.
    pub season: &'a Season,
    /// The task.
    pub task: &'a Task,
    /// Its first possible day.
    pub earliest: NaiveDate,
    /// The last day a label of its mix may be used.
    pub label_expires: Option<NaiveDate>,
    /// Its last safe day, where the estimates give one; it is never passed.
    pub last_safe: Option<NaiveDate>,
    /// How long people stay out after it.
    pub reentry: Wait,
}

/// Proposes where the tasks of a delay go. The search is exact: no cheaper plan exists among
/// the hours of the forecast and the days after it, by the costs of [`Give::points`], ten points
/// for each day of delay, and up to nine for how well an hour dries.
///
/// One pair of hands is taken to do everything: two jobs do not overlap.
///
/// # Errors
/// When the task does not exist or is not open.
pub fn propose(
    season: &Season,
    estimates: &Estimates,
    air: &Air,
    request: &Request,
) -> Result<Proposal, EditError> {
    let delay = Delay {
        task: request.task.clone(),
        days: 0,
        scope: request.scope,
    };
    let ids: Vec<TaskId> = edit::delay_shifts(season, &delay)?
        .into_iter()
        .map(|s| s.task)
        .collect();
    let today = request.from.with_timezone(&air.site().zone).date_naive();
    let last_day = today
        .checked_add_days(Days::new(u64::from(request.days)))
        .ok_or(EditError::OutOfCalendar)?;
    let facts = Facts::new(season, estimates, today);
    let moved: Vec<Moved<'_>> = ids
        .iter()
        .filter_map(|id| season.task(id))
        .map(|task| of_task(&facts, task, today))
        .collect();
    let from_hour = first_hour(air, request.from);
    let busy = Busy::new(&facts, air).without(&ids);
    let slots: Vec<Vec<Slot>> = moved
        .iter()
        .map(|m| slots::slots(air, m, &busy, (from_hour, last_day)))
        .collect();
    let neighbours = Neighbours::new(&facts, &moved, &slots);
    let solve = |allowed: Gives| {
        search::cheapest(&plan::Within {
            slots: &slots,
            neighbours: &neighbours,
            allowed,
        })
    };
    let built = |solution: &search::Solution| {
        plan::build(&facts, air, &moved, &slots, &neighbours, solution)
    };
    let best = solve(Gives::NONE).map(|s| built(&s));
    let mut choices = Vec::new();
    if best.is_none() {
        let mut found: Vec<Gives> = Vec::new();
        let possible = neighbours.possible();
        for allowed in possible.subsets() {
            if found.iter().any(|f| f.within(allowed)) {
                continue;
            }
            if let Some(solution) = solve(allowed) {
                found.push(allowed);
                choices.push(built(&solution));
            }
        }
        choices.sort_by_key(|plan: &Plan| plan.cost);
    }
    Ok(Proposal {
        moved: ids,
        best,
        choices,
    })
}

/// The place of the first full hour not before a moment.
fn first_hour(air: &Air, from: DateTime<Utc>) -> usize {
    let seconds = (from - air.series().first()).num_seconds();
    usize::try_from(seconds.max(0).div_euclid(3600) + i64::from(seconds.max(0) % 3600 > 0))
        .unwrap_or(usize::MAX)
}

fn of_task<'a>(facts: &Facts<'a>, task: &'a Task, today: NaiveDate) -> Moved<'a> {
    let materials: Vec<_> = task
        .mix
        .iter()
        .filter_map(|part| facts.season.material(&part.material))
        .collect();
    let reentry = safety::reentry(materials.iter().copied());
    Moved {
        season: facts.season,
        task,
        earliest: earliest(facts, task, today),
        label_expires: materials.iter().filter_map(|m| m.label.expires).min(),
        last_safe: facts.windows().of(&task.id).and_then(TaskWindow::last_safe),
        reentry: Wait {
            hours: reentry.hours.unwrap_or(0.0),
            // A re-entry nobody knows is treated like "until dry".
            until_dry: reentry.until_dry || !reentry.unknown.is_empty(),
        },
    }
}

/// Not before it was planned, not before its window opens where that leaves a day. Intervals are
/// left to the search: the spray they count from may move as well.
fn earliest(facts: &Facts<'_>, task: &Task, today: NaiveDate) -> NaiveDate {
    let planned = task.date.max(today);
    let Some(window) = facts.windows().of(&task.id) else {
        return planned;
    };
    window
        .opens_alone
        .filter(|opens| window.last_safe().is_none_or(|last| *opens <= last))
        .map_or(planned, |opens| planned.max(opens))
}

#[cfg(test)]
mod tests;
