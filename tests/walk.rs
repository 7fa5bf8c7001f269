//! A walk through real winters, day by day, with nothing known beyond each day: how the windows of
//! a first plan stand as the season goes on. The table is read by a person and kept.
//!
//! Daily temperatures of Klein-Altendorf: E. Luedeling, L. Caspersen and others 2024, bonndata, doi
//! 10.60507/FK2/MZIELI. Daily weather of Seattle 2012 to 2015: public domain, as the data package
//! vega-datasets carries it, and so its hours of 2015. The trees and the plan are made here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "common/shared.rs"]
mod shared;

use barewood::domain::climate::daily::DailySeries;
use barewood::domain::climate::hourly_series::HourlySeries;
use barewood::domain::climate::weather::Weather;
use barewood::domain::fit_hours::{NextHours, Stretch};
use barewood::domain::hours::air::Air;
use barewood::domain::hours::fits::{Fits, air_of};
use barewood::domain::hours::verdict::Fit;
use barewood::domain::outlook::{Estimates, outlook_with, swells_of_blocks};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Facts;
use barewood::domain::season::starter::{Answers, laid_out, new_season};
use barewood::domain::season::{NewBlock, Season, TaskKind, UnitSystem};
use barewood::domain::window::WindowState;
use barewood::domain::zone::Zone;
use barewood::store::weather::{ImportOptions, read_daily, read_hourly};
use chrono::{DateTime, Days, Months, NaiveDate, TimeZone, Utc};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs::File;
use std::sync::Arc;

struct Place {
    name: &'static str,
    file: &'static str,
    latitude: f64,
    longitude: f64,
    zone: &'static str,
    /// The year in which the winter begins.
    year: i32,
    leaf_drop: (u32, u32),
    trees: &'static [Species],
}

const PLACES: [Place; 3] = [
    // A mild winter with an early spring.
    Place {
        name: "Klein-Altendorf 2013-14",
        file: "data/temperatures/klein-altendorf.csv",
        latitude: 50.61,
        longitude: 6.99,
        zone: "Europe/Berlin",
        year: 2013,
        leaf_drop: (11, 20),
        trees: &[Species::Peach, Species::SweetCherry, Species::Apple],
    },
    // A winter that stayed cold to the end of March.
    Place {
        name: "Klein-Altendorf 2012-13",
        file: "data/temperatures/klein-altendorf.csv",
        latitude: 50.61,
        longitude: 6.99,
        zone: "Europe/Berlin",
        year: 2012,
        leaf_drop: (11, 20),
        trees: &[Species::Peach, Species::SweetCherry, Species::Apple],
    },
    Place {
        name: "Seattle 2014-15",
        file: "data/daily/seattle-2012-2015.csv",
        latitude: 47.45,
        longitude: -122.31,
        zone: "America/Los_Angeles",
        year: 2014,
        leaf_drop: (11, 15),
        trees: &[Species::Peach, Species::Apple],
    },
];

fn series(place: &Place) -> Option<DailySeries> {
    let path = shared::shared_or_skip(place.file)?;
    let read = read_daily(
        File::open(path).unwrap(),
        place.file,
        &ImportOptions::default(),
    );
    Some(read.unwrap().data.into_temperatures())
}

/// What is known on a day: the days before it, twenty years of them.
fn until(all: &DailySeries, day: NaiveDate) -> Weather {
    let first = all.date_at(0).unwrap().max(day - Months::new(240));
    Weather {
        daily: Some(all.slice(first, day)),
        ..Weather::default()
    }
}

fn season(place: &Place, weather: &Weather, today: NaiveDate) -> Season {
    let date = |(m, d)| NaiveDate::from_ymd_opt(place.year, m, d).unwrap();
    let plain = new_season(&Answers {
        name: place.name.to_owned(),
        latitude: place.latitude,
        longitude: place.longitude,
        time_zone: place.zone.parse::<Zone>().unwrap(),
        units: UnitSystem::Metric,
        leaf_drop: date(place.leaf_drop),
        swell: NaiveDate::from_ymd_opt(place.year + 1, 3, 1).unwrap(),
        blocks: place
            .trees
            .iter()
            .map(|species| NewBlock {
                species: *species,
                cultivar: None,
                trees: 10,
            })
            .collect(),
    });
    let estimates = Estimates::compute(&plain, weather, today);
    laid_out(
        &plain,
        &swells_of_blocks(&plain, &estimates).unwrap(),
        today,
    )
}

/// How one spray stands on one block on one day.
#[derive(Clone, Copy, PartialEq)]
struct Stand {
    state: WindowState,
    last_safe: Option<NaiveDate>,
}

/// The narrowest of a spray's purposes on each block, as it stands today, whatever is planned.
fn stands(facts: &Facts<'_>) -> BTreeMap<(String, String), Stand> {
    let mut all: BTreeMap<(String, String), Stand> = BTreeMap::new();
    for purpose in facts.windows().purposes() {
        let key = (
            purpose.used.task.id.to_string(),
            purpose.used.block.id.to_string(),
        );
        let new = Stand {
            state: purpose.window.state(facts.today),
            last_safe: purpose.window.closes.map(|e| e.day),
        };
        all.entry(key)
            .and_modify(|known| {
                known.state = match (known.state, new.state) {
                    (WindowState::Closed, _) | (_, WindowState::Closed) => WindowState::Closed,
                    (WindowState::NotYet, _) | (_, WindowState::NotYet) => WindowState::NotYet,
                    (a, b) => a.max(b),
                };
                known.last_safe = known.last_safe.into_iter().chain(new.last_safe).min();
            })
            .or_insert(new);
    }
    all
}

fn day(d: NaiveDate) -> String {
    d.format("%-d %b").to_string()
}

#[test]
fn windows_open_close_and_warn_as_real_winters_go_by() {
    let mut table = String::new();
    for place in &PLACES {
        let Some(all) = series(place) else { return };
        let first = NaiveDate::from_ymd_opt(place.year, 11, 1).unwrap();
        let last = NaiveDate::from_ymd_opt(place.year + 1, 5, 15).unwrap();
        let season = season(place, &until(&all, first), first);
        let mut runs: BTreeMap<(String, String), Vec<(NaiveDate, Stand)>> = BTreeMap::new();
        let mut yesterday: BTreeMap<(String, String), Stand> = BTreeMap::new();
        for today in first.iter_days().take_while(|d| *d <= last) {
            let weather = until(&all, today.pred_opt().unwrap());
            let estimates = Estimates::compute(&season, &weather, today);
            let facts = Facts::new(&season, &estimates, today);
            let now = stands(&facts);
            for (key, stand) in &now {
                let what = format!("{}, {key:?} on {today}", place.name);
                if let Some(before) = yesterday.get(key).filter(|b| b.state != stand.state) {
                    assert!(
                        !(before.state == WindowState::NotYet
                            && stand.state == WindowState::Closed),
                        "{what}: from not yet to closed"
                    );
                    if stand.state == WindowState::Closed {
                        // Weather brought it where the last safe day lay further off yesterday.
                        let moved = before.last_safe.is_some_and(|safe| safe >= today);
                        assert!(
                            before.state == WindowState::Closing || moved,
                            "{what}: no closing"
                        );
                    }
                }
                let run = runs.entry(key.clone()).or_default();
                if run.last().is_none_or(|(_, s)| s.state != stand.state) {
                    run.push((today, *stand));
                }
            }
            yesterday = now;
        }
        writeln!(table, "{}", place.name).unwrap();
        let mut tasks: Vec<_> = season.tasks.iter().collect();
        tasks.sort_by_key(|t| (t.date, t.id.to_string()));
        for task in tasks {
            for ((_, block), run) in runs.iter().filter(|(k, _)| k.0 == task.id.to_string()) {
                write!(table, "  {}, {block}, planned {}:", task.id, day(task.date)).unwrap();
                for (from, stand) in run {
                    write!(table, " {} {};", day(*from), stand.state.words()).unwrap();
                }
                let end = run.last().and_then(|(_, s)| s.last_safe);
                writeln!(table, " last safe {}", end.map_or("-".to_owned(), day)).unwrap();
            }
        }
    }
    insta::assert_snapshot!(table);
}

/// What a season's hours gave one spray.
#[derive(Default)]
struct Hours {
    /// Days on which its window was open.
    open: u32,
    /// Of those, days with hours for the job that are fit throughout.
    fit: u32,
    /// Days with hours for the job, fit or doubtful.
    any: Vec<NaiveDate>,
    /// Days on which the weather fitted and the window did not.
    outside: u32,
}

/// Days a forecast reaches beyond the day; it comes true here.
const AHEAD_DAYS: u64 = 3;

/// The hours known on a morning: those that were, and a forecast of three days.
fn morning(season: &Season, all: &HourlySeries, today: NaiveDate) -> (Option<Air>, DateTime<Utc>) {
    let zone = season.orchard.time_zone;
    let at = |day: NaiveDate, hour| {
        let local = day.and_hms_opt(hour, 0, 0).unwrap();
        zone.from_local_datetime(&local)
            .earliest()
            .unwrap()
            .to_utc()
    };
    let now = at(today, 5);
    let known = all.between(all.first(), at(today + Days::new(1 + AHEAD_DAYS), 0));
    (air_of(season, &known, now), now)
}

#[test]
fn fit_hours_of_a_real_winter_lie_inside_the_windows() {
    let place = &PLACES[2];
    let Some(days) = series(place) else { return };
    let Some(path) = shared::shared_or_skip("data/hourly/seattle-2015.csv") else {
        return;
    };
    let options = ImportOptions::default();
    let hourly = read_hourly(File::open(path).unwrap(), "seattle-2015.csv", &options).unwrap();
    let planned = NaiveDate::from_ymd_opt(place.year, 11, 1).unwrap();
    let season = season(place, &until(&days, planned), planned);
    let first = NaiveDate::from_ymd_opt(2015, 1, 3).unwrap();
    let last = NaiveDate::from_ymd_opt(2015, 5, 15).unwrap();
    let mut of: BTreeMap<String, Hours> = BTreeMap::new();
    for today in first.iter_days().take_while(|d| *d <= last) {
        let weather = until(&days, today.pred_opt().unwrap());
        let estimates = Estimates::compute(&season, &weather, today);
        let (air, now) = morning(&season, &hourly.data, today);
        let fits = Fits::new(Arc::new(air.unwrap()), &season, now);
        let outlook = outlook_with(&season, &estimates, Some(&fits), today);
        for task in season.tasks.iter().filter(|t| t.kind == TaskKind::Spray) {
            let standing = outlook.standing(&task.id).unwrap();
            let hours = of.entry(task.id.to_string()).or_default();
            let opens = standing.opens.unwrap_or(today);
            let closes = standing.last_safe.unwrap_or(today);
            let is_open = (opens..=closes).contains(&today) && !standing.no_day_left;
            hours.open += u32::from(is_open);
            for stretch in &standing.stretches {
                let starts = fits.air().local(stretch.hours.start).date();
                assert!(
                    (opens.max(today)..=closes).contains(&starts) && !standing.no_day_left,
                    "{} on {today}: hours of {starts} outside {opens} to {closes}",
                    task.id
                );
            }
            let is_today = |s: &&Stretch| fits.air().local(s.hours.start).date() == today;
            let of_today = standing.stretches.iter().filter(is_today);
            let grades: Vec<Fit> = of_today.map(|s| s.grade).collect();
            hours.fit += u32::from(grades.contains(&Fit::Fit));
            if !grades.is_empty() {
                hours.any.push(today);
            }
            match &standing.hours {
                NextHours::AfterLastSafe { last_safe, .. } => {
                    assert_eq!(*last_safe, closes);
                    hours.outside += 1;
                }
                NextHours::BeforeOpening { opens: day, .. } => {
                    assert_eq!(*day, opens);
                    hours.outside += 1;
                }
                NextHours::In(_) => assert!(!standing.stretches.is_empty()),
                NextHours::None | NextHours::NotKnown => {}
            }
        }
    }
    let mut table = String::new();
    for (task, hours) in &of {
        let gaps = hours
            .any
            .windows(2)
            .map(|two| (two[1] - two[0]).num_days() - 1);
        writeln!(
            table,
            "{task}: open on {} days; fit hours on {} of them, fit or doubtful on {} ({} to {}), at \
             most {} days between; on {} days hours outside the window alone",
            hours.open,
            hours.fit,
            hours.any.len(),
            hours.any.first().map_or("-".to_owned(), |d| day(*d)),
            hours.any.last().map_or("-".to_owned(), |d| day(*d)),
            gaps.max().unwrap_or(0),
            hours.outside
        )
        .unwrap();
    }
    insta::assert_snapshot!(table);
}
