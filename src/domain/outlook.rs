//! Everything derived for one day: the single entry that every face reads.
//!
//! [`outlook`] turns (season, estimates, today) into an [`Outlook`]. Board,
//! commands and reports only read it, so they can never disagree.

mod asked;
mod basis;
mod changes;
mod doubt;
mod due;
mod estimates;
mod gauge;
mod ground;
mod hatch;
mod past;
mod standing;
mod swells;
mod to_come;

pub use asked::{Asked, asked};
pub use basis::Basis;
pub use changes::{Changes, Stays, touched};
pub use doubt::Look;
pub use due::{Due, DueTask};
pub use estimates::{BlockEstimate, Estimates, STAGES, climatology, normals};
pub use gauge::{gauge_against, gauge_mm, gauge_words, reckoned_mm};
pub use ground::{AREAS_NORMAL_WEATHER, Ground};
pub use hatch::Hatch;
pub use past::{AskedAgain, asked_again};
pub use standing::Standing;
pub use swells::{SpeciesSwell, of_blocks as swells_of_blocks};
pub use to_come::{ToCome, to_come};

use super::hours::fits::Fits;
use super::rules::{self, Facts, Level, Warning};
use super::season::{Season, TaskId};
use crate::domain::look_up::LookUp;
use chrono::NaiveDate;

/// Everything derived for one day.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// The day it holds for.
    pub today: NaiveDate,
    /// Every warning, worst first.
    pub warnings: Vec<Warning>,
    /// What is due.
    pub due: Due,
    /// The swell of each kind of tree, the earliest last safe day first.
    pub swells: Vec<SpeciesSwell>,
    /// What the swells rest on.
    pub ground: Ground,
    /// Open tasks whose gravest warning is a stop.
    pub stopped: usize,
    /// Open tasks whose gravest warning is a caution.
    pub cautioned: usize,
    /// Each task's warnings: a board of hundreds of cards asks for them card by card.
    by_task: LookUp<TaskId, Spoken>,
    /// Places of the warnings no task answers for.
    loose: Vec<usize>,
    /// How every open task stands.
    standings: LookUp<TaskId, Standing>,
}

/// What speaks on a task.
#[derive(Debug, Clone)]
struct Spoken {
    worst: Level,
    /// Places of its warnings, worst first.
    places: Vec<usize>,
}

impl Outlook {
    /// The warnings of one task, worst first.
    pub fn warnings_of(&self, task: &TaskId) -> impl Iterator<Item = &Warning> {
        self.by_task
            .get(task)
            .into_iter()
            .flat_map(|spoken| &spoken.places)
            .filter_map(|place| self.warnings.get(*place))
    }

    /// How an open task stands.
    pub fn standing(&self, task: &TaskId) -> Option<&Standing> {
        self.standings.get(task)
    }

    /// The warning to say first on a task: its reason, and what to do.
    pub fn reason_of(&self, task: &TaskId) -> Option<&Warning> {
        self.warnings
            .get(self.by_task.get(task)?.places.first().copied()?)
    }

    /// The gravest level that speaks on a task.
    pub fn worst_of(&self, task: &TaskId) -> Option<Level> {
        self.by_task.get(task).map(|spoken| spoken.worst)
    }

    /// Warnings on blocks that no task answers for, worst first.
    pub fn loose(&self) -> impl Iterator<Item = &Warning> {
        self.loose
            .iter()
            .filter_map(|place| self.warnings.get(*place))
    }

    /// Everything due, soonest first.
    pub fn due_tasks(&self) -> impl Iterator<Item = &DueTask> {
        self.due
            .overdue
            .iter()
            .chain(&self.due.today)
            .chain(&self.due.next)
    }
}

/// Derives everything for one day from what is planned and what is estimated.
///
/// The estimates are an argument, not made here, because they depend only on
/// blocks, readings and weather: moving a card must not compute them again.
pub fn outlook(season: &Season, estimates: &Estimates, today: NaiveDate) -> Outlook {
    outlook_with(season, estimates, None, today)
}

/// The same with the fit hours of the open sprays, where there is hourly weather: the weather
/// rules look at them.
pub fn outlook_with(
    season: &Season,
    estimates: &Estimates,
    fits: Option<&Fits>,
    today: NaiveDate,
) -> Outlook {
    let facts = Facts::new(season, estimates, today);
    of_facts(&match fits {
        Some(fits) => facts.with_fits(fits),
        None => facts,
    })
}

fn of_facts(facts: &Facts<'_>) -> Outlook {
    let warnings = rules::check(facts);
    let mut by_task: LookUp<TaskId, Spoken> = LookUp::default();
    let mut loose = Vec::new();
    for (place, warning) in warnings.iter().enumerate() {
        let Some(task) = &warning.task else {
            loose.push(place);
            continue;
        };
        let spoken = by_task.entry(task.clone()).or_insert(Spoken {
            worst: warning.level,
            places: Vec::new(),
        });
        spoken.worst = spoken.worst.max(warning.level);
        spoken.places.push(place);
    }
    let open = facts.season.tasks.iter().filter(|t| t.state.is_open());
    let worst: Vec<Level> = open
        .filter_map(|t| by_task.get(&t.id))
        .map(|spoken| spoken.worst)
        .collect();
    let standings = standing::all(facts, |task| {
        let spoken = by_task.get(task)?;
        Some((spoken.worst, *spoken.places.first()?))
    });
    let of = |level: Level| worst.iter().filter(|l| **l == level).count();
    let mut outlook = Outlook {
        today: facts.today,
        warnings,
        due: Due::default(),
        swells: swells::by_species(facts.season, facts.estimates),
        ground: facts.estimates.ground.clone(),
        stopped: of(Level::Stop),
        cautioned: of(Level::Caution),
        by_task,
        loose,
        standings,
    };
    outlook.due = Due::of(facts.season, facts.today, |task| outlook.worst_of(task));
    outlook
}
