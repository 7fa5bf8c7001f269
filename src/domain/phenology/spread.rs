//! From the days that possible seasons lead to, to chances by day: each with a spread around it.

use super::distribution::StageDate;
use super::dormant_year::{DAYS, DormantYear};
use super::drift::Correction;

/// Degrees of freedom of the spread around a member: a little heavier in the tails than normal.
const TAIL_FREEDOM: f64 = 6.0;

/// The distribution of a stage from the mixture day of every possible season.
pub fn spread_out(year: DormantYear, days: &[(f32, f64)], correction: Correction) -> StageDate {
    // A t spread with the standard deviation asked for.
    let scale = (correction.sd_days * ((TAIL_FREEDOM - 2.0) / TAIL_FREEDOM).sqrt()).max(0.3);
    let mut weights = vec![0.0; DAYS + EXTRA_DAYS];
    let below = |x: f64| t6_cumulative(x / scale);
    for &(day, weight) in days {
        let centre = f64::from(day) + correction.mean_days;
        let reach = 12.0 * scale;
        let from = (centre - reach).floor().max(0.0) as usize;
        let to = ((centre + reach).ceil().max(0.0) as usize).min(weights.len());
        let mut before = below(from as f64 - centre);
        for (i, slot) in weights.iter_mut().enumerate().take(to).skip(from) {
            let after = below((i + 1) as f64 - centre);
            *slot += weight * (after - before);
            before = after;
        }
    }
    // What is next to nothing is measured by the whole: looks can make every weight small.
    let least = 1e-9 * weights.iter().sum::<f64>();
    let first = weights.iter().position(|&w| w > least).unwrap_or(0);
    let last = weights.iter().rposition(|&w| w > least).unwrap_or(first);
    StageDate::from_weights(year.date(first), weights.get(first..=last).unwrap_or(&[]))
}

/// Days past the end of the counted year over which an answer may spread.
const EXTRA_DAYS: usize = 60;

/// Cumulative distribution of Student's t with six degrees of freedom (closed form).
fn t6_cumulative(t: f64) -> f64 {
    let s = t / (TAIL_FREEDOM + t * t).sqrt();
    let cos2 = 1.0 - s * s;
    0.5 + 0.5 * s * (1.0 + cos2 / 2.0 + 3.0 * cos2 * cos2 / 8.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn t_with_six_degrees_of_freedom_meets_its_table() {
        // Upper 10 %, 5 % and 2.5 % points of the published table: 1.440, 1.943, 2.447.
        for (point, chance) in [(1.440, 0.90), (1.943, 0.95), (2.447, 0.975), (0.0, 0.5)] {
            assert_abs_diff_eq!(t6_cumulative(point), chance, epsilon = 2e-4);
            assert_abs_diff_eq!(t6_cumulative(-point), 1.0 - chance, epsilon = 2e-4);
        }
    }

    #[test]
    fn small_weights_give_the_same_days_as_large_ones() {
        let year = DormantYear::of_spring(2027, 43.0);
        let correction = Correction {
            mean_days: 0.0,
            sd_days: 5.0,
        };
        let of = |weight: f64| spread_out(year, &[(200.0, weight), (210.0, weight)], correction);
        assert_eq!(of(1e-12).p50(), of(1.0).p50());
        assert_eq!(of(1e-30).p90(), of(1.0).p90());
    }

    #[test]
    fn spread_keeps_mean_and_width() {
        let year = DormantYear::of_spring(2024, 48.0);
        let correction = Correction {
            mean_days: 2.0,
            sd_days: 4.0,
        };
        let answer = spread_out(year, &[(200.5, 1.0)], correction);
        assert_eq!(answer.p50(), year.date(202));
        let width = (answer.p90() - answer.p10()).num_days();
        assert!(
            (9..=11).contains(&width),
            "P10–P90 of a spread of 4 d is about 10 d, not {width}"
        );
    }
}
