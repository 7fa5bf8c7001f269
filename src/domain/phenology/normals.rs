//! Seasons invented around the normals of a place, where few or none are on record.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng as _, SeedableRng as _};

use super::dormant_year::{DAYS, DormantYear};
use crate::domain::climate::daily::DailySeries;

pub use crate::domain::climate::normals::{MonthlyNormals, NormalsFrom, Spread};

/// Share of a day's departure that the next day keeps (0.6 to 0.8 in winter at 27 stations).
const DAY_KEEPS: f64 = 0.72;

/// Invented seasons around normals, the same for the same seed.
pub fn invent_seasons(
    normals: &MonthlyNormals,
    year: DormantYear,
    count: usize,
    seed: u64,
) -> Vec<DailySeries> {
    let Spread {
        level_sd_c,
        season_sd_c,
        day_sd_c,
    } = normals.spread;
    let mut generator = ChaCha8Rng::seed_from_u64(seed);
    let first = year.first().pred_opt().unwrap_or(year.first());
    (0..count)
        .map(|i| {
            // Levels on even quantiles instead of by lot: a small set that spans the range.
            let level =
                normal_quantile((i as f64 + 0.5) / count as f64) * season_sd_c.hypot(level_sd_c);
            let mut departure = 0.0;
            let mut series = DailySeries::empty(first);
            for date in first.iter_days().take(DAYS + 2) {
                let fresh =
                    day_sd_c * (1.0 - DAY_KEEPS * DAY_KEEPS).sqrt() * gaussian(&mut generator);
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
    fn invented_seasons_are_the_same_twice_and_differ_from_each_other() {
        let normals = MonthlyNormals::given([1.0; 12], [11.0; 12]);
        let year = DormantYear::of_spring(2025, 45.0);
        let once = invent_seasons(&normals, year, 5, 7);
        assert_eq!(once, invent_seasons(&normals, year, 5, 7));
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
