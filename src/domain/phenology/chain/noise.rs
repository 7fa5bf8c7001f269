//! The noise of the draws: one fixed sequence, evenly spread over all its parts, so that few draws
//! tell as much as many random ones and an answer is the same every time.
//!
//! Additive recurrence with the powers of the root of `x^(d+1) = x + 1` (the golden ratio in more
//! dimensions; from memory).

use std::sync::LazyLock;

use super::super::normals::normal_quantile;

/// Rows of noise; a power of two.
pub(super) const ROWS: usize = 4096;
/// Parts of a row: the bloom error and four of the eye.
const PARTS: i32 = 5;

/// One draw's noise.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    /// Error of the anchor in standard deviations: Student's t with six degrees of freedom and unit
    /// variance, a little heavier in the tails than normal.
    pub(super) error: f64,
    /// Standard normal: gap before bloom, gap before first green, stages between, opening.
    pub(super) z: [f32; 4],
}

static NOISE: LazyLock<Vec<Row>> = LazyLock::new(|| {
    let root = (0..60).fold(1.2f64, |x, _| (1.0 + x).powf(1.0 / f64::from(PARTS + 1)));
    let step: Vec<f64> = (1..=PARTS).map(|i| root.powi(-i)).collect();
    (0..ROWS)
        .map(|n| {
            let part = |i: usize| {
                let at = step
                    .get(i)
                    .map_or(0.5, |s| (n as f64 + 1.0).mul_add(*s, 0.5));
                at.fract().clamp(1e-4, 1.0 - 1e-4)
            };
            let z = |i: usize| normal_quantile(part(i)) as f32;
            Row {
                error: t6_quantile(part(0)) * (4.0f64 / 6.0).sqrt(),
                z: [z(1), z(2), z(3), z(4)],
            }
        })
        .collect()
});

pub(super) fn noise() -> &'static [Row] {
    &NOISE
}

/// Quantile of Student's t with six degrees of freedom, by halving its closed cumulative form.
fn t6_quantile(p: f64) -> f64 {
    let (mut low, mut high) = (-30.0, 30.0);
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        if super::super::spread::t6_cumulative(middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn every_part_has_its_mean_and_spread_in_any_short_stretch() {
        for from in [0, 777, 3000] {
            let rows = &noise()[from..from + 500];
            let moments = |of: &dyn Fn(&Row) -> f64| {
                let mean = rows.iter().map(of).sum::<f64>() / 500.0;
                let square = rows.iter().map(|r| of(r).powi(2)).sum::<f64>() / 500.0;
                (mean, square.sqrt())
            };
            for i in 0..4 {
                let (mean, sd) = moments(&|r| f64::from(r.z[i]));
                assert_abs_diff_eq!(mean, 0.0, epsilon = 0.05);
                assert_abs_diff_eq!(sd, 1.0, epsilon = 0.06);
            }
            let (mean, sd) = moments(&|r| r.error);
            assert_abs_diff_eq!(mean, 0.0, epsilon = 0.05);
            assert_abs_diff_eq!(sd, 1.0, epsilon = 0.08);
        }
    }

    #[test]
    fn the_quantile_meets_the_published_points_of_t() {
        for (point, chance) in [(1.440, 0.90), (1.943, 0.95), (2.447, 0.975)] {
            assert_abs_diff_eq!(t6_quantile(chance), point, epsilon = 1e-3);
        }
    }
}
