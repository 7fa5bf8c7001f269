//! Sums and extremes over any run of hours in constant time.

use std::iter::once;
use std::ops::Range;

/// Sums over runs of hours; missing values count as nothing and are counted apart.
#[derive(Debug, Clone, Default)]
pub(super) struct RunSums {
    sums: Vec<f64>,
    missing: Vec<u32>,
}

impl RunSums {
    pub(super) fn new(values: impl Iterator<Item = f64>) -> Self {
        let count = values.size_hint().0 + 1;
        let (mut sums, mut missing) = (Vec::with_capacity(count), Vec::with_capacity(count));
        sums.push(0.0);
        missing.push(0);
        let (mut sum, mut gaps) = (0.0, 0);
        for value in values {
            if value.is_finite() {
                sum += value;
            } else {
                gaps += 1;
            }
            sums.push(sum);
            missing.push(gaps);
        }
        Self { sums, missing }
    }

    fn len(&self) -> usize {
        self.sums.len().saturating_sub(1)
    }

    /// The sum over the part of the run that is covered, and how many of its hours are missing
    /// or not covered.
    pub(super) fn over(&self, run: &Range<usize>) -> (f64, usize) {
        let end = run.end.min(self.len());
        let start = run.start.min(end);
        let at = |column: &[f64], i: usize| column.get(i).copied().unwrap_or(0.0);
        let gaps = |i: usize| self.missing.get(i).copied().unwrap_or(0) as usize;
        let outside = run.len() - (end - start);
        (
            at(&self.sums, end) - at(&self.sums, start),
            gaps(end) - gaps(start) + outside,
        )
    }
}

/// The least value over runs of hours, with its place: from one hour on by a sparse table, before
/// it by looking at every hour.
#[derive(Debug, Clone, Default)]
pub(super) struct RunMinima {
    values: Vec<f64>,
    /// Missing values before each place.
    gaps: Vec<u32>,
    /// First place of the table.
    first: usize,
    /// Level k − 1 holds, counted from `first`, the place of the least of 2^k values from each
    /// place.
    levels: Vec<Vec<u32>>,
}

impl RunMinima {
    /// Missing values never are the least.
    pub(super) fn new(values: impl Iterator<Item = f64>, first: usize) -> Self {
        let values: Vec<f64> = values
            .map(|v| if v.is_finite() { v } else { f64::INFINITY })
            .collect();
        let mut gap = 0;
        let gaps = values.iter().map(|v| {
            gap += u32::from(v.is_infinite());
            gap
        });
        let gaps = once(0).chain(gaps).collect();
        let n = values.len().saturating_sub(first);
        let mut levels: Vec<Vec<u32>> = Vec::new();
        let mut width = 1;
        while width * 2 <= n {
            let place = |i: usize| match levels.last() {
                Some(below) => below.get(i).copied().unwrap_or_default(),
                None => (first + i) as u32,
            };
            let level = (0..=n - width * 2)
                .map(|i| lesser(&values, place(i), place(i + width)))
                .collect();
            levels.push(level);
            width *= 2;
        }
        Self {
            values,
            gaps,
            first,
            levels,
        }
    }

    /// The first least value of the run and its place; `None` where nothing is known.
    pub(super) fn over(&self, run: &Range<usize>) -> Option<(usize, f64)> {
        let end = run.end.min(self.values.len());
        if run.start >= end {
            return None;
        }
        let before = (run.start..end.min(self.first)).map(|i| i as u32);
        let from = run.start.max(self.first);
        let place = before
            .chain(self.in_table(from, end))
            .reduce(|a, b| lesser(&self.values, a, b))?;
        let value = *self.values.get(place as usize)?;
        value.is_finite().then_some((place as usize, value))
    }

    fn in_table(&self, from: usize, end: usize) -> Option<u32> {
        let len = end.checked_sub(from).filter(|&n| n > 0)?;
        let Some(k) = len.ilog2().checked_sub(1) else {
            return Some(from as u32);
        };
        let level = self.levels.get(k as usize)?;
        let start = from - self.first;
        let (&a, &b) = (level.get(start)?, level.get(start + len - (2 << k))?);
        Some(lesser(&self.values, a, b))
    }

    /// How many values of the run are missing or not covered.
    pub(super) fn missing(&self, run: &Range<usize>) -> usize {
        let end = run.end.min(self.values.len());
        let start = run.start.min(end);
        let gaps = |i: usize| self.gaps.get(i).copied().unwrap_or(0) as usize;
        gaps(end) - gaps(start) + run.len() - (end - start)
    }
}

fn lesser(values: &[f64], a: u32, b: u32) -> u32 {
    let of = |i: u32| values.get(i as usize).copied().unwrap_or(f64::INFINITY);
    if of(b) < of(a) { b } else { a }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn runs_agree_with_looking_at_every_hour(
            values in prop::collection::vec(prop_oneof![4 => -20.0f64..20.0, 1 => Just(f64::NAN)], 0..60),
            start in 0usize..70, len in 0usize..70,
        ) {
            let run = start..start + len;
            let inside: Vec<f64> = values.iter().copied().skip(start).take(len).collect();
            let known: Vec<f64> = inside.iter().copied().filter(|v| v.is_finite()).collect();
            let (sum, missing) = RunSums::new(values.iter().copied()).over(&run);
            prop_assert!((sum - known.iter().sum::<f64>()).abs() < 1e-9);
            prop_assert_eq!(missing, len - known.len());
            for first in [0, values.len() / 2, values.len()] {
                let minima = RunMinima::new(values.iter().copied(), first);
                let least = minima.over(&run);
                prop_assert_eq!(least.map(|(_, v)| v), known.iter().copied().min_by(f64::total_cmp));
                prop_assert!(least.is_none_or(|(i, v)| values[i].total_cmp(&v).is_eq()));
                prop_assert_eq!(minima.missing(&run), len - known.len());
            }
        }
    }
}
