//! The grower's rain gauge beside what was reckoned for the same days: both are told, and the gauge
//! rules.

use super::Estimates;
use crate::domain::hours::air::Air;
use crate::domain::season::{Reading, Season, UnitSystem};
use chrono::NaiveDate;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// A gauge and the hours of weather that differ by less say the same, mm: a tenth of an inch, what
/// two gauges in one orchard differ by (common practice, no source).
const SAME_MM: f64 = 2.54;
/// Hours of a day that must be known for its sum to count.
const WHOLE_DAY_H: usize = 22;
/// Hours of it about whose rain nothing may be known.
const MOST_MISSING_H: usize = 2;

/// Rain of days by the grower's gauge, mm; several entries of one day add up.
pub fn gauge_mm(season: &Season) -> BTreeMap<NaiveDate, f64> {
    let mut days = BTreeMap::new();
    for reading in &season.readings {
        if let Reading::Rain { date, rain, .. } = reading {
            *days.entry(*date).or_insert(0.0) += rain.mm();
        }
    }
    days
}

/// Rain of a day without the gauge, mm: by the hours where nearly all are known, else by the daily
/// files.
pub fn reckoned_mm(estimates: &Estimates, air: Option<&Air>, day: NaiveDate) -> Option<f64> {
    let by_hours = air.and_then(|air| {
        let hours = air.day(day);
        let (mm, missing) = air.rain_over(&hours);
        (hours.len() >= WHOLE_DAY_H && missing <= MOST_MISSING_H).then_some(mm)
    });
    by_hours.or_else(|| estimates.rain_mm.get(&day).map(|mm| f64::from(*mm)))
}

/// Both sums of the days that have both, where they differ: by the gauge, and reckoned, mm.
pub fn gauge_against(
    gauge: &BTreeMap<NaiveDate, f64>,
    reckoned: impl Fn(NaiveDate) -> Option<f64>,
    days: RangeInclusive<NaiveDate>,
) -> Option<(f64, f64)> {
    if days.is_empty() {
        return None;
    }
    let (mut by_gauge, mut without) = (0.0, 0.0);
    for (day, mm) in gauge.range(days) {
        if let Some(other) = reckoned(*day) {
            by_gauge += mm;
            without += other;
        }
    }
    ((by_gauge - without).abs() >= SAME_MM).then_some((by_gauge, without))
}

/// The two in a sentence.
pub fn gauge_words((by_gauge, reckoned): (f64, f64), units: UnitSystem) -> String {
    let mm = |mm: f64| match units {
        UnitSystem::Us => format!("{:.2} in", mm / 25.4),
        UnitSystem::Metric => format!("{mm:.1} mm"),
    };
    format!(
        "Your gauge: {}; by the weather on file {}; the gauge counts",
        mm(by_gauge),
        mm(reckoned)
    )
}
