//! Sums and extremes over any run of hours in constant time.

use std::ops::Range;

/// Sums over runs of hours; missing values count as nothing and are counted apart.
#[derive(Debug, Clone, Default)]
pub(super) struct RunSums {
    sums: Vec<f64>,
    missing: Vec<u32>,
}

impl RunSums {
    pub(super) fn new(values: impl Iterator<Item = f64>) -> Self {
        let (mut sums, mut missing) = (vec![0.0], vec![0]);
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

/// The least value over runs of hours, with its place: a sparse table.
#[derive(Debug, Clone, Default)]
pub(super) struct RunMinima {
    /// Level k holds the place of the least of 2^k values from each place.
    levels: Vec<Vec<u32>>,
    values: Vec<f64>,
}

impl RunMinima {
    /// Missing values never are the least.
    pub(super) fn new(values: impl Iterator<Item = f64>) -> Self {
        let values: Vec<f64> = values
            .map(|v| if v.is_finite() { v } else { f64::INFINITY })
            .collect();
        let mut levels = vec![(0..values.len() as u32).collect::<Vec<u32>>()];
        let mut width = 1;
        while width * 2 <= values.len() {
            let below = levels.last().map_or(&[][..], Vec::as_slice);
            let level = below
                .iter()
                .zip(below.iter().skip(width))
                .map(|(&a, &b)| lesser(&values, a, b))
                .collect();
            levels.push(level);
            width *= 2;
        }
        Self { levels, values }
    }

    /// The first least value of the run and its place; `None` where nothing is known.
    pub(super) fn over(&self, run: &Range<usize>) -> Option<(usize, f64)> {
        let end = run.end.min(self.values.len());
        let len = end.checked_sub(run.start).filter(|&n| n > 0)?;
        let k = len.ilog2();
        let level = self.levels.get(k as usize)?;
        let (&a, &b) = (level.get(run.start)?, level.get(end - (1 << k))?);
        let place = lesser(&self.values, a, b) as usize;
        let value = *self.values.get(place)?;
        value.is_finite().then_some((place, value))
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
            let least = RunMinima::new(values.iter().copied()).over(&run);
            prop_assert_eq!(least.map(|(_, v)| v), known.iter().copied().min_by(f64::total_cmp));
        }
    }
}
