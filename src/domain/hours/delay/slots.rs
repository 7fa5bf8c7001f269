//! Where one task could go: every hour of the forecast, and the days after it.

use std::ops::Range;

use chrono::{Datelike, Days, NaiveDate, Timelike};

use super::super::air::Air;
use super::super::job::Job;
use super::super::limits::{LimitFrom, Limits, Look, OwnTime, Weight};
use super::super::verdict::{Fit, Grid, Reason};
use super::super::windows;
use super::Moved;
use super::give::{Give, Gives};
use super::neighbours::is_on_foot;
use crate::domain::fit_hours::{self, Busy};
use crate::domain::season::{Lane, Task, TaskKind};

/// One place for a task.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Slot {
    /// The day; `None` leaves the task out.
    pub day: Option<NaiveDate>,
    /// The hours of the job in the air; `None` beyond the forecast.
    pub hours: Option<Range<usize>>,
    /// The worst verdict of its hours; `None` beyond the forecast.
    pub fit: Option<Fit>,
    /// What is given on by taking it.
    pub gives: Gives,
    /// What it costs.
    pub cost: u64,
    /// Hours after the job until people may go back in, as far as they are known.
    pub reentry_h: Option<f64>,
}

/// Points of one day's delay.
const DAY: u64 = 10;

/// Every place for a task from an hour on. Where a label forbids an hour there is no place.
pub(super) fn slots(
    air: &Air,
    moved: &Moved<'_>,
    busy: &Busy,
    (from_hour, last_day): (usize, NaiveDate),
) -> Vec<Slot> {
    let job = Job::of(moved.season, moved.task);
    let grid = Grid::new(
        air,
        Limits::of(moved.season, moved.task),
        from_hour..air.len(),
    );
    let whole = job.whole_hours();
    let gives_by_hour: Vec<Option<Gives>> = grid.hours().map(|h| gives_of(&grid, air, h)).collect();
    let gives_in = |hours: &Range<usize>| {
        let hours = hours.start - from_hour..hours.end - from_hour;
        let mut each = gives_by_hour.get(hours)?.iter();
        each.try_fold(Gives::NONE, |all, gives| Some(all.and((*gives)?)))
    };
    let days = (Some(moved.earliest), moved.last_safe);
    let taken = busy.against(moved.task).filter(|_| shares(moved.task));
    let free = fit_hours::free_runs(air, grid.hours(), days, taken);
    let mut slots = Vec::new();
    for start in grid.hours() {
        let hours = start..start + whole;
        if hours.end > air.len() {
            break;
        }
        let day = air.local(start).date();
        let one_day = air.local(hours.end - 1).date() == day;
        let is_free = |run: &Range<usize>| run.start <= hours.start && hours.end <= run.end;
        if !one_day || !free.iter().any(is_free) {
            continue;
        }
        let Some(gives) = gives_in(&hours) else {
            continue;
        };
        let window = windows::window(&grid, air, hours.clone(), start, whole);
        let reentry_h = moved.reentry.hours(window.drying.latest_h);
        slots.push(moved.place(Slot {
            day: Some(day),
            hours: Some(hours),
            fit: Some(window.grade),
            gives,
            cost: window.cost.clamp(0.0, 9.0) as u64,
            reentry_h,
        }));
    }
    slots.extend(beyond(air, moved, last_day));
    slots.retain(|s| {
        s.day
            .is_none_or(|d| moved.label_expires.is_none_or(|e| d <= e))
    });
    let dear = match moved.task.lane {
        Lane::MidWinter => Give::LeaveOut.points(),
        Lane::AfterLeafDrop => 6 * Give::LeaveOut.points(),
        Lane::BeforeSwell => 10 * Give::LeaveOut.points(),
    };
    slots.push(Slot {
        day: None,
        hours: None,
        fit: None,
        gives: Gives::NONE.with(Give::LeaveOut),
        cost: dear,
        reentry_h: None,
    });
    slots
}

/// Does a task want a sprayer or the block for itself?
fn shares(task: &Task) -> bool {
    task.kind == TaskKind::Spray || is_on_foot(task)
}

/// The first day after the last safe one on which the weather would fit.
pub(super) fn fit_after(air: &Air, moved: &Moved<'_>) -> Option<NaiveDate> {
    let first = moved.last_safe?.succ_opt()?;
    let from = (0..air.len()).find(|h| air.local(*h).date() >= first)?;
    let grid = Grid::new(air, Limits::of(moved.season, moved.task), from..air.len());
    let whole = Job::of(moved.season, moved.task).whole_hours();
    let fits = |h: usize| grid.fit(h) == Some(Fit::Fit);
    let start = grid
        .hours()
        .find(|start| start + whole <= air.len() && (*start..start + whole).all(fits))?;
    Some(air.local(start).date())
}

/// Days after the forecast on which the grower works.
fn beyond(air: &Air, moved: &Moved<'_>, last_day: NaiveDate) -> Vec<Slot> {
    let own = OwnTime::of(&moved.season.orchard);
    let first = air
        .len()
        .checked_sub(1)
        .and_then(|last| air.local(last).date().checked_add_days(Days::new(1)))
        .unwrap_or(moved.earliest)
        .max(moved.earliest);
    first
        .iter_days()
        .take_while(|day| *day <= last_day && moved.last_safe.is_none_or(|last| *day <= last))
        .filter(|day| own.holds_day(day.weekday()))
        .map(|day| {
            moved.place(Slot {
                day: Some(day),
                hours: None,
                fit: None,
                gives: Gives::NONE.with(Give::Unjudged),
                cost: Give::Unjudged.points(),
                reentry_h: moved.reentry.hours(None),
            })
        })
        .collect()
}

/// What is given on by working in an hour; `None` where that may not be.
fn gives_of(grid: &Grid, air: &Air, hour: usize) -> Option<Gives> {
    let reasons = grid.raw_reasons(air, hour);
    reasons.iter().try_fold(Gives::NONE, |gives, reason| {
        give_of(reason).map(|g| g.map_or(gives, |g| gives.with(g)))
    })
}

/// What a reason asks to give on; the outer `None` where it cannot be given.
#[allow(clippy::option_option)]
fn give_of(reason: &Reason) -> Option<Option<Give>> {
    match (reason.weight, reason.limit.from, reason.limit.look) {
        (Weight::Advice, ..) => Some(None),
        (Weight::Doubt, ..) => Some(Some(Give::Doubt)),
        (Weight::Stop, _, Look::OwnTime) => Some(Some(Give::OwnTime)),
        (
            Weight::Stop,
            LimitFrom::Published(_),
            Look::AirBelow(_)
            | Look::AirAbove(_)
            | Look::ColdAfter { .. }
            | Look::ColdBefore { .. }
            | Look::RainAfter(_)
            | Look::RainBefore(_),
        ) => Some(Some(Give::Practice)),
        (Weight::Stop, ..) => None,
    }
}

impl Moved<'_> {
    /// Adds what a later day costs.
    fn place(&self, mut slot: Slot) -> Slot {
        let Some(day) = slot.day else { return slot };
        let late = (day - self.task.date).num_days().max(0).unsigned_abs();
        slot.cost += late * DAY;
        if slot.hours.is_some() {
            slot.cost += slot.gives.iter().map(Give::points).sum::<u64>();
        }
        slot
    }
}

impl Slot {
    /// The hour of the day it begins, on the orchard's clock.
    pub(super) fn clock(&self, air: &Air) -> Option<u32> {
        self.hours.as_ref().map(|h| air.local(h.start).hour())
    }

    /// Days since the common era, for gaps.
    pub(super) fn day_number(&self) -> Option<i32> {
        self.day.map(|d| d.num_days_from_ce())
    }
}
