//! A plan: a place for every task that moves, and what it gives on, in words.

use chrono::NaiveDate;

use super::super::air::Air;
use super::super::limits::{Limits, Weight};
use super::super::verdict::{Fit, Grid};
use super::Moved;
use super::give::{Give, Gives};
use super::neighbours::Neighbours;
use super::search::{Problem, Solution};
use super::slots::{self, Slot};
use crate::domain::rules::Facts;
use crate::domain::season::edit::{self, EditError};
use crate::domain::season::{Season, TaskId, TaskState};

/// Where one task goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Which task.
    pub task: TaskId,
    /// The day it was planned for.
    pub from: NaiveDate,
    /// The day it goes to; `None` leaves it out this season.
    pub to: Option<NaiveDate>,
    /// The hour it begins, on the orchard's clock; `None` beyond the forecast.
    pub hour: Option<u32>,
    /// The worst verdict of its hours; `None` beyond the forecast.
    pub fit: Option<Fit>,
    /// The last safe day, where the estimates give one.
    pub last_safe: Option<NaiveDate>,
    /// What is given on here, each with its price in plain words.
    pub gives: Vec<(Give, String)>,
}

/// A place for every task that moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Where each goes, in the order of their old dates.
    pub places: Vec<Place>,
    /// Everything given on.
    pub gives: Gives,
    /// What it costs in points; see [`Give::points`].
    pub cost: u64,
}

impl Plan {
    /// What is given on, in one line; empty where nothing is.
    pub fn headline(&self) -> String {
        self.gives
            .iter()
            .map(Give::words)
            .collect::<Vec<_>>()
            .join(" and ")
    }

    /// The places in plain words, one line a task, and a line for each thing given on.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for place in &self.places {
            let to = match (place.to, place.hour) {
                (Some(day), Some(hour)) => format!(
                    "{day} {hour:02}:00, {}",
                    place.fit.map_or("not judged", Fit::words)
                ),
                (Some(day), None) => format!("{day}, beyond the forecast"),
                (None, _) => "left out this season".to_owned(),
            };
            let safe = place
                .last_safe
                .map_or_else(String::new, |d| format!("; last safe day {d}"));
            lines.push(format!("{}: {} -> {to}{safe}", place.task, place.from));
            for (give, price) in &place.gives {
                lines.push(format!("   costs: {} ({price})", give.words()));
            }
        }
        lines
    }

    /// Makes the plan: dates and hours are changed, the moves are kept on record, what is left
    /// out is skipped.
    ///
    /// # Errors
    /// When a task is gone or no longer open.
    pub fn apply(&self, season: &Season, on: NaiveDate, why: &str) -> Result<Season, EditError> {
        self.places
            .iter()
            .try_fold(season.clone(), |season, place| {
                let Some(to) = place.to else {
                    return edit::set_state(&season, &place.task, TaskState::Skipped(on));
                };
                edit::plan_task(&season, &place.task, to, place.hour, on, why)
            })
    }
}

/// The search's view of the slots, with only some things allowed to be given on.
pub(super) struct Within<'a> {
    pub slots: &'a [Vec<Slot>],
    pub neighbours: &'a Neighbours<'a>,
    pub allowed: Gives,
}

impl Problem for Within<'_> {
    fn tasks(&self) -> usize {
        self.slots.len()
    }

    fn choices(&self, task: usize) -> usize {
        self.slots.get(task).map_or(0, Vec::len)
    }

    fn cost(&self, task: usize, choice: usize) -> Option<u64> {
        let slot = self.slots.get(task)?.get(choice)?;
        let fixed = self.neighbours.fixed(task, choice)?;
        slot.gives
            .and(fixed)
            .within(self.allowed)
            .then(|| slot.cost + fixed.points())
    }

    fn pair(&self, one: (usize, usize), two: (usize, usize)) -> Option<u64> {
        let gives = self.neighbours.pair(one, two)?;
        gives.within(self.allowed).then(|| gives.points())
    }
}

pub(super) fn build(
    facts: &Facts<'_>,
    air: &Air,
    moved: &[Moved<'_>],
    slots: &[Vec<Slot>],
    neighbours: &Neighbours<'_>,
    solution: &Solution,
) -> Plan {
    let mut gives = Gives::NONE;
    let mut places = Vec::new();
    for (task, (m, &pick)) in moved.iter().zip(&solution.picks).enumerate() {
        let Some(slot) = slots.get(task).and_then(|s| s.get(pick)) else {
            continue;
        };
        let mut own = slot
            .gives
            .and(neighbours.fixed(task, pick).unwrap_or_default());
        for (other, &their_pick) in solution.picks.iter().enumerate().skip(task + 1) {
            own = own.and(
                neighbours
                    .pair((task, pick), (other, their_pick))
                    .unwrap_or_default(),
            );
        }
        gives = gives.and(own);
        places.push(Place {
            task: m.task.id.clone(),
            from: m.task.date,
            to: slot.day,
            hour: slot.clock(air),
            fit: slot.fit,
            last_safe: m.last_safe,
            gives: own
                .iter()
                .map(|give| (give, price(facts, air, m, slot, give)))
                .collect(),
        });
    }
    Plan {
        places,
        gives,
        cost: solution.cost,
    }
}

/// What a give costs here, in plain words.
fn price(facts: &Facts<'_>, air: &Air, moved: &Moved<'_>, slot: &Slot, give: Give) -> String {
    let day = slot
        .day
        .map_or_else(String::new, |d| d.format("%a %Y-%m-%d").to_string());
    match give {
        Give::Doubt => reasons(facts, air, moved, slot, Weight::Doubt),
        Give::OwnTime | Give::Practice => reasons(facts, air, moved, slot, Weight::Stop),
        Give::Unjudged => format!("{day} lies beyond the forecast: look again when it is nearer"),
        Give::Order => "it comes before or after a task it used to follow or precede".to_owned(),
        Give::LeaveOut => left_out(air, moved),
        Give::Apart => {
            "closer to another active on the same trees than common practice wants".to_owned()
        }
    }
}

/// That a task is not done, and whether fit hours come only after its last safe day.
fn left_out(air: &Air, moved: &Moved<'_>) -> String {
    let said = format!("'{}' is not done this season", moved.task.title);
    let day = |d: NaiveDate| d.format("%a %Y-%m-%d").to_string();
    match (moved.last_safe, slots::fit_after(air, moved)) {
        (Some(last), Some(fit)) => format!(
            "{said}: the weather fits only on {}, after the last safe day, {}",
            day(fit),
            day(last)
        ),
        _ => said,
    }
}

fn reasons(facts: &Facts<'_>, air: &Air, moved: &Moved<'_>, slot: &Slot, weight: Weight) -> String {
    let Some(hours) = slot.hours.clone() else {
        return String::new();
    };
    let grid = Grid::new(air, Limits::of(moved.season, moved.task), hours.clone());
    let units = facts.season.orchard.units;
    let mut words: Vec<String> = Vec::new();
    for hour in hours {
        for reason in grid
            .raw_reasons(air, hour)
            .iter()
            .filter(|r| r.weight == weight)
        {
            let said = reason.words(air, &grid.limits, units);
            if !words.contains(&said) {
                words.push(said);
            }
        }
    }
    words.join("; ")
}
