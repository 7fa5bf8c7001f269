//! Missing days: where they are, and filling the short ones in the open.

use std::sync::Arc;

use chrono::NaiveDate;

use super::DailySeries;

/// A run of days on which the minimum or the maximum is missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// First missing day.
    pub first: NaiveDate,
    /// Last missing day.
    pub last: NaiveDate,
    /// How many days it lasts.
    pub days: usize,
}

/// Runs of places for which `missing` holds.
fn runs(len: usize, missing: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut start = None;
    for i in 0..=len {
        let open = i < len && missing(i);
        match (open, start) {
            (true, None) => start = Some(i),
            (false, Some(from)) => {
                found.push((from, i - from));
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// Straight line across each run of at most `max_days` missing values with a value on both
/// sides; rounded to tenths, as a thermometer would have given it.
fn bridge(values: &mut [f32], max_days: usize) -> Vec<(usize, usize)> {
    let mut filled = runs(values.len(), |i| values.get(i).is_some_and(|v| v.is_nan()));
    filled.retain(|&(start, days)| {
        let before = start.checked_sub(1).and_then(|i| values.get(i)).copied();
        let after = values.get(start + days).copied();
        let (Some(before), Some(after), true) = (before, after, days <= max_days) else {
            return false;
        };
        let step = (after - before) / (days + 1) as f32;
        for (k, value) in values.iter_mut().skip(start).take(days).enumerate() {
            *value = (step.mul_add((k + 1) as f32, before) * 10.0).round() / 10.0;
        }
        true
    });
    filled
}

impl DailySeries {
    fn gap(&self, (start, days): (usize, usize)) -> Option<Gap> {
        Some(Gap {
            first: self.date_at(start)?,
            last: self.date_at(start + days - 1)?,
            days,
        })
    }

    /// Every run of days on which the minimum or the maximum is missing, in order.
    pub fn gaps(&self) -> Vec<Gap> {
        let found = runs(self.len(), |i| self.at(i).is_none());
        found.into_iter().filter_map(|run| self.gap(run)).collect()
    }

    /// Fills gaps of at most `max_days` days (three is a fair limit) by a straight line between
    /// the days around them, and says which days were filled. Longer gaps and gaps at either end
    /// stay missing.
    pub fn fill_short_gaps(&mut self, max_days: usize) -> Vec<Gap> {
        let before: Vec<bool> = (0..self.len()).map(|i| self.at(i).is_none()).collect();
        bridge(Arc::make_mut(&mut self.tmin_c).as_mut_slice(), max_days);
        bridge(Arc::make_mut(&mut self.tmax_c).as_mut_slice(), max_days);
        let newly = runs(self.len(), |i| {
            before.get(i).copied().unwrap_or(false) && self.at(i).is_some()
        });
        newly.into_iter().filter_map(|run| self.gap(run)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NO: f32 = f32::NAN;

    fn series(days: &[(f32, f32)]) -> DailySeries {
        let (low, high) = days.iter().copied().unzip();
        DailySeries::new("2023-12-30".parse().unwrap(), low, high).unwrap()
    }

    #[test]
    fn gaps_are_found_where_either_value_is_missing() {
        let s = series(&[
            (NO, 1.0),
            (0.0, 1.0),
            (0.0, NO),
            (NO, NO),
            (0.0, 1.0),
            (NO, NO),
        ]);
        let days: Vec<_> = s
            .gaps()
            .iter()
            .map(|g| (g.first.to_string(), g.days))
            .collect();
        assert_eq!(
            days,
            [
                ("2023-12-30".to_string(), 1),
                ("2024-01-01".to_string(), 2),
                ("2024-01-04".to_string(), 1)
            ]
        );
    }

    #[test]
    fn short_gaps_are_bridged_and_reported_long_ones_left() {
        let mut s = series(&[
            (0.0, 10.0),
            (NO, NO),
            (NO, 13.0),
            (3.0, 14.0),
            (NO, NO),
            (NO, NO),
            (0.0, 9.0),
        ]);
        let filled = s.fill_short_gaps(2);
        assert_eq!(filled.len(), 2);
        assert_eq!(s.at(1), Some((1.0, 11.5)));
        assert_eq!(s.at(2), Some((2.0, 13.0)));
        assert_eq!(s.at(4), Some((2.0, 12.3)));
        let mut long = series(&[(0.0, 10.0), (NO, NO), (NO, NO), (3.0, 14.0)]);
        assert!(long.fill_short_gaps(1).is_empty());
        assert_eq!(long.gaps().len(), 1);
        let mut edge = series(&[(NO, NO), (1.0, 2.0), (NO, NO)]);
        assert!(edge.fill_short_gaps(3).is_empty());
    }
}
