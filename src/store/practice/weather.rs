//! Invented daily temperatures for the practice season: monthly normals of no
//! real place, a slow noise that remembers yesterday, and warm and cold years.
//!
//! Made from additions and multiplications of whole random numbers only, so
//! that every machine makes the same days.

use super::today;
use crate::domain::climate::daily::DailySeries;
use chrono::{Datelike, NaiveDate};
use std::fmt::Write as _;

/// First day of the invented past: twelve dormant years before the practice one.
const FIRST: (i32, u32, u32) = (2014, 7, 1);

/// Mean daily minimum and maximum of the months, °C, January first. Invented.
const NORMALS_C: [(f64, f64); 12] = [
    (-9.0, -0.5),
    (-8.5, 1.0),
    (-4.5, 6.5),
    (1.5, 13.5),
    (7.5, 20.5),
    (12.5, 25.5),
    (15.5, 28.0),
    (14.5, 27.0),
    (10.5, 22.5),
    (4.5, 15.5),
    (0.0, 8.0),
    (-5.5, 2.0),
];

/// How much of yesterday's departure from normal is left today.
const MEMORY: f64 = 0.68;
/// What a day adds to the departure, °C: more in winter than in summer.
const DAILY_NOISE_C: (f64, f64) = (3.4, 2.2);
/// Spread of whole years, °C.
const YEAR_NOISE_C: f64 = 0.9;
/// Spread of the daily range, as a share of it.
const RANGE_NOISE: f64 = 0.28;

/// Splitmix64 (Steele, Lea and Flood 2014): a small portable generator.
pub(super) struct Random(u64);

impl Random {
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// About normal with mean 0 and spread 1: the sum of twelve even numbers
    /// between 0 and 1, less 6. Never beyond 6.
    pub(super) fn normal(&mut self) -> f64 {
        let sum: u64 = (0..12).map(|_| self.next() >> 12).sum();
        sum as f64 / (1_u64 << 52) as f64 - 6.0
    }
}

/// The normals of a day, between the middles of the months.
fn normals_c(day: NaiveDate) -> (f64, f64) {
    let position = f64::from(day.month0()) + (f64::from(day.day0()) - 14.5) / 30.5;
    let before = position.floor();
    let share = position - before;
    let month = |m: f64| {
        let index = (m.rem_euclid(12.0)) as usize;
        NORMALS_C.get(index).copied().unwrap_or_default()
    };
    let (low, high) = month(before);
    let (next_low, next_high) = month(before + 1.0);
    (
        low + (next_low - low) * share,
        high + (next_high - high) * share,
    )
}

/// The invented days, °C, to a tenth: through the day before the practice day.
fn days() -> impl Iterator<Item = (NaiveDate, f64, f64)> {
    let mut random = Random::new(0x000b_a2e3_00d0);
    let mut departure = 0.0;
    let mut year_c = 0.0;
    let first = NaiveDate::from_ymd_opt(FIRST.0, FIRST.1, FIRST.2).unwrap_or_default();
    first
        .iter_days()
        .take_while(|day| *day < today())
        .map(move |day| {
            if day.month() == FIRST.1 && day.day() == FIRST.2 {
                year_c = YEAR_NOISE_C * random.normal();
            }
            let (low, high) = normals_c(day);
            // Warm half of the year: April to September.
            let noise = if (4..=9).contains(&day.month()) {
                DAILY_NOISE_C.1
            } else {
                DAILY_NOISE_C.0
            };
            departure = MEMORY * departure + noise * random.normal();
            let mean = f64::midpoint(low, high) + departure + year_c;
            let half = (high - low) / 2.0 * (1.0 + RANGE_NOISE * random.normal()).max(0.2);
            let tenth = |t: f64| (t * 10.0).round() / 10.0;
            (day, tenth(mean - half), tenth(mean + half))
        })
}

/// The invented days as a series.
pub fn weather() -> DailySeries {
    let first = NaiveDate::from_ymd_opt(FIRST.0, FIRST.1, FIRST.2).unwrap_or_default();
    let count = usize::try_from((today() - first).num_days()).unwrap_or(0);
    let (mut lows, mut highs) = (Vec::with_capacity(count), Vec::with_capacity(count));
    for (_, low, high) in days() {
        lows.push(low as f32);
        highs.push(high as f32);
    }
    // As many lows as highs, and far from the end of the calendar: nothing is refused.
    DailySeries::new(first, lows, highs).unwrap_or_else(|_| DailySeries::empty(first))
}

/// The invented days as a file: what is written when somebody keeps the
/// practice season as their own.
pub fn weather_csv() -> String {
    let mut text = String::from(
        "# invented temperatures of the practice season: no real place\ndate,tmin_c,tmax_c\n",
    );
    for (day, low, high) in days() {
        let _ = writeln!(text, "{day},{low:.1},{high:.1}");
    }
    text
}
