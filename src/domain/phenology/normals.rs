//! Weather for places without a record of it: twelve monthly normals, or none but the latitude.

use chrono::{Datelike, NaiveDate};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng as _, SeedableRng as _};

use super::dormant_year::{DAYS, DormantYear};
use crate::domain::climate::daily::DailySeries;

/// Mean daily minimum and maximum of the twelve months, °C, January first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthlyNormals {
    /// Mean minimum of each month.
    pub tmin_c: [f64; 12],
    /// Mean maximum of each month.
    pub tmax_c: [f64; 12],
}

/// Warmest annual mean at sea level, °C, and where it begins to fall towards the poles.
const TROPIC_MEAN_C: f64 = 26.5;
const TROPIC_EDGE_DEG: f64 = 15.0;
/// Fall of the annual mean per degree of latitude beyond the tropics, °C.
const FALL_PER_DEG_C: f64 = 0.47;
/// Half the difference of the warmest and the coldest month per degree of latitude, °C.
const SWING_PER_DEG_C: f64 = 0.23;
/// Half the daily range, °C.
const HALF_DAILY_RANGE_C: f64 = 5.0;

impl MonthlyNormals {
    /// A rough guess from the latitude (degrees, south negative): a line through the zonal means
    /// of land near sea level, from memory, no source seen. Good to about 4 °C, and used as such.
    pub fn from_latitude(latitude_deg: f64) -> Self {
        let away = latitude_deg.abs().min(66.0);
        let mean = TROPIC_MEAN_C - FALL_PER_DEG_C * (away - TROPIC_EDGE_DEG).max(0.0);
        let swing = SWING_PER_DEG_C * away;
        let coldest_month = if latitude_deg < 0.0 { 6.5 } else { 0.5 };
        let month = |i: usize| {
            let angle = (i as f64 - coldest_month) / 12.0 * std::f64::consts::TAU;
            mean - swing * angle.cos()
        };
        Self {
            tmin_c: std::array::from_fn(|i| month(i) - HALF_DAILY_RANGE_C),
            tmax_c: std::array::from_fn(|i| month(i) + HALF_DAILY_RANGE_C),
        }
    }

    /// Means over a record; `None` unless every month has at least twenty days.
    pub fn from_series(record: &DailySeries) -> Option<Self> {
        let mut sums = [(0.0, 0.0, 0_u32); 12];
        for (date, day) in record.iter() {
            if let (Some((low, high)), Some(sum)) = (day, sums.get_mut(date.month0() as usize)) {
                *sum = (sum.0 + low, sum.1 + high, sum.2 + 1);
            }
        }
        sums.iter().all(|s| s.2 >= 20).then(|| Self {
            tmin_c: sums.map(|s| s.0 / f64::from(s.2)),
            tmax_c: sums.map(|s| s.1 / f64::from(s.2)),
        })
    }

    /// Normal minimum and maximum of a day, °C: straight lines between mid-months.
    pub fn day(&self, date: NaiveDate) -> (f64, f64) {
        let place = f64::from(date.month0()) + (f64::from(date.day()) - 15.5) / 30.4;
        let share = place.rem_euclid(1.0);
        let low = place.floor().rem_euclid(12.0) as usize % 12;
        let high = (low + 1) % 12;
        let mix = |v: &[f64; 12]| (v[high] - v[low]).mul_add(share, v[low]);
        (mix(&self.tmin_c), mix(&self.tmax_c))
    }
}

/// Standard deviation of a day around its normal, °C (temperate winters; from memory).
const DAY_SD_C: f64 = 4.5;
/// Share of a day's departure that the next day keeps.
const DAY_KEEPS: f64 = 0.72;
/// Standard deviation of a whole winter around normal, °C.
const SEASON_SD_C: f64 = 1.2;

/// Invented seasons around normals, the same for the same seed. `level_sd_c` is how well the
/// normals themselves are known.
pub fn invent_seasons(
    normals: &MonthlyNormals,
    year: DormantYear,
    count: usize,
    level_sd_c: f64,
    seed: u64,
) -> Vec<DailySeries> {
    let mut generator = ChaCha8Rng::seed_from_u64(seed);
    let first = year.first().pred_opt().unwrap_or(year.first());
    (0..count)
        .map(|i| {
            // Levels on even quantiles instead of by lot: a small set that spans the range.
            let level =
                normal_quantile((i as f64 + 0.5) / count as f64) * SEASON_SD_C.hypot(level_sd_c);
            let mut departure = 0.0;
            let mut series = DailySeries::empty(first);
            for date in first.iter_days().take(DAYS + 2) {
                let fresh =
                    DAY_SD_C * (1.0 - DAY_KEEPS * DAY_KEEPS).sqrt() * gaussian(&mut generator);
                departure = DAY_KEEPS * departure + fresh;
                let (low, high) = normals.day(date);
                let shift = departure + level;
                if series
                    .push((low + shift) as f32, (high + shift) as f32)
                    .is_err()
                {
                    break;
                }
            }
            series
        })
        .collect()
}

/// A standard normal number (Box & Muller).
fn gaussian(generator: &mut ChaCha8Rng) -> f64 {
    let mut unit = || (generator.next_u32() as f64 + 0.5) / (f64::from(u32::MAX) + 1.0);
    let (a, b) = (unit(), unit());
    (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
}

/// Quantile of the standard normal by a rational form (Abramowitz & Stegun 26.2.23, error below
/// 4.5e-4).
pub(super) fn normal_quantile(p: f64) -> f64 {
    let tail = p
        .clamp(1e-9, 1.0 - 1e-9)
        .min(1.0 - p.clamp(1e-9, 1.0 - 1e-9));
    let t = (-2.0 * tail.ln()).sqrt();
    let above = 0.010_328f64.mul_add(t, 0.802_853).mul_add(t, 2.515_517);
    let below = 0.001_308f64
        .mul_add(t, 0.189_269)
        .mul_add(t, 1.432_788)
        .mul_add(t, 1.0);
    let z = t - above / below;
    if p < 0.5 { -z } else { z }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn winter_lies_opposite_in_the_two_hemispheres() {
        let north = MonthlyNormals::from_latitude(48.0);
        let south = MonthlyNormals::from_latitude(-48.0);
        assert!(north.tmin_c[0] < north.tmin_c[6]);
        assert!(south.tmin_c[6] < south.tmin_c[0]);
        let date = NaiveDate::from_ymd_opt(2024, 2, 29).unwrap();
        let (low, high) = north.day(date);
        assert!(low < high && low > north.tmin_c[1] - 1.0 && high < north.tmax_c[3]);
    }

    #[test]
    fn invented_seasons_are_the_same_twice_and_differ_from_each_other() {
        let normals = MonthlyNormals::from_latitude(45.0);
        let year = DormantYear::of_spring(2025, 45.0);
        let once = invent_seasons(&normals, year, 5, 0.0, 7);
        assert_eq!(once, invent_seasons(&normals, year, 5, 0.0, 7));
        assert_ne!(once[0], once[1]);
        assert_eq!(once[0].len(), DAYS + 2);
    }

    #[test]
    fn quantiles_of_the_normal_meet_their_table() {
        for (p, z) in [(0.5, 0.0), (0.9, 1.2816), (0.025, -1.9600), (0.8413, 1.0)] {
            assert_abs_diff_eq!(normal_quantile(p), z, epsilon = 1e-3);
        }
    }
}
