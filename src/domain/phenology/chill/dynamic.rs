//! Chill portions of the Dynamic model.
//!
//! Fishman, Erez & Couvillon 1987a,b (J. Theor. Biol. 124:473–483 and 126:309–321);
//! Erez et al. 1990 (Acta Hortic. 276:165–174).

use crate::domain::phenology::hourly_sum::HourlySum;

/// Activation energy of forming the intermediate, over the gas constant, K.
const E0_K: f64 = 4153.5;
/// Activation energy of destroying the intermediate, over the gas constant, K.
const E1_K: f64 = 12_888.8;
/// Rate of forming, per hour.
const A0_PER_H: f64 = 139_500.0;
/// Rate of destroying, per hour.
const A1_PER_H: f64 = 2.567e18;
/// Steepness of the transition.
const SLOPE: f64 = 1.6;
/// Transition temperature, K (4 °C).
const TRANSITION_K: f64 = 277.0;
/// The model's own zero: published with 273, not 273.15.
const ZERO_C_IN_K: f64 = 273.0;
/// Beyond these the constants leave the range of numbers; no orchard is colder or hotter.
pub(super) const COLDEST_C: f64 = -80.0;
/// See [`COLDEST_C`].
pub(super) const HOTTEST_C: f64 = 70.0;

/// What one hour at a temperature does: the level the intermediate tends to, the share of the
/// distance that stays, and the share turned into a portion once the intermediate is full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HourFactors {
    pub level: f64,
    pub stay: f64,
    pub fixed: f64,
}

impl HourFactors {
    pub(super) fn at(temp_c: f64) -> Self {
        let temp_k = temp_c.clamp(COLDEST_C, HOTTEST_C) + ZERO_C_IN_K;
        let rate = A1_PER_H * (-E1_K / temp_k).exp();
        Self {
            level: A0_PER_H / A1_PER_H * ((E1_K - E0_K) / temp_k).exp(),
            stay: (-rate).exp(),
            fixed: 1.0 / (1.0 + (-SLOPE * TRANSITION_K * (temp_k - TRANSITION_K) / temp_k).exp()),
        }
    }
}

/// The state between hours, shared by the exact and the tabled model.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Intermediate(pub f64);

impl Intermediate {
    pub(super) fn step(&mut self, hour: HourFactors) -> f64 {
        let level = hour.level - (hour.level - self.0) * hour.stay;
        if level < 1.0 {
            self.0 = level;
            return 0.0;
        }
        let portion = hour.fixed * level;
        self.0 = level - portion;
        portion
    }
}

/// The Dynamic model as a small state machine; exact, and the reference for the tabled one.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DynamicModel {
    intermediate: Intermediate,
    portions: f64,
}

impl DynamicModel {
    /// The model at the start of chilling: nothing gathered yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// One hour at `temp_c`; returns the portions it adds (mostly 0, else a little under 1).
    /// A missing hour (NaN) changes nothing.
    pub fn step(&mut self, temp_c: f64) -> f64 {
        if temp_c.is_nan() {
            return 0.0;
        }
        let portion = self.intermediate.step(HourFactors::at(temp_c));
        self.portions += portion;
        portion
    }

    /// Chill portions so far.
    pub const fn portions(&self) -> f64 {
        self.portions
    }

    /// The intermediate on its way to the next portion (turns into one on reaching 1).
    pub const fn intermediate(&self) -> f64 {
        self.intermediate.0
    }
}

impl HourlySum for DynamicModel {
    fn step(&mut self, temp_c: f64) -> f64 {
        Self::step(self, temp_c)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn absurd_hours_do_no_harm() {
        let mut model = DynamicModel::new();
        for temp_c in [f64::NAN, -1e9, 1e9, f64::NEG_INFINITY, f64::INFINITY, 6.0] {
            assert!(model.step(temp_c).is_finite(), "{temp_c}");
            assert!(model.intermediate().is_finite(), "{temp_c}");
        }
    }
}
