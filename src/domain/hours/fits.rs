//! The fit hours of every open spray, kept until something they hang on changes.
//!
//! They hang on the hours of weather, on the season's place, blocks, sprayers and materials, and
//! on the task apart from its date: moving a card judges nothing anew.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, NaiveDate, TimeZone, Utc};

use super::air::{Air, Settings, Site};
use super::job::Job;
use super::limits::Limits;
use super::verdict::{Fit, Grid};
use super::windows::{self, Window};
use crate::domain::climate::hourly_series::HourlySeries;
use crate::domain::season::{
    Block, Material, Orchard, Reading, Season, Sprayer, Task, TaskId, TaskKind,
};

/// Days of weather kept before leaf drop: enough for bark and frost of the days before.
const DAYS_BEFORE: i64 = 5;

/// The verdicts of one task over the hours ahead.
#[derive(Debug, Clone)]
pub struct TaskFit {
    /// Every hour from the beginning of today on.
    pub grid: Grid,
    /// How long the work takes.
    pub job: Job,
    /// The windows not over yet, best first.
    pub windows: Vec<Window>,
}

impl TaskFit {
    fn of(season: &Season, air: &Air, task: &Task, when: &When) -> Self {
        let grid = Grid::new(air, Limits::of(season, task), when.first..air.len());
        let job = Job::of(season, task);
        let windows = windows::find_from(&grid, air, &job, when.now);
        Self { grid, job, windows }
    }

    /// The next window: the earliest that is fit throughout, else the earliest doubtful one.
    pub fn next(&self) -> Option<&Window> {
        windows::next(&self.windows)
    }

    /// The next window that is fit throughout.
    pub fn next_fit(&self) -> Option<&Window> {
        self.next().filter(|w| w.grade == Fit::Fit)
    }
}

/// Where the hours ahead begin, as places in the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct When {
    first: usize,
    now: usize,
}

/// The fit hours of every open spray.
#[derive(Debug, Clone)]
pub struct Fits {
    air: Arc<Air>,
    when: When,
    basis: Arc<Basis>,
    tasks: BTreeMap<TaskId, (Task, Arc<TaskFit>)>,
}

/// What every task's hours hang on.
#[derive(Debug, Clone, PartialEq)]
struct Basis {
    orchard: Orchard,
    blocks: Vec<Block>,
    sprayers: Vec<Sprayer>,
    materials: Vec<Material>,
    readings: Vec<Reading>,
}

impl Basis {
    fn of(season: &Season) -> Self {
        Self {
            orchard: season.orchard.clone(),
            blocks: season.blocks.clone(),
            sprayers: season.sprayers.clone(),
            materials: season.materials.clone(),
            readings: season.readings.clone(),
        }
    }

    fn holds(&self, season: &Season) -> bool {
        self.orchard == season.orchard
            && self.blocks == season.blocks
            && self.sprayers == season.sprayers
            && self.materials == season.materials
            && self.readings == season.readings
    }
}

/// The task without what its hours do not hang on.
fn bare(task: &Task) -> Task {
    Task {
        date: NaiveDate::default(),
        hour: None,
        title: String::new(),
        notes: None,
        why: None,
        part_of: None,
        moved: Vec::new(),
        quiet: Vec::new(),
        ..task.clone()
    }
}

impl Fits {
    /// Judges the hours from the beginning of the orchard's day on; windows that end before
    /// `now` are over.
    pub fn new(air: Arc<Air>, season: &Season, now: DateTime<Utc>) -> Self {
        let mut fits = Self {
            when: when(&air, now),
            air,
            basis: Arc::new(Basis::of(season)),
            tasks: BTreeMap::new(),
        };
        fits.take(season, &BTreeMap::new());
        fits
    }

    /// The same for a changed season or a later moment; what did not change is kept.
    #[must_use]
    pub fn renewed(&self, season: &Season, now: DateTime<Utc>) -> Self {
        let when = when(&self.air, now);
        let kept = when == self.when && self.basis.holds(season);
        let mut fits = Self {
            air: Arc::clone(&self.air),
            when,
            basis: if kept {
                Arc::clone(&self.basis)
            } else {
                Arc::new(Basis::of(season))
            },
            tasks: BTreeMap::new(),
        };
        let none = BTreeMap::new();
        fits.take(season, if kept { &self.tasks } else { &none });
        fits
    }

    fn take(&mut self, season: &Season, known: &BTreeMap<TaskId, (Task, Arc<TaskFit>)>) {
        let open = season
            .tasks
            .iter()
            .filter(|t| t.kind == TaskKind::Spray && t.state.is_open());
        for task in open {
            let key = bare(task);
            let fit = match known.get(&task.id) {
                Some((before, fit)) if *before == key => Arc::clone(fit),
                _ => Arc::new(TaskFit::of(season, &self.air, task, &self.when)),
            };
            self.tasks.insert(task.id.clone(), (key, fit));
        }
    }

    /// The hours of one task, while it is an open spray.
    pub fn of(&self, task: &TaskId) -> Option<&TaskFit> {
        self.tasks.get(task).map(|(_, fit)| fit.as_ref())
    }

    /// The hours themselves.
    pub fn air(&self) -> &Air {
        &self.air
    }

    /// Is any hour ahead known?
    pub fn reach_ahead(&self) -> bool {
        self.when.now < self.air.len()
    }

    /// The first hour not over yet, as a place in the air.
    pub fn now(&self) -> usize {
        self.when.now
    }
}

fn when(air: &Air, now: DateTime<Utc>) -> When {
    let zone = air.site().zone;
    let midnight = now
        .with_timezone(&zone)
        .date_naive()
        .and_time(chrono::NaiveTime::MIN);
    // A clock change may skip midnight; the day then begins an hour later.
    let morning = zone
        .from_local_datetime(&midnight)
        .earliest()
        .map_or(now, |t| t.with_timezone(&Utc));
    let place = |at: DateTime<Utc>| {
        let seconds = (at - air.series().first()).num_seconds();
        usize::try_from(seconds.max(0).div_euclid(3600))
            .unwrap_or(usize::MAX)
            .min(air.len())
    };
    When {
        first: place(morning),
        now: place(now),
    }
}

/// The air of a season: its hours from a few days before leaf drop on, judged from the day
/// before a moment on. `None` without any.
pub fn air_of(season: &Season, hourly: &HourlySeries, now: DateTime<Utc>) -> Option<Air> {
    let leaf_drop = season
        .blocks
        .iter()
        .map(|b| season.leaf_drop(b).0)
        .chain([season.dates.leaf_drop_expected])
        .min()?;
    let first = leaf_drop
        .and_time(chrono::NaiveTime::MIN)
        .and_utc()
        .checked_sub_signed(chrono::TimeDelta::days(DAYS_BEFORE))?;
    let hours = hourly.since(first);
    let before = (now - hours.first()).num_hours().saturating_sub(48);
    (!hours.is_empty()).then(|| {
        Air::judged_from(
            hours,
            Site::of(&season.orchard),
            Settings::of(&season.orchard),
            usize::try_from(before).unwrap_or(0),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::super::testing::{air_of, copper, date, fair, season_with, spray};
    use super::*;

    fn noon(day: &str) -> DateTime<Utc> {
        date(day).and_hms_opt(17, 0, 0).unwrap().and_utc()
    }

    #[test]
    fn moving_a_card_keeps_its_hours_and_another_mix_does_not() {
        let mut season = season_with(vec![copper("copper"), copper("other")]);
        season.tasks = vec![spray("t", &["copper"]), spray("u", &["copper"])];
        let now = noon("2026-02-10");
        let before = Fits::new(Arc::new(air_of(vec![fair(); 96])), &season, now);
        season.tasks[0].date = date("2026-02-12");
        season.tasks[1].mix[0].material = "other".into();
        let after = before.renewed(&season, now);
        let same = |id: &str| {
            let id = TaskId::from(id);
            std::ptr::eq(before.of(&id).unwrap(), after.of(&id).unwrap())
        };
        assert!(same("t"));
        assert!(!same("u"));
        // A later hour leaves fewer windows open, and everything is looked at again.
        let later = before.renewed(&season, noon("2026-02-11"));
        let id = TaskId::from("t");
        assert!(!std::ptr::eq(
            before.of(&id).unwrap(),
            later.of(&id).unwrap()
        ));
        let now = later.now();
        assert!(
            later
                .of(&id)
                .unwrap()
                .windows
                .iter()
                .all(|w| w.start >= now)
        );
    }

    #[test]
    fn finished_tasks_and_other_work_have_no_hours() {
        let mut season = season_with(vec![copper("copper")]);
        let mut done = spray("t", &["copper"]);
        done.state = crate::domain::season::TaskState::Done(date("2026-02-09"));
        let mut other = spray("u", &[]);
        other.kind = TaskKind::Scout;
        season.tasks = vec![done, other];
        let air = Arc::new(air_of(vec![fair(); 96]));
        let fits = Fits::new(air, &season, noon("2026-02-10"));
        assert!(fits.of(&TaskId::from("t")).is_none());
        assert!(fits.of(&TaskId::from("u")).is_none());
    }
}
