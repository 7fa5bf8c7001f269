//! Invented hours for the practice season: what was measured since leaf drop, and a forecast of
//! ten days with a mild spell, two days of rain and a cold end.
//!
//! As with the days, additions and multiplications only: every machine makes the same hours.

use super::today;
use super::weather::{Random, weather};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};
use chrono::{NaiveDate, TimeDelta};
use std::iter::once;

/// First day with hours: the one on which leaf drop was seen.
const FIRST: (i32, u32, u32) = (2026, 11, 15);
/// Hours from local standard time to universal time in the invented place's winter.
const UTC_LATER_H: i64 = 5;
/// Hours of the day of the lowest and the highest temperature.
const LOW_H: f64 = 6.0;
const HIGH_H: f64 = 15.0;

/// One day of the forecast.
struct Coming {
    low_c: f64,
    high_c: f64,
    wind_ms: f64,
    /// The point the wind comes from, degrees.
    from_deg: f64,
    cloud_pct: f64,
    /// First hour of rain, the hour after its last, mm in each.
    rain: (u32, u32, f64),
}

const fn coming(
    low_c: f64,
    high_c: f64,
    wind_ms: f64,
    from_deg: f64,
    cloud_pct: f64,
    rain: (u32, u32, f64),
) -> Coming {
    Coming {
        low_c,
        high_c,
        wind_ms,
        from_deg,
        cloud_pct,
        rain,
    }
}

const DRY: (u32, u32, f64) = (0, 0, 0.0);

/// The ten days from the practice day on. Invented.
#[rustfmt::skip]
static FORECAST: [Coming; 10] = [
    coming(-6.0,  2.5, 3.4, 315.0, 30.0, DRY),
    coming(-3.0,  5.5, 2.6, 225.0, 50.0, DRY),
    coming( 1.5,  9.5, 2.4, 225.0, 55.0, DRY),
    coming( 2.0, 11.5, 2.2, 180.0, 60.0, DRY),
    coming( 4.0, 12.0, 5.8, 180.0, 85.0, (20, 24, 0.6)),
    coming( 4.5,  8.0, 4.6, 135.0, 100.0, (0, 18, 1.1)),
    coming( 2.0,  5.5, 3.9, 315.0, 90.0, (3, 9, 0.5)),
    coming( 1.0,  7.5, 3.0, 270.0, 45.0, DRY),
    coming( 1.5,  8.5, 2.5, 270.0, 40.0, DRY),
    coming(-4.0,  1.0, 3.6, 315.0, 35.0, DRY),
];

/// Low, high and the day's weather of a day that was measured.
fn measured(random: &mut Random, low_c: f64, high_c: f64) -> Coming {
    let wet = random.normal() > 0.6;
    let start = 24 * u32::from(random.normal() < 0.0) / 3;
    let amount = 0.5 + 0.4 * (random.normal() + 2.0).max(0.0);
    Coming {
        low_c,
        high_c,
        wind_ms: (3.0 + 1.2 * random.normal()).max(0.3),
        from_deg: 270.0,
        cloud_pct: if wet { 95.0 } else { 45.0 },
        rain: if wet { (start, start + 8, amount) } else { DRY },
    }
}

/// The hour's share of the way from the day's low to its high, on straight lines.
fn warmth(hour: f64) -> f64 {
    if hour < LOW_H {
        (LOW_H - hour) / (LOW_H + 24.0 - HIGH_H)
    } else if hour < HIGH_H {
        (hour - LOW_H) / (HIGH_H - LOW_H)
    } else {
        1.0 - (hour - HIGH_H) / (LOW_H + 24.0 - HIGH_H)
    }
}

/// An hour of a day between its neighbours.
fn hour_of(
    (before, day, after): (&Coming, &Coming, &Coming),
    provenance: Provenance,
    hour: u32,
) -> Hour {
    let at = f64::from(hour);
    let share = warmth(at);
    let temp = if at < LOW_H {
        day.low_c + (before.high_c - day.low_c) * share
    } else if at < HIGH_H {
        day.low_c + (day.high_c - day.low_c) * share
    } else {
        after.low_c + (day.high_c - after.low_c) * share
    };
    let raining = (day.rain.0..day.rain.1).contains(&hour);
    // Wind doubles from night to afternoon.
    let wind = day.wind_ms * (0.6 + 0.6 * share);
    let humid = if raining { 95.0 } else { 82.0 - 27.0 * share };
    Hour {
        temp_c: Some(tenth(temp)),
        rh_pct: Some(tenth(humid)),
        wind_ms: Some(tenth(wind)),
        gust_ms: Some(tenth(wind * 1.6)),
        wind_dir_deg: Some(day.from_deg),
        rain_mm: Some(if raining { tenth(day.rain.2) } else { 0.0 }),
        rain_chance_pct: (provenance == Provenance::Forecast).then_some(if raining {
            85.0
        } else {
            10.0
        }),
        cloud_pct: Some(day.cloud_pct),
        provenance,
        ..Hour::default()
    }
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// The invented hours: measured through the day before the practice day, forecast from it on.
/// The days are those of [`super::weather()`].
pub fn hours(days: &DailySeries) -> HourlySeries {
    let first = NaiveDate::from_ymd_opt(FIRST.0, FIRST.1, FIRST.2).unwrap_or_default();
    let mut random = Random::new(0x000b_a2e3_00d1);
    let since = days.index_of(first).unwrap_or(0)..days.len();
    let past: Vec<Coming> = since
        .filter_map(|day| days.at(day))
        .map(|(low, high)| measured(&mut random, low, high))
        .collect();
    let all: Vec<(&Coming, Provenance)> = past
        .iter()
        .map(|d| (d, Provenance::Observed))
        .chain(FORECAST.iter().map(|d| (d, Provenance::Forecast)))
        .collect();
    let last = all.len() - 1;
    // The number of hours is known from the start, so that they are put where they stay.
    let list = (0..all.len() * 24).map(|hour| {
        let day = hour / 24;
        let ((before, _), (today, provenance), (after, _)) =
            (all[day.saturating_sub(1)], all[day], all[last.min(day + 1)]);
        hour_of((before, today, after), provenance, (hour % 24) as u32)
    });
    let start = first.and_time(chrono::NaiveTime::MIN).and_utc() + TimeDelta::hours(UTC_LATER_H);
    HourlySeries::new(start, list)
}

/// The measured hours and the forecast as two files: what is written when somebody keeps the
/// practice season as their own.
pub fn hours_csv() -> [String; 2] {
    let hours = hours(&weather());
    let split = today().and_time(chrono::NaiveTime::MIN).and_utc() + TimeDelta::hours(UTC_LATER_H);
    let measured = hours.known_from(Provenance::Observed);
    [measured, hours.since(split)].map(|part| {
        let head = "# invented hours of the practice season: no real place\n";
        once(head.to_owned())
            .chain(once(crate::store::weather::write_hourly(&part)))
            .collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hours_reach_from_leaf_drop_to_the_end_of_the_forecast() {
        let hours = hours(&weather());
        assert_eq!(hours.len() % 24, 0);
        assert_eq!(hours.missing(), 0);
        assert_eq!(hours.first().to_string(), "2026-11-15 05:00:00 UTC");
        let last = hours.last().unwrap() - TimeDelta::hours(UTC_LATER_H);
        assert_eq!(last.date_naive().to_string(), "2027-02-17");
        let rain: f64 = hours.hours().filter_map(|h| h.rain_mm).sum();
        assert!((60.0..600.0).contains(&rain), "{rain}");
    }
}
