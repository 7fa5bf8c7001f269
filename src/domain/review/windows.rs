//! The hours of the coming days that are fit for the sprays that come next.

use super::FitWindow;
use crate::domain::climate::weather::Weather;
use crate::domain::hours::air::{Air, Settings, Site};
use crate::domain::hours::job::Job;
use crate::domain::hours::limits::Limits;
use crate::domain::hours::verdict::{Fit, Grid};
use crate::domain::hours::windows::find;
use crate::domain::season::{Season, Task, TaskKind};
use chrono::{NaiveDateTime, TimeDelta, TimeZone, Utc};

/// How far ahead hours are looked at.
const AHEAD_DAYS: i64 = 7;
/// Sprays planned within this time are asked for.
const PLANNED_DAYS: i64 = 21;
/// Windows named for one spray.
const NAMED: usize = 2;

/// Fit windows of the coming week for every spray planned soon; `None` without
/// any hour of the coming days on file.
pub fn fit_windows(
    season: &Season,
    weather: &Weather,
    now: NaiveDateTime,
) -> Option<Vec<FitWindow>> {
    let hourly = weather.hourly.as_ref()?;
    let zone = season.orchard.time_zone;
    let from = zone.from_local_datetime(&now).latest()?.with_timezone(&Utc);
    if hourly.last()? <= from {
        return None;
    }
    let air = Air::new(
        hourly.clone(),
        Site::of(&season.orchard),
        Settings::default(),
    );
    let first = air.index_of(from).unwrap_or(0);
    let last = (first + AHEAD_DAYS as usize * 24).min(air.len());
    let mut tasks: Vec<&Task> = season
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray && t.state.is_open())
        .filter(|t| t.date <= now.date() + TimeDelta::days(PLANNED_DAYS))
        .collect();
    tasks.sort_by_key(|t| t.date);
    let mut found = Vec::new();
    for task in tasks {
        let grid = Grid::new(&air, Limits::of(season, task), first..last);
        let job = Job::of(season, task);
        for window in find(&grid, &air, &job).iter().take(NAMED) {
            let grade = match window.grade {
                Fit::Fit => "fit",
                Fit::Doubtful => "doubtful",
                Fit::Unfit => continue,
            };
            found.push(FitWindow {
                from: air.local(window.hours.start),
                to: air.local(window.hours.end),
                words: format!(
                    "{grade} for {}, best begun {}",
                    task.title,
                    air.local(window.start).format("%H:%M")
                ),
            });
        }
    }
    Some(found)
}
