//! The Dynamic model with its three exponentials read from a table: for estimates over sixty
//! years of hours. Measured against the exact model in the tests below.

use std::sync::LazyLock;

use super::dynamic::{HourFactors, Intermediate};
use crate::domain::phenology::hourly_sum::HourlySum;

/// Steps per °C. With straight lines between, 1/64 °C keeps a season within 0.001 portions.
const STEPS_PER_C: f64 = 64.0;
/// Coldest tabled temperature, °C; colder hours add nothing that matters and take this value.
const FROM_C: f64 = -30.0;
/// Hottest tabled temperature, °C.
const TO_C: f64 = 50.0;

/// Factors as they are tabled: `f32` is exact to a ten-millionth of each, and takes half.
type Row = [f32; 3];

static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| {
    let steps = ((TO_C - FROM_C) * STEPS_PER_C) as usize;
    (0..=steps + 1)
        .map(|i| {
            let HourFactors { level, stay, fixed } =
                HourFactors::at(FROM_C + i as f64 / STEPS_PER_C);
            [level, stay, fixed].map(|v| v as f32)
        })
        .collect()
});

fn factors(table: &[Row], temp_c: f64) -> HourFactors {
    let place = (temp_c.clamp(FROM_C, TO_C) - FROM_C) * STEPS_PER_C;
    let index = place as usize;
    let share = place - index as f64;
    match table.get(index..index + 2) {
        Some([low, high]) => {
            let mix = |at: usize| {
                let (a, b) = (f64::from(low[at]), f64::from(high[at]));
                // No `mul_add`: it is a call on most machines, and this is read a million times.
                (b - a) * share + a
            };
            HourFactors {
                level: mix(0),
                stay: mix(1),
                fixed: mix(2),
            }
        }
        _ => HourFactors::at(temp_c),
    }
}

/// The Dynamic model from a table; same numbers as [`super::DynamicModel`] to about a thousandth
/// of a portion in a season, several times as fast.
#[derive(Debug, Clone, Copy)]
pub struct FastDynamicModel {
    table: &'static [Row],
    intermediate: Intermediate,
    portions: f64,
}

impl Default for FastDynamicModel {
    fn default() -> Self {
        Self {
            table: &TABLE,
            intermediate: Intermediate::default(),
            portions: 0.0,
        }
    }
}

impl FastDynamicModel {
    /// The model at the start of chilling: nothing gathered yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// One hour at `temp_c`; returns the portions it adds. A missing hour (NaN) changes nothing.
    pub fn step(&mut self, temp_c: f64) -> f64 {
        if temp_c.is_nan() {
            return 0.0;
        }
        let portion = self.intermediate.step(factors(self.table, temp_c));
        self.portions += portion;
        portion
    }

    /// Chill portions so far.
    pub const fn portions(&self) -> f64 {
        self.portions
    }
}

impl HourlySum for FastDynamicModel {
    fn step(&mut self, temp_c: f64) -> f64 {
        Self::step(self, temp_c)
    }
}

#[cfg(test)]
mod tests {
    use super::super::DynamicModel;
    use super::*;
    use proptest::prelude::*;

    /// Largest difference in running portions over a season of hours.
    fn worst(hours_c: impl Iterator<Item = f64>) -> (f64, f64) {
        let (mut exact, mut fast) = (DynamicModel::new(), FastDynamicModel::new());
        for temp_c in hours_c {
            exact.step(temp_c);
            fast.step(temp_c);
        }
        ((exact.portions() - fast.portions()).abs(), exact.portions())
    }

    #[test]
    fn a_winter_of_waves_differs_by_less_than_a_thousandth() {
        for (mean_c, swing_c) in [(2.0, 6.0), (5.0, 5.0), (8.0, 8.0), (11.0, 4.0)] {
            let hours = (0..4000).map(|h| {
                let h = f64::from(h);
                mean_c - swing_c * (h * std::f64::consts::TAU / 24.0).cos() + 3.0 * (h / 97.0).sin()
            });
            let (difference, portions) = worst(hours);
            assert!(
                portions > 10.0 && difference < 1e-3,
                "{mean_c}: {difference} of {portions}"
            );
        }
    }

    proptest! {
        /// A portion may fall due an hour earlier or later than in the exact model where the
        /// intermediate just touches 1, hence one portion as the outer bound at any moment.
        #[test]
        fn random_hours_never_drift(hours in prop::collection::vec(-35.0..45.0_f64, 0..2000)) {
            let (difference, _) = worst(hours.into_iter());
            prop_assert!(difference < 1.0);
        }
    }
}
