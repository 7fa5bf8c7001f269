//! Growing degree hours: how much an hour at a temperature moves a bud that has had its chill.
//!
//! The variants do not convert into each other: a requirement belongs to the variant it was
//! fitted with.

use std::f64::consts::PI;

use super::hourly_sum::HourlySum;

/// Lower limit of the linear hours, °C (Richardson et al. 1975).
const LINEAR_BASE_C: f64 = 4.5;
/// Upper limit of the linear hours, °C (Richardson et al. 1975).
const LINEAR_TOP_C: f64 = 25.0;
/// Base of the uncapped linear hours, °C (Miranda et al. 2013).
const UNCAPPED_BASE_C: f64 = 4.7;
/// Base of the asymmetric curve, °C (Anderson, Richardson & Kesner 1986).
const CURVE_BASE_C: f64 = 4.0;
/// Optimum of the asymmetric curve, °C (same source).
const CURVE_BEST_C: f64 = 25.0;
/// Critical temperature of the asymmetric curve, °C (same source).
const CURVE_TOP_C: f64 = 36.0;

/// A way to count growing degree hours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DegreeHours {
    /// Degrees above 4.5 °C, counted up to 25 °C: Richardson et al. 1975, Acta Hortic. 41:133–142.
    Linear,
    /// Degrees above 4.7 °C without an upper limit: Miranda et al. 2013.
    LinearUncapped,
    /// Asymmetric curve over 4–25–36 °C: Anderson, Richardson & Kesner 1986, Acta Hortic. 184:71–78,
    /// with a stress factor of 1.
    Curve,
}

impl DegreeHours {
    /// Growing degree hours of one hour at `temp_c`.
    pub fn hour(self, temp_c: f64) -> f64 {
        match self {
            Self::Linear => (temp_c.min(LINEAR_TOP_C) - LINEAR_BASE_C).max(0.0),
            Self::LinearUncapped => (temp_c - UNCAPPED_BASE_C).max(0.0),
            Self::Curve => curve(temp_c),
        }
    }
}

impl HourlySum for DegreeHours {
    fn step(&mut self, temp_c: f64) -> f64 {
        self.hour(temp_c)
    }
}

fn curve(temp_c: f64) -> f64 {
    let amplitude = CURVE_BEST_C - CURVE_BASE_C;
    if (CURVE_BASE_C..=CURVE_BEST_C).contains(&temp_c) {
        let share = (temp_c - CURVE_BASE_C) / (CURVE_BEST_C - CURVE_BASE_C);
        amplitude / 2.0 * (1.0 + (PI + PI * share).cos())
    } else if temp_c > CURVE_BEST_C && temp_c <= CURVE_TOP_C {
        let share = (temp_c - CURVE_BEST_C) / (CURVE_TOP_C - CURVE_BEST_C);
        amplitude * (1.0 + (PI / 2.0 + PI / 2.0 * share).cos())
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_curve_joins_at_its_corners() {
        for (temp_c, hours) in [(4.0, 0.0), (25.0, 21.0), (36.0, 0.0)] {
            for nudge in [-1e-9, 0.0, 1e-9] {
                assert!(
                    (DegreeHours::Curve.hour(temp_c + nudge) - hours).abs() < 1e-6,
                    "{temp_c}"
                );
            }
        }
        assert_eq!(DegreeHours::Curve.hour(40.0), 0.0);
        assert_eq!(DegreeHours::Linear.hour(40.0), 20.5);
    }

    proptest! {
        #[test]
        fn warmer_hours_never_count_less(low in -30.0..45.0_f64, more in 0.0..20.0_f64) {
            for kind in [DegreeHours::Linear, DegreeHours::LinearUncapped] {
                prop_assert!(kind.hour(low + more) >= kind.hour(low));
            }
            let high = (low + more).min(25.0);
            if low <= high {
                prop_assert!(DegreeHours::Curve.hour(high) >= DegreeHours::Curve.hour(low) - 1e-12);
            }
        }
    }
}
