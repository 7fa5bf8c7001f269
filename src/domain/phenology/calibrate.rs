//! Fits the library to the recorded dates of one series: one species, cultivar, place and stage.
//!
//! Each member has one requirement per series. It minimises the squared error in days, which is
//! `(H(t_obs) − F) / pace` to first order (`pace` = how fast the curve climbs around the recorded
//! day), so the best `F` is a weighted mean and leaving a year out costs nothing. Weights after
//! Huber keep a wrong date from pulling, and a pool of other series counts as a few years more.

use std::borrow::Cow;

use super::dormant_year::DAYS;
use super::drift::{Correction, Drift, Leftovers};
use super::drivers::Drivers;
use super::models::{ForcingModel, LIBRARY, crossing};
use super::stacking::ErrorProducts;

/// Members of the mixture: the library, and the calendar mean as the last.
pub const MEMBERS: usize = LIBRARY.len() + 1;
/// Place of the calendar mean among the members.
pub const CALENDAR: usize = LIBRARY.len();

/// Days at which the library models reach their requirements in one dormant year.
pub type Crossings = [f32; LIBRARY.len()];

/// The development curves of all library models in one dormant year.
#[derive(Debug, Clone, Default)]
pub struct Curves {
    year: i32,
    curves: Vec<Vec<f32>>,
}

impl Curves {
    /// Runs every model of the library over one dormant year.
    pub fn new(drivers: &Drivers) -> Self {
        let mut curves = Self::default();
        curves.run(drivers);
        curves
    }

    /// The same in the room of curves no longer wanted.
    pub fn run(&mut self, drivers: &Drivers) {
        self.year = drivers.year().spring_year();
        self.curves.resize_with(LIBRARY.len(), Vec::new);
        for (model, curve) in LIBRARY.iter().zip(&mut self.curves) {
            model.accumulate(drivers, curve);
        }
    }

    /// Calendar year of the spring.
    pub const fn year(&self) -> i32 {
        self.year
    }

    /// One model's curve; empty beyond the library.
    pub fn curve(&self, model: usize) -> &[f32] {
        self.curves.get(model).map_or(&[], Vec::as_slice)
    }

    /// Day at which every model reaches its requirement.
    pub fn crossings(&self, requirement: &[f64]) -> Crossings {
        let mut days = [0.0; LIBRARY.len()];
        for ((day, curve), &f) in days.iter_mut().zip(&self.curves).zip(requirement) {
            *day = crossing(curve, f as f32);
        }
        days
    }
}

/// A recorded stage date and where every model's curve stood then.
#[derive(Debug, Clone)]
pub struct Record<'a> {
    curves: &'a Curves,
    day: f32,
    level: Vec<f32>,
    pace: Vec<f32>,
}

/// Half-width, days, of the window over which the pace is taken.
const PACE_HALF_WINDOW: usize = 6;

impl<'a> Record<'a> {
    /// A stage seen on `day` of the dormant year (a day counts at its middle); `None` outside it.
    pub fn new(curves: &'a Curves, day: i64) -> Option<Self> {
        let day = usize::try_from(day).ok().filter(|&d| d < DAYS)?;
        let (low, high) = (
            day.saturating_sub(PACE_HALF_WINDOW),
            (day + PACE_HALF_WINDOW + 1).min(DAYS),
        );
        let (level, pace) = curves
            .curves
            .iter()
            .map(|curve| {
                let climb = (curve[high] - curve[low]) / (high - low) as f32;
                (f32::midpoint(curve[day], curve[day + 1]), climb.max(1e-4))
            })
            .unzip();
        Some(Self {
            curves,
            day: day as f32 + 0.5,
            level,
            pace,
        })
    }

    /// Calendar year of the spring.
    pub const fn year(&self) -> i32 {
        self.curves.year
    }

    /// Day of the dormant year, with its half day.
    pub const fn day(&self) -> f32 {
        self.day
    }

    /// The same spring as if the stage had come `days` later (to the nearest whole day).
    fn moved(&self, days: f32) -> Option<Self> {
        Self::new(self.curves, (self.day - 0.5 + days).round() as i64)
    }
}

/// How far a spring was off for the other series of its place: what it takes away from a record
/// before requirements and calendar day are found from it. Late is positive, days.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct SpringOff {
    /// Against what the mixture answered for them.
    pub mixture_days: f32,
    /// Against their calendar days.
    pub calendar_days: f32,
}

/// Requirements borrowed from other series, counting as so many years.
#[derive(Debug, Clone, Copy)]
pub struct Borrowed<'a> {
    /// Requirement of every library model.
    pub requirement: &'a [f64],
    /// Years they count as.
    pub years: f64,
}

/// Residuals beyond this, days, pull only in proportion.
const HUBER_DAYS: f64 = 6.0;
/// No record counts more than this many times the median record.
const LARGEST_WEIGHT: f64 = 6.0;

/// What fitting a series gives.
#[derive(Debug, Clone)]
pub struct SeriesFit {
    /// Spring years of the records.
    pub years: Vec<i32>,
    /// Requirement of every library model.
    pub requirement: Vec<f64>,
    /// How sharply a record tells each requirement: mean of `1 / pace`, days per unit of heat.
    pub sharpness: Vec<f64>,
    /// Mean recorded day.
    pub calendar_day: f32,
    /// Standard deviation of the recorded days.
    pub calendar_sd: f32,
    /// Predicted minus recorded day, each year left out in turn, per record and member.
    pub errors: Vec<[f32; MEMBERS]>,
    /// Their products, each record weighing 1, by [`fold_of`] its year.
    pub folds: Vec<ErrorProducts>,
}

/// Parts into which springs are dealt so that shares can be found without some of them.
pub const FOLDS: usize = 5;

/// The part a spring belongs to: neighbouring years lie in different ones.
pub const fn fold_of(year: i32) -> usize {
    year.rem_euclid(FOLDS as i32) as usize
}

fn folds(years: &[i32], errors: &[[f32; MEMBERS]]) -> Vec<ErrorProducts> {
    let mut folds = vec![ErrorProducts::new(MEMBERS); FOLDS];
    for (&year, error) in years.iter().zip(errors) {
        if let Some(fold) = folds.get_mut(fold_of(year)) {
            fold.add(error, 1.0);
        }
    }
    folds
}

impl SeriesFit {
    /// Fits; `None` without any record.
    pub fn new(records: &[&Record<'_>], borrowed: Option<Borrowed<'_>>) -> Option<Self> {
        Self::with_springs(records, &[], borrowed)
    }

    /// Fits, taking from each record what the spring was off for others (as far as `off` goes).
    /// Errors are those against the recorded days themselves.
    pub fn with_springs(
        records: &[&Record<'_>],
        off: &[SpringOff],
        borrowed: Option<Borrowed<'_>>,
    ) -> Option<Self> {
        let n = records.len();
        if n == 0 {
            return None;
        }
        let off = |i: usize| off.get(i).copied().unwrap_or_default();
        let moved: Vec<Cow<'_, Record<'_>>> = records
            .iter()
            .enumerate()
            .map(|(i, record)| {
                let days = -off(i).mixture_days;
                let other = (days.abs() >= 0.5).then(|| record.moved(days)).flatten();
                other.map_or(Cow::Borrowed(*record), Cow::Owned)
            })
            .collect();
        let mut errors = vec![[0.0; MEMBERS]; n];
        let mut requirement = Vec::with_capacity(LIBRARY.len());
        let mut sharpness = Vec::with_capacity(LIBRARY.len());
        for model in 0..LIBRARY.len() {
            let (fitted, weights) = robust_mean(&moved, model);
            let total: f64 = weights.iter().sum();
            sharpness.push(weights.iter().map(|w| w.sqrt()).sum::<f64>() / n as f64);
            let (prior, prior_weight) = borrowed
                .and_then(|b| {
                    b.requirement
                        .get(model)
                        .map(|&f| (f, b.years * total / n as f64))
                })
                .unwrap_or((0.0, 0.0));
            let sum = fitted.mul_add(total, prior * prior_weight);
            for (((record, moved), &weight), error) in
                records.iter().zip(&moved).zip(&weights).zip(&mut errors)
            {
                let rest = total - weight + prior_weight;
                let without = if rest > 1e-12 {
                    (sum - weight * f64::from(moved.level[model])) / rest
                } else {
                    fitted
                };
                error[model] = crossing(record.curves.curve(model), without as f32) - record.day;
            }
            requirement.push(sum / (total + prior_weight));
        }
        let usual = |i: usize, r: &Record<'_>| r.day - off(i).calendar_days;
        let each = || records.iter().enumerate();
        let total: f32 = each().map(|(i, r)| usual(i, r)).sum();
        let mean = total / n as f32;
        let squares: f32 = records.iter().map(|r| (r.day - mean).powi(2)).sum();
        for ((i, record), error) in each().zip(&mut errors) {
            let without = (total - usual(i, record)) / (n as f32 - 1.0).max(1.0);
            error[CALENDAR] = if n > 1 { without - record.day } else { 0.0 };
            keep_near_calendar(error);
        }
        let years: Vec<i32> = records.iter().map(|r| r.year()).collect();
        Some(Self {
            folds: folds(&years, &errors),
            years,
            requirement,
            sharpness,
            calendar_day: mean,
            calendar_sd: (squares / (n as f32 - 1.0).max(1.0)).sqrt(),
            errors,
        })
    }

    /// Fits nothing: judges requirements and a calendar day that were found elsewhere, with the
    /// records of this series as the test.
    pub fn judged(records: &[&Record<'_>], requirement: &[f64], calendar_day: f32) -> Option<Self> {
        let mut fit = Self::new(records, None)?;
        for (record, error) in records.iter().zip(&mut fit.errors) {
            for (slot, predicted) in error.iter_mut().zip(record.curves.crossings(requirement)) {
                *slot = predicted - record.day;
            }
            error[CALENDAR] = calendar_day - record.day;
            keep_near_calendar(error);
        }
        fit.folds = folds(&fit.years, &fit.errors);
        fit.requirement = requirement.to_vec();
        fit.calendar_day = calendar_day;
        Some(fit)
    }

    /// A fit of which nothing but the errors matters.
    #[cfg(test)]
    pub(super) fn from_errors(years: Vec<i32>, errors: Vec<[f32; MEMBERS]>) -> Self {
        Self {
            folds: folds(&years, &errors),
            years,
            requirement: Vec::new(),
            sharpness: Vec::new(),
            calendar_day: 0.0,
            calendar_sd: 0.0,
            errors,
        }
    }

    /// Number of years recorded.
    pub fn len(&self) -> usize {
        self.years.len()
    }

    /// Whether no year is recorded.
    pub fn is_empty(&self) -> bool {
        self.years.is_empty()
    }

    /// Products of the errors over all its years.
    pub fn products(&self) -> ErrorProducts {
        let mut products = ErrorProducts::new(MEMBERS);
        for fold in &self.folds {
            products.add_scaled(fold, 1.0);
        }
        products
    }

    /// Errors of the mixture, year by year, with the shares that `shares_in` a year.
    pub fn leftovers<'s>(&self, shares_in: impl Fn(i32) -> &'s [f32]) -> Leftovers {
        let mut out = Leftovers::default();
        for (&year, errors) in self.years.iter().zip(&self.errors) {
            let mixture: f32 = shares_in(year).iter().zip(errors).map(|(w, e)| w * e).sum();
            out.push(
                year,
                f64::from(mixture - errors[CALENDAR]),
                f64::from(-mixture),
            );
        }
        out
    }
}

/// No member is believed further from the calendar mean than [`FARTHEST_DAYS`].
fn keep_near_calendar(errors: &mut [f32; MEMBERS]) {
    let calendar = errors[CALENDAR];
    for error in errors {
        *error = error.clamp(calendar - FARTHEST_DAYS, calendar + FARTHEST_DAYS);
    }
}

/// Requirement and weights of the records for one model.
fn robust_mean(records: &[Cow<'_, Record<'_>>], model: usize) -> (f64, Vec<f64>) {
    let base: Vec<f64> = records
        .iter()
        .map(|r| f64::from(r.pace[model]).powi(-2))
        .collect();
    let mut sorted = base.clone();
    sorted.sort_by(f64::total_cmp);
    let cap = LARGEST_WEIGHT * sorted[sorted.len() / 2];
    let base: Vec<f64> = base.into_iter().map(|w| w.min(cap)).collect();
    let mean = |weights: &[f64]| {
        let total: f64 = weights.iter().sum();
        let sum: f64 = records
            .iter()
            .zip(weights)
            .map(|(r, w)| w * f64::from(r.level[model]))
            .sum();
        sum / total
    };
    let mut weights = base.clone();
    for _ in 0..2 {
        let centre = mean(&weights);
        for ((record, &b), weight) in records.iter().zip(&base).zip(&mut weights) {
            let days =
                ((centre - f64::from(record.level[model])) / f64::from(record.pace[model])).abs();
            *weight = if days <= HUBER_DAYS {
                b
            } else {
                b * HUBER_DAYS / days
            };
        }
    }
    (mean(&weights), weights)
}

/// No member is believed further from the calendar mean than this, days.
const FARTHEST_DAYS: f32 = 45.0;

/// A calibrated series, ready to answer for any curves.
#[derive(Debug, Clone)]
pub struct Predictor {
    requirement: Vec<f64>,
    calendar_day: f32,
    shares: Vec<f32>,
    drift: Drift,
    leftovers: Leftovers,
}

impl Predictor {
    /// Joins requirements, shares, and the errors left over.
    pub const fn new(
        requirement: Vec<f64>,
        calendar_day: f32,
        shares: Vec<f32>,
        drift: Drift,
        leftovers: Leftovers,
    ) -> Self {
        Self {
            requirement,
            calendar_day,
            shares,
            drift,
            leftovers,
        }
    }

    /// Requirement of every library model.
    pub fn requirement(&self) -> &[f64] {
        &self.requirement
    }

    /// Shares of the members, the calendar mean last.
    pub fn shares(&self) -> &[f32] {
        &self.shares
    }

    /// Mean recorded day.
    pub const fn calendar_day(&self) -> f32 {
        self.calendar_day
    }

    /// Day of the mixture for one possible season.
    pub fn mixture_day(&self, curves: &Curves) -> f32 {
        self.mixture_of(&curves.crossings(&self.requirement))
    }

    /// The same from the days at which the models reach its requirement.
    pub fn mixture_of(&self, crossings: &Crossings) -> f32 {
        let far = FARTHEST_DAYS;
        let models: f32 = crossings
            .iter()
            .zip(&self.shares)
            .map(|(day, w)| w * day.clamp(self.calendar_day - far, self.calendar_day + far))
            .sum();
        models + self.shares.get(CALENDAR).copied().unwrap_or(0.0) * self.calendar_day
    }

    /// Correction by neighbouring years, and its spread, for a mixture day.
    pub fn correction(&self, year: i32, mixture_day: f32) -> Correction {
        let departure = f64::from(mixture_day - self.calendar_day);
        self.drift.correction(&self.leftovers, year, departure)
    }
}
