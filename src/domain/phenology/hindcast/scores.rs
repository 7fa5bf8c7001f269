//! Scores of answers against the dates seen, and of the calendar's answer beside them.

use chrono::NaiveDate;

use super::Answer;
use crate::domain::phenology::distribution::StageDate;

/// One answer beside the date seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scored {
    /// Mean of the answer minus the date seen, days.
    pub error_days: f64,
    /// Continuous ranked probability score, days.
    pub crps_days: f64,
    /// Whether P10–P90 held the date.
    pub held: bool,
    /// P10–P90 in days.
    pub width_days: f64,
    /// The calendar mean minus the date seen, days.
    pub calendar_error_days: f64,
    /// Score of the calendar's distribution.
    pub calendar_crps_days: f64,
    /// Whether the calendar's P10–P90 held the date.
    pub calendar_held: bool,
    /// Whether a spray on the last safe day (tolerance 10 %, guard 0) came after the stage.
    pub too_late: bool,
    /// Days from the last safe day to the day before the stage.
    pub given_away_days: f64,
}

/// 90 % point of the standard normal.
const NORMAL_P90: f64 = 1.2816;

/// Tolerance of the decision that is scored.
pub const SCORED_TOLERANCE: f64 = 0.1;

impl Scored {
    /// Scores an answer.
    pub fn new(answer: &Answer, seen: NaiveDate) -> Self {
        let offset = (seen - answer.date.first_day()).num_days() as f64;
        let (calendar_day, sd) = answer.calendar.unwrap_or((answer.mean_offset_days, 10.0));
        let spread = sd * (1.0 + 1.0 / answer.own_years.max(1) as f64).sqrt();
        let last_safe = answer.date.last_safe(SCORED_TOLERANCE, 0);
        Self {
            error_days: answer.mean_offset_days - offset,
            crps_days: answer.date.crps(seen),
            held: answer.date.p10() <= seen && seen <= answer.date.p90(),
            width_days: (answer.date.p90() - answer.date.p10()).num_days() as f64,
            calendar_error_days: calendar_day - offset,
            calendar_crps_days: normal_crps(calendar_day - offset, spread.max(1.0)),
            calendar_held: (calendar_day - offset).abs() <= NORMAL_P90 * spread + 0.5,
            too_late: last_safe >= seen,
            given_away_days: (seen - last_safe).num_days() as f64 - 1.0,
        }
    }
}

/// Continuous ranked probability score of a normal distribution, `miss` days from the truth
/// (Gneiting & Raftery 2007; from memory).
fn normal_crps(miss: f64, sd: f64) -> f64 {
    let z = miss / sd;
    let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    let cumulative = 0.5 * (1.0 + erf(z / std::f64::consts::SQRT_2));
    sd * (z * (2.0 * cumulative - 1.0) + 2.0 * density - 1.0 / std::f64::consts::PI.sqrt())
}

/// Error function after Abramowitz & Stegun 7.1.26 (error below 1.5e-7).
fn erf(x: f64) -> f64 {
    let t = 1.0 / 0.327_591_1f64.mul_add(x.abs(), 1.0);
    let poly = t
        * (0.254_829_592
            + t * (-0.284_496_736
                + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    (1.0 - poly * (-x * x).exp()).copysign(x)
}

/// The calendar's answer as a distribution: normal over the years used.
pub fn climatology(first: NaiveDate, mean_offset_days: f64, sd_days: f64) -> StageDate {
    let sd = sd_days.max(1.0);
    let from = (mean_offset_days - 4.0 * sd).floor() as i64;
    let weights: Vec<f64> = (0..(8.0 * sd).ceil() as i64)
        .map(|i| {
            let z = ((from + i) as f64 - mean_offset_days) / sd;
            (-0.5 * z * z).exp()
        })
        .collect();
    let start = first + chrono::TimeDelta::days(from);
    StageDate::from_weights(start, &weights)
}

/// Sums of scores.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Scores {
    count: usize,
    squares: f64,
    absolute: f64,
    errors: f64,
    crps: f64,
    held: usize,
    width: f64,
    calendar_squares: f64,
    calendar_absolute: f64,
    calendar_errors: f64,
    calendar_crps: f64,
    calendar_held: usize,
    too_late: usize,
    given_away: f64,
}

impl Scores {
    /// Adds one.
    pub fn add(&mut self, one: &Scored) {
        self.count += 1;
        self.squares += one.error_days.powi(2);
        self.absolute += one.error_days.abs();
        self.errors += one.error_days;
        self.crps += one.crps_days;
        self.held += usize::from(one.held);
        self.width += one.width_days;
        self.calendar_squares += one.calendar_error_days.powi(2);
        self.calendar_absolute += one.calendar_error_days.abs();
        self.calendar_errors += one.calendar_error_days;
        self.calendar_crps += one.calendar_crps_days;
        self.calendar_held += usize::from(one.calendar_held);
        self.too_late += usize::from(one.too_late);
        self.given_away += one.given_away_days;
    }

    /// Adds all of another's.
    pub fn merge(&mut self, other: &Self) {
        self.count += other.count;
        self.squares += other.squares;
        self.absolute += other.absolute;
        self.errors += other.errors;
        self.crps += other.crps;
        self.held += other.held;
        self.width += other.width;
        self.calendar_squares += other.calendar_squares;
        self.calendar_absolute += other.calendar_absolute;
        self.calendar_errors += other.calendar_errors;
        self.calendar_crps += other.calendar_crps;
        self.calendar_held += other.calendar_held;
        self.too_late += other.too_late;
        self.given_away += other.given_away;
    }

    /// Number of answers.
    pub const fn count(&self) -> usize {
        self.count
    }

    fn mean(&self, sum: f64) -> f64 {
        sum / self.count.max(1) as f64
    }

    /// Root-mean-square error, days.
    pub fn rmse_days(&self) -> f64 {
        self.mean(self.squares).sqrt()
    }

    /// Mean absolute error, days.
    pub fn mae_days(&self) -> f64 {
        self.mean(self.absolute)
    }

    /// Mean of answer minus seen, days.
    pub fn bias_days(&self) -> f64 {
        self.mean(self.errors)
    }

    /// Mean continuous ranked probability score, days.
    pub fn crps_days(&self) -> f64 {
        self.mean(self.crps)
    }

    /// Share of dates within P10–P90.
    pub fn coverage(&self) -> f64 {
        self.mean(self.held as f64)
    }

    /// Mean P10–P90, days.
    pub fn width_days(&self) -> f64 {
        self.mean(self.width)
    }

    /// Root-mean-square error of the calendar mean, days.
    pub fn calendar_rmse_days(&self) -> f64 {
        self.mean(self.calendar_squares).sqrt()
    }

    /// Mean absolute error of the calendar mean, days.
    pub fn calendar_mae_days(&self) -> f64 {
        self.mean(self.calendar_absolute)
    }

    /// Bias of the calendar mean, days.
    pub fn calendar_bias_days(&self) -> f64 {
        self.mean(self.calendar_errors)
    }

    /// Score of the calendar's distribution, days.
    pub fn calendar_crps_days(&self) -> f64 {
        self.mean(self.calendar_crps)
    }

    /// Share of dates within the calendar's P10–P90.
    pub fn calendar_coverage(&self) -> f64 {
        self.mean(self.calendar_held as f64)
    }

    /// Share of years in which the last safe day was too late.
    pub fn too_late(&self) -> f64 {
        self.mean(self.too_late as f64)
    }

    /// Mean days given away against a perfect forecast.
    pub fn given_away_days(&self) -> f64 {
        self.mean(self.given_away)
    }
}
