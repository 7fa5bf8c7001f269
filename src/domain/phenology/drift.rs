//! What the members leave unexplained from year to year: a tree older or replaced, another
//! observer, a moved station. Years close to each other err alike, so the errors of the years
//! around the wanted one correct it and say how wide the answer must be.
//!
//! A Gaussian process over years with covariance
//! `a² + d² exp(−|Δyear|/ℓ) + s² x x′ + n² δ`, where `x` is how far the mixture departs from the
//! calendar mean in that year (Rasmussen & Williams 2006, *Gaussian Processes for Machine
//! Learning*, ch. 2; from memory).

/// Errors of one series: year, departure from the calendar, and what to add to the estimate.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Leftovers {
    /// Spring year of each.
    pub year: Vec<f64>,
    /// Mixture minus calendar mean, days.
    pub departure_days: Vec<f64>,
    /// Observed minus mixture, days.
    pub error_days: Vec<f64>,
}

/// Errors beyond this, days, count as this (a wrong date must not pull its neighbours).
const CUT_DAYS: f64 = 25.0;

impl Leftovers {
    /// Adds a year.
    pub fn push(&mut self, year: i32, departure_days: f64, error_days: f64) {
        self.year.push(f64::from(year));
        self.departure_days.push(departure_days);
        self.error_days.push(error_days.clamp(-CUT_DAYS, CUT_DAYS));
    }

    /// Number of years.
    pub fn len(&self) -> usize {
        self.year.len()
    }

    /// Whether there is no year.
    pub fn is_empty(&self) -> bool {
        self.year.is_empty()
    }
}

/// Standard deviations in days, and the length in years, of the covariance above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// Constant offset of a series.
    pub offset_days: f64,
    /// Slow change.
    pub drift_days: f64,
    /// Years over which it fades.
    pub length_years: f64,
    /// Error per day of departure from the calendar.
    pub slope: f64,
    /// Noise of a single year.
    pub noise_days: f64,
}

/// Sum of products over the shorter length, in four strands so that it can run side by side.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len().min(b.len());
    let (a4, a_rest) = a[..n].as_chunks::<4>();
    let (b4, b_rest) = b[..n].as_chunks::<4>();
    let mut strands = [0.0; 4];
    for (x, y) in a4.iter().zip(b4) {
        for (strand, (x, y)) in strands.iter_mut().zip(x.iter().zip(y)) {
            *strand += x * y;
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(x, y)| x * y).sum();
    strands.iter().sum::<f64>() + rest
}

/// A correction with its uncertainty, days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correction {
    /// To be added to the estimate.
    pub mean_days: f64,
    /// Standard deviation of the year to come, noise included.
    pub sd_days: f64,
}

impl Drift {
    fn covariance(&self, a: (f64, f64), b: (f64, f64)) -> f64 {
        let apart = (a.0 - b.0).abs();
        let slow = self.drift_days * self.drift_days * (-apart / self.length_years.max(0.1)).exp();
        self.offset_days.mul_add(self.offset_days, slow) + self.slope * self.slope * a.1 * b.1
    }

    /// Lower triangle of the covariance of a series' errors, factored after Cholesky: row `i` has
    /// `i + 1` entries.
    fn factor(&self, of: &Leftovers) -> Vec<Vec<f64>> {
        let at = |i: usize| (of.year[i], of.departure_days[i]);
        let mut rows: Vec<Vec<f64>> = Vec::with_capacity(of.len());
        for i in 0..of.len() {
            let mut row = Vec::with_capacity(i + 1);
            for (j, above) in rows.iter().enumerate() {
                let value = self.covariance(at(i), at(j)) - dot(&row, above);
                row.push(value / above.last().copied().unwrap_or(1.0));
            }
            let own = self
                .noise_days
                .mul_add(self.noise_days, self.covariance(at(i), at(i)));
            row.push((own - dot(&row, &row)).max(1e-9).sqrt());
            rows.push(row);
        }
        rows
    }

    fn solve_lower(factor: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
        let mut out: Vec<f64> = Vec::with_capacity(right.len());
        for (row, &value) in factor.iter().zip(right) {
            let known = dot(&out, row);
            out.push((value - known) / row.last().copied().unwrap_or(1.0));
        }
        out
    }

    /// Negative logarithm of the likelihood of a series' errors (without its constant).
    pub fn misfit(&self, of: &Leftovers) -> f64 {
        let factor = self.factor(of);
        let white = Self::solve_lower(&factor, &of.error_days);
        let volume: f64 = factor
            .iter()
            .filter_map(|row| row.last())
            .map(|d| d.ln())
            .sum();
        0.5f64.mul_add(white.iter().map(|v| v * v).sum(), volume)
    }

    /// Correction for a year that departs from the calendar by `departure_days`.
    pub fn correction(&self, of: &Leftovers, year: i32, departure_days: f64) -> Correction {
        let wanted = (f64::from(year), departure_days);
        let factor = self.factor(of);
        let white = Self::solve_lower(&factor, &of.error_days);
        let reach: Vec<f64> = (0..of.len())
            .map(|i| self.covariance((of.year[i], of.departure_days[i]), wanted))
            .collect();
        let reach = Self::solve_lower(&factor, &reach);
        let known: f64 = reach.iter().map(|v| v * v).sum();
        let variance = self.covariance(wanted, wanted) - known;
        Correction {
            mean_days: reach.iter().zip(&white).map(|(a, b)| a * b).sum(),
            sd_days: self
                .noise_days
                .mul_add(self.noise_days, variance.max(0.0))
                .sqrt(),
        }
    }

    /// The most likely of a small grid of drifts for many series at once.
    pub fn fit(series: &[Leftovers]) -> Self {
        Self::fit_over(series, &[0.1, 0.3])
    }

    /// The same for errors of requirements taken from other series, which differ from series to
    /// series by much more.
    pub fn fit_between(series: &[Leftovers]) -> Self {
        Self::fit_over(series, &[0.1, 0.3, 0.5, 0.7, 0.9])
    }

    fn fit_over(series: &[Leftovers], offsets: &[f64]) -> Self {
        let count: usize = series.iter().map(Leftovers::len).sum();
        let squares: f64 = series
            .iter()
            .flat_map(|s| &s.error_days)
            .map(|e| e * e)
            .sum();
        let spread = ((USUAL_DATES * USUAL_SPREAD_DAYS.powi(2) + squares)
            / (USUAL_DATES + count as f64))
            .sqrt();
        let mut best = (f64::INFINITY, Self::scaled(spread, (0.1, 0.0, 3.0, 0.0)));
        for &offset in offsets {
            for (drift, length) in GRID_DRIFT {
                for slope in [0.0, 0.15, 0.3] {
                    let trial = Self::scaled(spread, (offset, drift, length, slope));
                    let misfit: f64 = series.iter().map(|s| trial.misfit(s)).sum();
                    if misfit < best.0 {
                        best = (misfit, trial);
                    }
                }
            }
        }
        best.1
    }

    fn scaled(spread: f64, (offset, drift, length_years, slope): (f64, f64, f64, f64)) -> Self {
        Self {
            offset_days: offset * spread,
            drift_days: drift * spread,
            length_years,
            slope,
            noise_days: spread
                * (1.0 - 0.6 * drift * drift - 0.9 * offset * offset)
                    .max(0.1)
                    .sqrt(),
        }
    }
}

/// Spread of leftovers over all species and stages on record (2.5–9 d), days, and the dates it
/// counts as: few dates may agree by luck.
const USUAL_SPREAD_DAYS: f64 = 6.0;
const USUAL_DATES: f64 = 5.0;

/// Share of the spread that drifts, and the years over which it fades.
const GRID_DRIFT: [(f64, f64); 8] = [
    (0.0, 3.0),
    (0.25, 3.0),
    (0.25, 12.0),
    (0.5, 3.0),
    (0.5, 12.0),
    (0.75, 3.0),
    (0.75, 12.0),
    (0.9, 25.0),
];

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    const PLAIN: Drift = Drift {
        offset_days: 1.0,
        drift_days: 0.0,
        length_years: 3.0,
        slope: 0.0,
        noise_days: 2.0,
    };

    #[test]
    fn offset_alone_is_the_shrunken_mean() {
        let mut errors = Leftovers::default();
        for year in 2001..=2004 {
            errors.push(year, 0.0, 3.0);
        }
        let correction = PLAIN.correction(&errors, 2010, 0.0);
        // Posterior of a normal mean: 4 years of noise variance 4, prior variance 1.
        assert_abs_diff_eq!(
            correction.mean_days,
            3.0 * 4.0 / (4.0 + 4.0),
            epsilon = 1e-9
        );
        assert_abs_diff_eq!(correction.sd_days, (4.0_f64 + 0.5).sqrt(), epsilon = 1e-9);
    }

    #[test]
    fn near_years_pull_more_than_far_ones() {
        let drift = Drift {
            drift_days: 3.0,
            ..PLAIN
        };
        let mut errors = Leftovers::default();
        for (year, error) in [(1990, 4.0), (1991, 5.0), (2009, -4.0), (2010, -5.0)] {
            errors.push(year, 0.0, error);
        }
        assert!(drift.correction(&errors, 1992, 0.0).mean_days > 1.0);
        assert!(drift.correction(&errors, 2011, 0.0).mean_days < -1.0);
        assert_eq!(
            drift.correction(&Leftovers::default(), 2000, 0.0).mean_days,
            0.0
        );
    }
}
