//! What the members leave unexplained from year to year: a tree older or replaced, another
//! observer, a moved station. Years close to each other err alike, so the errors of the years
//! around the wanted one correct it and say how wide the answer must be.
//!
//! A Gaussian process over years with covariance
//! `a² + d² exp(−|Δyear|/ℓ) + s² x x′ + t² y y′ + n² δ`, where `x` is how far the mixture departs
//! from the calendar mean in that year and `y` how many years it lies from the middle of the
//! records: a trend that has been seen goes on, and the range widens with the years since the last
//! date (Rasmussen & Williams 2006, *Gaussian Processes for Machine
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

    /// A spring as the covariance sees it. Without records there is no middle to be away from.
    fn spring(&self, year: f64, departure_days: f64) -> Spring {
        let middle = if self.is_empty() {
            year
        } else {
            self.year.iter().sum::<f64>() / self.len() as f64
        };
        Spring {
            year,
            from_middle: year - middle,
            departure_days,
        }
    }

    /// Every spring on record.
    fn springs(&self) -> Vec<Spring> {
        let of_one = |(year, departure): (&f64, &f64)| self.spring(*year, *departure);
        self.year
            .iter()
            .zip(&self.departure_days)
            .map(of_one)
            .collect()
    }
}

/// What two springs' errors have in common hangs on these.
#[derive(Debug, Clone, Copy)]
struct Spring {
    year: f64,
    from_middle: f64,
    departure_days: f64,
}

/// Trend of a series' errors that is held possible, days a year (0, 0.05, 0.1 and 0.2 tried).
const TREND_DAYS: f64 = 0.1;

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

impl Correction {
    /// Mean and standard deviation when `other` holds with the chance `part` (0–1).
    fn mixed(self, other: Self, part: f64) -> Self {
        let mean_days = part.mul_add(other.mean_days - self.mean_days, self.mean_days);
        let square = |c: Self| {
            c.sd_days
                .mul_add(c.sd_days, (c.mean_days - mean_days).powi(2))
        };
        Self {
            mean_days,
            sd_days: part
                .mul_add(square(other) - square(self), square(self))
                .sqrt(),
        }
    }
}

/// Chance that a series does not follow the models as its group does; the slope it then has, and
/// how far its dates lie from their mean (8 d: the usual spread of recorded dates over the years).
/// Hindcasts are the same within 0.3 % for chances of 0.001 to 0.05; ten invented dates that have
/// nothing to do with the weather are then held by their range in 78 of 100 years (58 without).
const STRANGER_CHANCE: f64 = 0.01;
const STRANGER_SLOPE: f64 = 0.8;
const STRANGER_NOISE_DAYS: f64 = 8.0;

/// The errors of a series seen through a drift: the factor of their covariance, and the errors
/// freed of it.
struct Seen {
    factor: Vec<Vec<f64>>,
    white: Vec<f64>,
}

impl Seen {
    fn misfit(&self) -> f64 {
        let volume: f64 = self
            .factor
            .iter()
            .filter_map(|row| row.last())
            .map(|d| d.ln())
            .sum();
        0.5f64.mul_add(dot(&self.white, &self.white), volume)
    }

    /// How far each error lies from what the others say, days, and the standard deviation that was
    /// to be expected (leave one out in closed form: Rasmussen & Williams 2006, eq. 5.12; from
    /// memory).
    fn left_out(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        (0..self.white.len()).map(|i| {
            let mut unit = vec![0.0; self.white.len()];
            if let Some(one) = unit.get_mut(i) {
                *one = 1.0;
            }
            let column = Drift::solve_lower(&self.factor, &unit);
            let sharpness = dot(&column, &column).max(f64::MIN_POSITIVE);
            (
                dot(&column, &self.white) / sharpness,
                sharpness.recip().sqrt(),
            )
        })
    }
}

impl Drift {
    fn covariance(&self, a: Spring, b: Spring) -> f64 {
        let apart = (a.year - b.year).abs();
        let slow = self.drift_days * self.drift_days * (-apart / self.length_years.max(0.1)).exp();
        let slope = self.slope * self.slope * a.departure_days * b.departure_days;
        let trend = TREND_DAYS * TREND_DAYS * a.from_middle * b.from_middle;
        self.offset_days.mul_add(self.offset_days, slow) + slope + trend
    }

    /// Lower triangle of the covariance of a series' errors, factored after Cholesky: row `i` has
    /// `i + 1` entries.
    fn factor(&self, springs: &[Spring]) -> Vec<Vec<f64>> {
        let mut rows: Vec<Vec<f64>> = Vec::with_capacity(springs.len());
        for (i, &spring) in springs.iter().enumerate() {
            let mut row = Vec::with_capacity(i + 1);
            for (&other, above) in springs.iter().zip(&rows) {
                let value = self.covariance(spring, other) - dot(&row, above);
                row.push(value / above.last().copied().unwrap_or(1.0));
            }
            let own = self
                .noise_days
                .mul_add(self.noise_days, self.covariance(spring, spring));
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
        self.seen(of).misfit()
    }

    fn seen(&self, of: &Leftovers) -> Seen {
        let factor = self.factor(&of.springs());
        let white = Self::solve_lower(&factor, &of.error_days);
        Seen { factor, white }
    }

    /// Correction for a year that departs from the calendar by `departure_days`.
    ///
    /// Most series follow the models as the others of their group do; a few do not follow them at
    /// all (another plant than its label says, dates of another stage). The second case is held
    /// possible from the start and weighed by how well each explains the errors (Bayes), so that
    /// own dates which the weather does not explain soon lead back to their own calendar.
    pub fn correction(&self, of: &Leftovers, year: i32, departure_days: f64) -> Correction {
        let (usual, usual_misfit) = self.given(of, year, departure_days);
        if of.is_empty() {
            return usual;
        }
        let stranger = Self {
            slope: STRANGER_SLOPE,
            drift_days: 0.0,
            noise_days: self.noise_days.max(STRANGER_NOISE_DAYS),
            ..*self
        };
        let (strange, strange_misfit) = stranger.given(of, year, departure_days);
        let odds =
            STRANGER_CHANCE / (1.0 - STRANGER_CHANCE) * (usual_misfit - strange_misfit).exp();
        usual.mixed(strange, (1.0 / (1.0 + 1.0 / odds)).clamp(0.0, 1.0))
    }

    fn given(&self, of: &Leftovers, year: i32, departure_days: f64) -> (Correction, f64) {
        let wanted = of.spring(f64::from(year), departure_days);
        let seen = self.seen(of);
        let reach: Vec<f64> = of
            .springs()
            .into_iter()
            .map(|spring| self.covariance(spring, wanted))
            .collect();
        let reach = Self::solve_lower(&seen.factor, &reach);
        let known: f64 = reach.iter().map(|v| v * v).sum();
        let variance = self.covariance(wanted, wanted) - known;
        let correction = Correction {
            mean_days: dot(&reach, &seen.white),
            sd_days: self
                .noise_days
                .mul_add(self.noise_days, variance.max(0.0))
                .sqrt(),
        };
        (correction, seen.misfit())
    }

    /// The most likely of a small grid of drifts for many series at once, as wide as their errors
    /// ask for when each is held against the others of its series.
    pub fn fit(series: &[Leftovers]) -> Self {
        let found = Self::fit_over(series, &[0.1, 0.3]);
        let seen = series.iter().map(|one| found.seen(one));
        found.as_wide_as(seen.flat_map(|seen| seen.left_out().collect::<Vec<_>>()))
    }

    /// The same for errors of requirements taken from other series, which differ from series to
    /// series by much more; as wide as the errors ask for without any of their own series.
    pub fn fit_between(series: &[Leftovers]) -> Self {
        let found = Self::fit_over(series, &[0.1, 0.3, 0.5, 0.7, 0.9]);
        let alone = series.iter().flat_map(|one| {
            one.error_days
                .iter()
                .zip(&one.departure_days)
                .map(|(e, x)| {
                    let by_itself = Leftovers::default().spring(0.0, *x);
                    let variance = found
                        .noise_days
                        .mul_add(found.noise_days, found.covariance(by_itself, by_itself));
                    (*e, variance.sqrt())
                })
        });
        found.as_wide_as(alone)
    }

    /// The same drift, all of it wider or narrower by one factor, so that P10–P90 as whole days
    /// holds four errors in five. Squares alone make the range too wide where a few dates are far
    /// off. Errors come with the standard deviation expected of them.
    fn as_wide_as(self, errors: impl Iterator<Item = (f64, f64)>) -> Self {
        let mut asked: Vec<f64> = errors
            .map(|(error, sd)| (error.abs() - HALF_DAY) / (TENTH * sd.max(0.1)))
            .collect();
        asked.sort_by(f64::total_cmp);
        let Some(holding) = asked.get(asked.len() * 4 / 5) else {
            return self;
        };
        let count = asked.len() as f64;
        let factor =
            count.mul_add(*holding, USUAL_WIDTH_DATES * USUAL_WIDTH) / (count + USUAL_WIDTH_DATES);
        Self {
            offset_days: self.offset_days * factor,
            drift_days: self.drift_days * factor,
            slope: self.slope * factor,
            noise_days: self.noise_days * factor,
            ..self
        }
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

/// Standard deviations from the middle to P90 of the spread the answer is given (Student's t with
/// six degrees of freedom and unit variance: 1.440 · √(4/6)).
const TENTH: f64 = 1.176;
/// A range of whole days reaches this much further than its ends.
const HALF_DAY: f64 = 0.5;
/// Usual factor on the spread, over all species and stages on record, and the dates it counts as.
const USUAL_WIDTH: f64 = 0.93;
const USUAL_WIDTH_DATES: f64 = 100.0;

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
mod tests;
