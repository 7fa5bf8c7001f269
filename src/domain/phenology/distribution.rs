//! The date of a stage with its uncertainty: a chance for every day.

use chrono::{Days, NaiveDate};

/// When a stage is reached: the chance that it has been reached by each day.
#[derive(Debug, Clone, PartialEq)]
pub struct StageDate {
    first: NaiveDate,
    /// Chance that the stage is reached by the end of `first + i`; never falls.
    by_day: Vec<f32>,
}

impl StageDate {
    /// From the chances of consecutive days; made to lie in 0..1 and never to fall.
    pub fn new(first: NaiveDate, by_day: impl IntoIterator<Item = f64>) -> Self {
        let mut highest = 0.0_f64;
        let by_day = by_day
            .into_iter()
            .map(|p| {
                highest = highest.max(if p.is_finite() {
                    p.clamp(0.0, 1.0)
                } else {
                    0.0
                });
                highest as f32
            })
            .collect();
        Self { first, by_day }
    }

    /// The first day held.
    pub fn first_day(&self) -> NaiveDate {
        self.first
    }

    /// The days held, with the chance that the stage is reached by their end.
    pub fn days(&self) -> impl Iterator<Item = (NaiveDate, f64)> + '_ {
        self.first
            .iter_days()
            .zip(self.by_day.iter().map(|p| f64::from(*p)))
    }

    /// The chance that the stage is reached by the end of a day.
    pub fn chance_by(&self, date: NaiveDate) -> f64 {
        let index = (date - self.first).num_days();
        if index < 0 {
            return 0.0;
        }
        let index = usize::try_from(index).unwrap_or(usize::MAX);
        self.by_day
            .get(index)
            .or(self.by_day.last())
            .map_or(0.0, |p| f64::from(*p))
    }

    /// The first day by which the chance is at least `p`; the last day held
    /// where it never is.
    pub fn quantile(&self, p: f64) -> NaiveDate {
        let index = self.by_day.iter().position(|c| f64::from(*c) >= p - 1e-6);
        let index = index.unwrap_or(self.by_day.len().saturating_sub(1));
        self.first
            .checked_add_days(Days::new(index as u64))
            .unwrap_or(self.first)
    }

    /// One time in ten it is reached by this day.
    pub fn p10(&self) -> NaiveDate {
        self.quantile(0.1)
    }

    /// As likely before as after.
    pub fn p50(&self) -> NaiveDate {
        self.quantile(0.5)
    }

    /// Nine times in ten it is reached by this day.
    pub fn p90(&self) -> NaiveDate {
        self.quantile(0.9)
    }

    /// The latest day `d` for which the chance by `d + guard_days` is at most
    /// `tolerance`.
    pub fn last_safe(&self, tolerance: f64, guard_days: u32) -> NaiveDate {
        let over = self
            .by_day
            .iter()
            .position(|c| f64::from(*c) > tolerance + 1e-6);
        let over = over.unwrap_or(self.by_day.len());
        let shift = over as i64 - 1 - i64::from(guard_days);
        self.first
            .checked_add_signed(chrono::TimeDelta::days(shift))
            .unwrap_or(self.first)
    }
}
