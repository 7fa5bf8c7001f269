//! Degree days along a series of days.

use chrono::NaiveDate;

use super::DegreeDays;
use crate::domain::climate::daily::DailySeries;

/// One day of a running sum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DaySum {
    /// The day.
    pub date: NaiveDate,
    /// What the day adds; `None` where its temperatures are missing.
    pub value: Option<f64>,
    /// The sum so far; missing days add nothing to it.
    pub total: f64,
}

/// A running sum over daily values (NaN = missing) that start on `first`.
pub fn running(first: NaiveDate, values: impl IntoIterator<Item = f64>) -> Vec<DaySum> {
    let mut total = 0.0;
    first
        .iter_days()
        .zip(values)
        .map(|(date, value)| {
            let value = (!value.is_nan()).then_some(value);
            total += value.unwrap_or(0.0);
            DaySum { date, value, total }
        })
        .collect()
}

impl DegreeDays {
    /// Degree days (°C) of every day of a series in its order, NaN where the day is missing.
    pub fn per_day(&self, daily: &DailySeries) -> Vec<f64> {
        (0..daily.len())
            .map(|i| {
                daily.at(i).map_or(f64::NAN, |(tmin_c, tmax_c)| {
                    self.day(tmin_c, tmax_c, daily.at(i + 1).map(|(low, _)| low))
                })
            })
            .collect()
    }

    /// Running degree days (°C) from one date to another, both included, as far as covered. The
    /// double methods see the minimum of the day after `to` where the series has it.
    pub fn running(&self, daily: &DailySeries, from: NaiveDate, to: NaiveDate) -> Vec<DaySum> {
        let Some(after) = to.succ_opt() else {
            return running(
                from.max(daily.first()),
                self.per_day(&daily.slice(from, to)),
            );
        };
        let part = daily.slice(from, after);
        let mut days = running(part.first(), self.per_day(&part));
        days.retain(|day| day.date <= to);
        days
    }
}
