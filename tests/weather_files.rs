//! Real weather files of the shared folder through the importers; skipped where it is absent.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "common/shared.rs"]
mod shared;

use std::fs::File;

use barewood::domain::climate::daily_weather::{DailyColumn, DailyWeather};
use barewood::domain::climate::hourly_series::{HourlySeries, Provenance};
use barewood::store::weather::{
    ImportOptions, Imported, WeatherFormat, history, read_daily, read_hourly,
};
use chrono::FixedOffset;

fn daily(path: &str) -> Option<Imported<DailyWeather>> {
    let found = shared::shared_or_skip(path)?;
    Some(
        read_daily(File::open(found).unwrap(), path, &ImportOptions::default())
            .unwrap_or_else(|e| panic!("{e}")),
    )
}

fn hourly(path: &str) -> Option<Imported<HourlySeries>> {
    let found = shared::shared_or_skip(path)?;
    Some(
        read_hourly(File::open(found).unwrap(), path, &ImportOptions::default())
            .unwrap_or_else(|e| panic!("{e}")),
    )
}

/// Lines, filled temperature cells: counted with the CSV library, not with the importer.
fn counted(path: &str) -> (usize, usize) {
    let mut reader = csv::Reader::from_path(shared::shared_dir().unwrap().join(path)).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let complete = rows.iter().filter(|row| {
        let value = |i: usize| row.get(i).and_then(|cell| cell.parse::<f64>().ok());
        matches!((value(1), value(2)), (Some(low), Some(high)) if low <= high)
    });
    (rows.len(), complete.count())
}

#[test]
fn twelve_stations_with_their_gaps() {
    let stations = [
        "cheonan",
        "cheongju",
        "chuncheon",
        "chungju",
        "daegu",
        "daejeon",
        "hongcheon",
        "jeonju",
        "seoul",
        "suwon",
        "ulsan",
        "yeongcheon",
    ];
    for name in stations {
        let path = format!("data/korea/temperatures/{name}.csv");
        let Some(read) = daily(&path) else { return };
        let (rows, complete) = counted(&path);
        assert_eq!(read.report.rows as usize, rows, "{name}");
        assert_eq!(read.report.kept, complete, "{name}");
        let covered = read.data.temperatures().len();
        assert_eq!(read.report.days_missing() + complete, covered, "{name}");
        assert!(
            read.report.days_missing() >= 10,
            "{name} has gaps: {}",
            read.report
        );
        assert_eq!(
            read.data.column(DailyColumn::RainMm).len(),
            covered,
            "{name}"
        );
        assert_eq!(
            history::decode(&history::encode(&read.data)).unwrap(),
            read.data,
            "{name}"
        );
    }
}

#[test]
fn three_long_series_without_gaps() {
    for name in ["klein-altendorf", "sfax", "zaragoza"] {
        let path = format!("data/temperatures/{name}.csv");
        let Some(read) = daily(&path) else { return };
        let (rows, complete) = counted(&path);
        assert_eq!(
            (read.report.rows as usize, read.report.kept),
            (rows, complete),
            "{name}"
        );
        assert_eq!(
            history::decode(&history::encode(&read.data)).unwrap(),
            read.data,
            "{name}"
        );
    }
}

/// Coldest and warmest hour of a civil day, taken from the file by its local-time column.
#[test]
fn hourly_years_and_their_daily_extremes() {
    for (name, west_h, day, extremes) in [
        ("seattle-2015", 8, "2015-02-10", (10.0, 12.2)),
        ("new-york-jfk-2013", 5, "2013-01-23", (-11.1, -6.7)),
    ] {
        let Some(read) = hourly(&format!("data/hourly/{name}.csv")) else {
            return;
        };
        assert!(read.report.kept > 8700, "{name}: {}", read.report);
        let zone = FixedOffset::west_opt(west_h * 3600).unwrap();
        let days = read.data.daily_extremes(Provenance::Typical, zone, 20);
        assert_eq!(days.day(day.parse().unwrap()), Some(extremes), "{name}");
    }
}

#[test]
fn a_typical_year() {
    let Some(read) = hourly("data/hourly/greensboro-tmy3.csv") else {
        return;
    };
    assert_eq!(read.report.format, WeatherFormat::Tmy3);
    assert_eq!(
        (read.report.rows, read.report.kept),
        (8760, 8760),
        "{}",
        read.report
    );
    assert_eq!(read.report.station.unwrap().latitude_deg, Some(36.1));
}
