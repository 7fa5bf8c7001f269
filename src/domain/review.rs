//! What changed since the last review, and what to look at this week.
//!
//! The season as it was is not kept. It is derived: every move, state, reading
//! and record has its day, so [`season_as_of`] can take back what came later,
//! and the estimate of that day is computed again.

mod closing;
mod look;
mod mark;
mod rewind;
mod risk;
mod swell;
mod windows;
mod work;

pub use closing::{Closing, closing};
pub use look::{Look, look};
pub use mark::mark;
pub use rewind::season_as_of;
pub use risk::{Risk, risks};
pub use swell::{Cause, Range, SwellChange, changes, stage_date};
pub use windows::windows;
pub use work::{FinishedTask, MovedTask, finished, moved};

use super::hours::fits::Fits;
use super::outlook::{DueTask, Estimates, Ground, Outlook, outlook, outlook_with};
use super::records::{self, Flaw, Law, ReentryState};
use super::rules::Warning;
use super::season::{MaterialId, Reading, RecordId, RecordsHead, Season, TaskId};
use chrono::{NaiveDate, NaiveDateTime};

/// Hours in a row fit for spraying.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FitWindow {
    /// From, local time.
    pub from: NaiveDateTime,
    /// To, local time.
    pub to: NaiveDateTime,
    /// What it is fit for, or what to mind.
    pub words: String,
}

/// A material that will not suffice for what is planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Short {
    /// Which material.
    pub material: MaterialId,
    /// How much is wanted and how much is there.
    pub words: String,
}

/// What the review takes from other rooms.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Surroundings {
    /// Fit windows of the coming days; none where there is no hourly forecast.
    pub windows: Option<Vec<FitWindow>>,
    /// What is short.
    pub short: Vec<Short>,
    /// What the swell estimates rest on, where that has to be said.
    pub ground: Ground,
    /// Counts of records noted elsewhere, see [`records::integrity()`].
    pub records_noted: Vec<RecordsHead>,
    /// The laws whose elements a record should hold; empty means all.
    pub laws: Vec<Law>,
}

/// A spray whose record is absent or lacks something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Incomplete {
    /// The record, where there is one.
    pub record: Option<RecordId>,
    /// The task.
    pub task: Option<TaskId>,
    /// What is missing.
    pub words: String,
}

/// The week's review.
#[derive(Debug, Clone)]
pub struct Review {
    /// The day it holds for.
    pub today: NaiveDate,
    /// The day of the last review, or the first day of the season.
    pub since: NaiveDate,
    /// Is it the first one of the season?
    pub first: bool,
    /// Tasks done or left out since then.
    pub finished: Vec<FinishedTask>,
    /// Open tasks whose date was changed since then.
    pub moved: Vec<MovedTask>,
    /// Open tasks past their day.
    pub overdue: Vec<DueTask>,
    /// Open tasks of today and the seven days after.
    pub next: Vec<DueTask>,
    /// Stops and cautions that stand, new ones first.
    pub risks: Vec<Risk>,
    /// Stops and cautions that are gone.
    pub cleared: Vec<Warning>,
    /// Readings noted since then.
    pub readings: Vec<Reading>,
    /// The swell estimate then and now.
    pub swell: Vec<SwellChange>,
    /// Targets whose window closes within three weeks.
    pub closing: Vec<Closing>,
    /// Where others must stay out.
    pub reentry: Vec<ReentryState>,
    /// Sprays whose record is absent or lacks something a law asks for.
    pub incomplete: Vec<Incomplete>,
    /// What is wrong with the records.
    pub flaws: Vec<Flaw>,
    /// What to look at in the orchard.
    pub look: Vec<Look>,
    /// What the other rooms know.
    pub around: Surroundings,
}

impl Review {
    /// Did nothing happen that wants a decision?
    pub fn is_quiet(&self) -> bool {
        self.finished.is_empty()
            && self.moved.is_empty()
            && self.overdue.is_empty()
            && self.risks.iter().all(|r| !r.is_new)
            && self.closing.is_empty()
            && self.reentry.is_empty()
            && self.incomplete.is_empty()
            && self.flaws.is_empty()
            && self.around.short.is_empty()
    }
}

/// The day the review reaches back to, and whether it is the first one.
pub fn last_reviewed(season: &Season, today: NaiveDate) -> (NaiveDate, bool) {
    match season.reviewed.iter().filter(|d| **d <= today).max() {
        Some(day) => (*day, false),
        None => (season.starts().min(today), true),
    }
}

/// The review of a season at a moment.
///
/// `estimate` computes the stage dates of a season as of a day, with the
/// weather that was known by then; it is asked for the day of the last review
/// and for the steps between then and now.
pub fn since(
    season: &Season,
    estimates: &Estimates,
    fits: Option<&Fits>,
    now: NaiveDateTime,
    around: Surroundings,
    estimate: impl Fn(&Season, NaiveDate) -> Estimates,
) -> Review {
    let today = now.date();
    let (since, first) = last_reviewed(season, today);
    let outlook_now = outlook_with(season, estimates, fits, today);
    let then = season_as_of(season, since);
    let estimates_then = estimate(&then, since);
    let outlook_then = outlook(&then, &estimates_then, since);
    let laws = if around.laws.is_empty() {
        Law::of_place(&season.orchard)
    } else {
        around.laws.clone()
    };
    let Outlook { due, .. } = &outlook_now;
    Review {
        today,
        since,
        first,
        finished: finished(season, since, today),
        moved: moved(season, since, today),
        overdue: due.overdue.clone(),
        next: due.today.iter().chain(&due.next).cloned().collect(),
        risks: risks(&outlook_then, &outlook_now),
        cleared: risk::cleared(&outlook_then, &outlook_now),
        readings: season
            .readings
            .iter()
            .filter(|r| (since..=today).contains(&r.date()))
            .cloned()
            .collect(),
        swell: changes(season, &then, &estimates_then, estimates, today, &estimate),
        closing: closing(season, estimates, today),
        reentry: records::reentries(season, now)
            .into_iter()
            .filter(|s| s.standing.is_open())
            .collect(),
        incomplete: incomplete(season, &laws),
        flaws: records::integrity(season, &around.records_noted),
        look: look(season, estimates, today),
        around,
    }
}

fn incomplete(season: &Season, laws: &[Law]) -> Vec<Incomplete> {
    let without = records::done_without_record(season).map(|task| Incomplete {
        record: None,
        task: Some(task.id.clone()),
        words: format!("{} ({}): no record", task.title, task.day()),
    });
    let lacking = records::current(season).filter_map(|record| {
        let lacks: Vec<&str> = records::missing(record, laws)
            .iter()
            .filter(|m| m.is_law())
            .map(|m| m.element)
            .collect();
        (!lacks.is_empty()).then(|| Incomplete {
            record: Some(record.id.clone()),
            task: record.task.clone(),
            words: format!("{} ({}): {}", record.id, record.date, lacks.join(", ")),
        })
    });
    without.chain(lacking).collect()
}
