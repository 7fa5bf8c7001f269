//! Daily minimum and maximum temperatures over consecutive civil days.

mod gaps;

use std::cmp::Ordering;
use std::sync::Arc;

use chrono::{Days, NaiveDate};
use thiserror::Error;

pub use gaps::Gap;

/// Daily extremes in °C on consecutive days; a missing value is NaN inside and `None` outside.
///
/// Values are stored as `f32`, which is exact enough for thermometers; [`DailySeries::day`]
/// gives back the nearest decimal number, so that a stored 2.4 is 2.4 and not 2.400 000 095.
/// A clone shares its days.
#[derive(Debug, Clone)]
pub struct DailySeries {
    first: NaiveDate,
    tmin_c: Arc<Vec<f32>>,
    tmax_c: Arc<Vec<f32>>,
}

/// Why a series cannot be built.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum SeriesError {
    /// The two columns differ in length.
    #[error("{minima} minima but {maxima} maxima: every day needs both")]
    Uneven {
        /// Number of minima.
        minima: usize,
        /// Number of maxima.
        maxima: usize,
    },
    /// The last day would lie beyond the calendar.
    #[error("the series runs past the end of the calendar")]
    PastCalendar,
}

/// The decimal number a stored `f32` stands for: five decimals are safe up to ±128 °C.
fn widen(stored: f32) -> f64 {
    (f64::from(stored) * 1e5).round() / 1e5
}

/// Same days and same values; two missing values are the same.
impl PartialEq for DailySeries {
    fn eq(&self, other: &Self) -> bool {
        let same = |a: &[f32], b: &[f32]| {
            a.len() == b.len()
                && a.iter().zip(b).all(|(x, y)| {
                    x.partial_cmp(y).is_some_and(Ordering::is_eq) || (x.is_nan() && y.is_nan())
                })
        };
        self.first == other.first
            && same(&self.tmin_c, &other.tmin_c)
            && same(&self.tmax_c, &other.tmax_c)
    }
}

impl DailySeries {
    /// A series from its first day and the values in °C (NaN = missing).
    pub fn new(first: NaiveDate, tmin_c: Vec<f32>, tmax_c: Vec<f32>) -> Result<Self, SeriesError> {
        if tmin_c.len() != tmax_c.len() {
            return Err(SeriesError::Uneven {
                minima: tmin_c.len(),
                maxima: tmax_c.len(),
            });
        }
        // One day is kept in reserve so that "the day after" always exists.
        first
            .checked_add_days(Days::new(tmin_c.len() as u64))
            .ok_or(SeriesError::PastCalendar)?;
        Ok(Self::of(first, tmin_c, tmax_c))
    }

    fn of(first: NaiveDate, tmin_c: Vec<f32>, tmax_c: Vec<f32>) -> Self {
        Self {
            first,
            tmin_c: Arc::new(tmin_c),
            tmax_c: Arc::new(tmax_c),
        }
    }

    /// A series without a day yet; the first [`DailySeries::push`] follows `first`.
    pub fn empty(first: NaiveDate) -> Self {
        Self::of(first, Vec::new(), Vec::new())
    }

    /// First day covered (or the day a first push would take).
    pub const fn first(&self) -> NaiveDate {
        self.first
    }

    /// Last day covered; `None` when empty.
    pub fn last(&self) -> Option<NaiveDate> {
        self.len().checked_sub(1).and_then(|i| self.date_at(i))
    }

    /// Number of days covered, missing ones included.
    pub fn len(&self) -> usize {
        self.tmin_c.len()
    }

    /// Whether no day is covered.
    pub fn is_empty(&self) -> bool {
        self.tmin_c.is_empty()
    }

    /// Stored minima in °C, NaN where missing: for sums over many years.
    pub fn tmin_c(&self) -> &[f32] {
        &self.tmin_c
    }

    /// Stored maxima in °C, NaN where missing: for sums over many years.
    pub fn tmax_c(&self) -> &[f32] {
        &self.tmax_c
    }

    /// Place of a date in the columns; `None` outside the series.
    pub fn index_of(&self, date: NaiveDate) -> Option<usize> {
        let days = date.signed_duration_since(self.first).num_days();
        usize::try_from(days).ok().filter(|&i| i < self.len())
    }

    /// The date at a place in the columns; `None` past the end of the calendar.
    pub fn date_at(&self, index: usize) -> Option<NaiveDate> {
        self.first.checked_add_days(Days::new(index as u64))
    }

    /// Minimum and maximum in °C at a place in the columns; `None` where either is missing.
    pub fn at(&self, index: usize) -> Option<(f64, f64)> {
        let (low, high) = (
            widen(*self.tmin_c.get(index)?),
            widen(*self.tmax_c.get(index)?),
        );
        (low.is_finite() && high.is_finite()).then_some((low, high))
    }

    /// Minimum and maximum in °C on a date; `None` where missing or outside.
    pub fn day(&self, date: NaiveDate) -> Option<(f64, f64)> {
        self.at(self.index_of(date)?)
    }

    /// Every day covered with its extremes in °C.
    pub fn iter(&self) -> impl Iterator<Item = (NaiveDate, Option<(f64, f64)>)> + '_ {
        self.first
            .iter_days()
            .take(self.len())
            .enumerate()
            .map(|(i, date)| (date, self.at(i)))
    }

    /// Adds the next day (NaN = missing).
    pub fn push(&mut self, tmin_c: f32, tmax_c: f32) -> Result<(), SeriesError> {
        self.first
            .checked_add_days(Days::new(self.len() as u64 + 1))
            .ok_or(SeriesError::PastCalendar)?;
        Arc::make_mut(&mut self.tmin_c).push(tmin_c);
        Arc::make_mut(&mut self.tmax_c).push(tmax_c);
        Ok(())
    }

    /// Adds the following days in order (NaN = missing).
    pub fn extend(
        &mut self,
        days: impl IntoIterator<Item = (f32, f32)>,
    ) -> Result<(), SeriesError> {
        days.into_iter()
            .try_for_each(|(low, high)| self.push(low, high))
    }

    /// Lays observed days over this series: a value observed there wins, a value missing there
    /// leaves what is here, and the series grows to cover both.
    pub fn merge(&mut self, observed: &Self) {
        let (Some(their_last), Some(my_last)) = (observed.last(), self.last()) else {
            if self.is_empty() {
                self.clone_from(observed);
            }
            return;
        };
        let first = self.first.min(observed.first);
        let days = my_last
            .max(their_last)
            .signed_duration_since(first)
            .num_days()
            + 1;
        let days = usize::try_from(days).unwrap_or(0);
        let lay = |mine: &[f32], theirs: &[f32]| {
            let mut joined = vec![f32::NAN; days];
            for (start, values) in [(self.first, mine), (observed.first, theirs)] {
                let skip =
                    usize::try_from(start.signed_duration_since(first).num_days()).unwrap_or(0);
                for (slot, &value) in joined.iter_mut().skip(skip).zip(values) {
                    if !value.is_nan() {
                        *slot = value;
                    }
                }
            }
            joined
        };
        let (low, high) = (
            lay(&self.tmin_c, &observed.tmin_c),
            lay(&self.tmax_c, &observed.tmax_c),
        );
        *self = Self::of(first, low, high);
    }

    /// The days from `from` to `to`, both included, as far as they are covered.
    #[must_use]
    pub fn slice(&self, from: NaiveDate, to: NaiveDate) -> Self {
        let first = from.max(self.first);
        let last = self.last().map_or(to, |last| last.min(to));
        let (Some(start), Some(end)) = (self.index_of(first), self.index_of(last)) else {
            return Self::empty(first);
        };
        let part = |values: &[f32]| {
            values
                .get(start..=end)
                .map_or_else(Vec::new, <[f32]>::to_vec)
        };
        Self::of(first, part(&self.tmin_c), part(&self.tmax_c))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn series(first: &str, days: &[(f32, f32)]) -> DailySeries {
        let mut series = DailySeries::empty(date(first));
        series.extend(days.iter().copied()).unwrap();
        series
    }

    #[test]
    fn days_come_back_as_the_decimals_they_were() {
        let s = series("2024-02-28", &[(2.4, 9.1), (f32::NAN, 5.0), (-0.1, 12.4)]);
        assert_eq!(s.day(date("2024-02-28")), Some((2.4, 9.1)));
        assert_eq!(s.day(date("2024-02-29")), None);
        assert_eq!(s.day(date("2024-03-01")), Some((-0.1, 12.4)));
        assert_eq!(s.day(date("2024-03-02")), None);
        assert_eq!(s.day(date("2024-02-27")), None);
        assert_eq!(s.last(), Some(date("2024-03-01")));
    }

    #[test]
    fn uneven_columns_are_refused() {
        let uneven = DailySeries::new(date("2024-01-01"), vec![1.0], vec![]);
        assert_eq!(
            uneven,
            Err(SeriesError::Uneven {
                minima: 1,
                maxima: 0
            })
        );
        let endless = DailySeries::new(NaiveDate::MAX, vec![1.0], vec![2.0]);
        assert_eq!(endless, Err(SeriesError::PastCalendar));
    }

    #[test]
    fn observed_beats_what_is_there_and_missing_does_not() {
        let mut here = series("2024-01-02", &[(1.0, 2.0), (3.0, 4.0)]);
        let observed = series("2024-01-01", &[(0.0, 9.0), (f32::NAN, 8.0)]);
        here.merge(&observed);
        assert_eq!(
            here,
            series("2024-01-01", &[(0.0, 9.0), (1.0, 8.0), (3.0, 4.0)])
        );
        // Apart: the days between are missing.
        here.merge(&series("2024-01-05", &[(5.0, 6.0)]));
        assert_eq!(here.len(), 5);
        assert_eq!(here.day(date("2024-01-04")), None);
        assert_eq!(here.day(date("2024-01-05")), Some((5.0, 6.0)));
        let mut none = DailySeries::empty(date("1999-01-01"));
        none.merge(&here);
        assert_eq!(none, here);
        none.merge(&DailySeries::empty(date("1990-01-01")));
        assert_eq!(none, here);
    }

    #[test]
    fn slices_keep_to_what_is_covered() {
        let s = series("2023-12-31", &[(0.0, 1.0), (2.0, 3.0), (4.0, 5.0)]);
        let cut = s.slice(date("2024-01-01"), date("2025-01-01"));
        assert_eq!(cut, series("2024-01-01", &[(2.0, 3.0), (4.0, 5.0)]));
        assert!(s.slice(date("2025-01-01"), date("2025-02-01")).is_empty());
        assert!(s.slice(date("2024-01-02"), date("2024-01-01")).is_empty());
        assert_eq!(s.slice(date("2020-01-01"), date("2030-01-01")), s);
    }
}
