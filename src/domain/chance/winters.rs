//! Past winters laid on this season's calendar.

use crate::domain::climate::weather::Weather;
use crate::domain::hours::air::{Air, Settings, Site};
use crate::domain::hours::limits::Limits;
use crate::domain::hours::verdict::{Fit, Grid};
use crate::domain::outlook::{Estimates, climatology};
use crate::domain::season::{Season, Task};
use chrono::{Datelike, Days, NaiveDate, TimeZone, Timelike, Utc};

/// One past winter, its days named as this season's.
#[derive(Debug, Clone, PartialEq)]
pub struct Winter {
    /// The year its leaves fell in.
    pub year: i32,
    /// The first day, in this season.
    pub first: NaiveDate,
    /// How many days.
    pub days: usize,
    /// When the buds of each block would have swollen; `None` where that is not known.
    pub swell: Vec<Option<NaiveDate>>,
    /// For each kind of work, hour by hour, whether it was fit.
    pub fit: Vec<Vec<bool>>,
}

impl Winter {
    /// Was this hour fit for this kind of work?
    pub fn is_fit(&self, mix: usize, hour: usize) -> bool {
        self.fit.get(mix).and_then(|f| f.get(hour)) == Some(&true)
    }
}

/// Hours of a winter that must be known for it to count, out of all.
const KNOWN: f64 = 0.9;

/// The past winters of which the hours are on file, from `today`'s place in the season to
/// `until`; `tasks` are the kinds of work whose fit hours are wanted.
///
/// Swell of a past winter is what the estimate says of it with all of its temperatures known.
pub fn winters(
    season: &Season,
    weather: &Weather,
    tasks: &[&Task],
    (today, until): (NaiveDate, NaiveDate),
) -> Vec<Winter> {
    let Some(hourly) = &weather.hourly else {
        return Vec::new();
    };
    let days = usize::try_from((until - today).num_days() + 1).unwrap_or(0);
    let mut found = Vec::new();
    let zone = season.orchard.time_zone;
    let past = climatology(season, weather);
    for back in 1..=60 {
        let Some(first) = moved(today, -back) else {
            break;
        };
        let Some(start) = zone
            .from_local_datetime(&first.and_time(chrono::NaiveTime::MIN))
            .earliest()
            .map(|t| t.with_timezone(&Utc))
        else {
            continue;
        };
        if start < hourly.first() {
            break;
        }
        // Bark and frost want some days before.
        let before = start - chrono::TimeDelta::days(3);
        let Some(end) = start.checked_add_days(Days::new(days as u64 + 3)) else {
            continue;
        };
        let own = hourly.between(before, end);
        let known = own.hours().filter(|h| !h.is_empty()).count();
        if (known as f64) < KNOWN * (days as f64 + 6.0) * 24.0 {
            continue;
        }
        let air = Air::new(
            own,
            Site::of(&season.orchard),
            Settings::of(&season.orchard),
        );
        let fit = tasks
            .iter()
            .map(|task| fit_hours(&air, season, task, (first, days)))
            .collect();
        let swell = swell_then(season, weather, &past, back);
        found.push(Winter {
            year: first.year(),
            first: today,
            days,
            swell,
            fit,
        });
    }
    found
}

fn moved(day: NaiveDate, years: i32) -> Option<NaiveDate> {
    let year = day.year() + years;
    day.with_year(year)
        .or_else(|| NaiveDate::from_ymd_opt(year, 2, 28))
}

fn fit_hours(
    air: &Air,
    season: &Season,
    task: &Task,
    (first, days): (NaiveDate, usize),
) -> Vec<bool> {
    let grid = Grid::new(air, Limits::of(season, task), 0..air.len());
    let mut fit = vec![false; days * 24];
    for hour in grid.hours() {
        let local = air.local(hour);
        let day = (local.date() - first).num_days();
        let place = usize::try_from(day)
            .ok()
            .map(|d| d * 24 + local.hour() as usize);
        if let Some(slot) = place.and_then(|p| fit.get_mut(p)) {
            *slot |= grid.fit(hour) == Some(Fit::Fit);
        }
    }
    fit
}

/// The middle of the estimate of that winter, all of its temperatures known, on this season's
/// calendar.
fn swell_then(
    season: &Season,
    weather: &Weather,
    past: &crate::domain::phenology::climatology::Climatology,
    back: i32,
) -> Vec<Option<NaiveDate>> {
    let mut then = season.clone();
    then.readings.clear();
    let year = |d: NaiveDate| moved(d, -back).unwrap_or(d);
    let dates = &mut then.dates;
    (dates.leaf_drop_expected, dates.leaf_drop_seen) = (
        moved(dates.leaf_drop_expected, -back).unwrap_or(dates.leaf_drop_expected),
        dates.leaf_drop_seen.map(year),
    );
    for block in &mut then.blocks {
        block.leaf_drop_expected = block.leaf_drop_expected.map(year);
        block.leaf_drop_seen = block.leaf_drop_seen.map(year);
    }
    // Seven months after leaf drop every bud has swollen.
    let after = then
        .dates
        .leaf_drop_expected
        .checked_add_days(Days::new(210))
        .unwrap_or(then.dates.leaf_drop_expected);
    let known = Weather {
        daily: weather.daily.as_ref().map(|d| d.slice(d.first(), after)),
        ..Weather::default()
    };
    let estimates = Estimates::with(past, &then, &known, after);
    season
        .blocks
        .iter()
        .map(|b| estimates.of(&b.id).and_then(|e| moved(e.swell.p50(), back)))
        .collect()
}
