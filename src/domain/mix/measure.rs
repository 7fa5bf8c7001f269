//! Amounts in units people can measure with, with the rounding shown.

use super::dose::ratio;
use crate::domain::season::UnitSystem;
use crate::domain::units::{Amount, Mass, MassUnit, Volume, VolumeUnit};

/// An amount as it is measured out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The amount to measure out.
    pub amount: Amount,
    /// The amount before rounding, in SI units.
    pub exact: Amount,
    /// By how much the rounding is off, percent; negative is too little.
    pub off_percent: f64,
}

/// Rounding may be off by so much before a finer unit is taken, percent.
const FINE_PERCENT: f64 = 2.5;

/// One rung of the ladder: a unit, the least amount it is used for, its step.
type Rung<U> = (U, f64, f64);

const US_VOLUME: &[Rung<VolumeUnit>] = &[
    (VolumeUnit::Gal, 1.0, 0.25),
    (VolumeUnit::FlOz, 2.0, 0.5),
    (VolumeUnit::Tbsp, 1.0, 0.5),
    (VolumeUnit::Tsp, 0.25, 0.25),
    (VolumeUnit::Ml, 0.0, 0.1),
];
const METRIC_VOLUME: &[Rung<VolumeUnit>] = &[
    (VolumeUnit::L, 1.0, 0.1),
    (VolumeUnit::Ml, 100.0, 5.0),
    (VolumeUnit::Ml, 10.0, 1.0),
    (VolumeUnit::Ml, 0.0, 0.1),
];
const US_MASS: &[Rung<MassUnit>] = &[
    (MassUnit::Lb, 1.0, 0.25),
    (MassUnit::Oz, 1.0, 0.25),
    (MassUnit::Oz, 0.1, 0.05),
    (MassUnit::G, 0.0, 0.1),
];
const METRIC_MASS: &[Rung<MassUnit>] = &[
    (MassUnit::Kg, 1.0, 0.05),
    (MassUnit::G, 100.0, 5.0),
    (MassUnit::G, 10.0, 1.0),
    (MassUnit::G, 0.0, 0.1),
];

/// Rounds an amount to what a jug, a spoon or a scale shows.
///
/// The largest unit that stays within 2.5 % is taken. The result is never
/// above `most`, nor (where that leaves room) below `least`; the two are
/// amounts of the same kind.
pub fn measure(
    exact: Amount,
    system: UnitSystem,
    least: Option<Amount>,
    most: Option<Amount>,
) -> Measured {
    let limit = |a: Option<Amount>| a.and_then(|a| ratio(a, exact, None));
    let (least, most) = (limit(least), limit(most));
    let metric = system == UnitSystem::Metric;
    let share = match exact {
        Amount::Volume(v) => {
            let ladder = if metric { METRIC_VOLUME } else { US_VOLUME };
            let rungs = ladder
                .iter()
                .map(|&(unit, from, step)| (v.to(unit).value, from, step));
            let (n, value) = pick(rungs, least, most);
            let unit = ladder.get(n).map_or(VolumeUnit::Ml, |r| r.0);
            (
                Amount::Volume(Volume::new(value, unit)),
                v.to(unit).value,
                value,
            )
        }
        Amount::Mass(m) => {
            let ladder = if metric { METRIC_MASS } else { US_MASS };
            let rungs = ladder
                .iter()
                .map(|&(unit, from, step)| (m.to(unit).value, from, step));
            let (n, value) = pick(rungs, least, most);
            let unit = ladder.get(n).map_or(MassUnit::G, |r| r.0);
            (
                Amount::Mass(Mass::new(value, unit)),
                m.to(unit).value,
                value,
            )
        }
    };
    let (amount, exact_value, value) = share;
    Measured {
        amount,
        exact,
        off_percent: if exact_value > 0.0 {
            (value / exact_value - 1.0) * 100.0
        } else {
            0.0
        },
    }
}

/// The first rung fine enough, and the rounded value on it; the last one where
/// none is. Limits are shares of the exact amount.
fn pick(
    rungs: impl Iterator<Item = (f64, f64, f64)>,
    least: Option<f64>,
    most: Option<f64>,
) -> (usize, f64) {
    let mut last = (0, 0.0);
    for (n, (exact, from, step)) in rungs.enumerate() {
        if exact < from * (1.0 - 1e-9) {
            continue;
        }
        let mut value = tidy((exact / step).round() * step);
        if most.is_some_and(|m| value > exact * m * (1.0 + 1e-9)) {
            value = tidy((exact * most.unwrap_or(1.0) / step + 1e-9).floor() * step);
        }
        if least.is_some_and(|l| value < exact * l * (1.0 - 1e-9)) {
            let up = tidy((exact * least.unwrap_or(1.0) / step - 1e-9).ceil() * step);
            if most.is_none_or(|m| up <= exact * m * (1.0 + 1e-9)) {
                value = up;
            }
        }
        last = (n, value);
        let off = if exact > 0.0 {
            (value / exact - 1.0).abs() * 100.0
        } else {
            0.0
        };
        if off <= FINE_PERCENT && (value > 0.0 || exact <= 0.0) {
            return last;
        }
    }
    last
}

/// Clears the dust of binary fractions.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::mix::dose::{kilograms, litres};

    fn fl_oz(n: f64) -> Amount {
        litres(n * 0.029_573_529_562_5)
    }

    #[test]
    fn takes_units_people_have() {
        for (exact, system, text) in [
            (fl_oz(2.56), UnitSystem::Us, "2.5 fl oz"),
            (fl_oz(1.28), UnitSystem::Us, "2.5 tbsp"),
            (fl_oz(640.0), UnitSystem::Us, "5 gal"),
            (litres(0.0757), UnitSystem::Metric, "76 mL"),
            (litres(12.34), UnitSystem::Metric, "12.3 L"),
            (kilograms(1.234), UnitSystem::Metric, "1.25 kg"),
            (kilograms(0.453_592_37 * 4.0), UnitSystem::Us, "4 lb"),
            (kilograms(0.028_349_523_125 * 3.1), UnitSystem::Us, "3 oz"),
        ] {
            let m = measure(exact, system, None, None);
            let coarse = m.off_percent.abs() <= FINE_PERCENT + 1e-9;
            if text == "3 oz" {
                assert_eq!(
                    m.amount.to_string(),
                    "3.1 oz",
                    "3.2 % off would be too coarse"
                );
            } else {
                assert_eq!(m.amount.to_string(), text);
            }
            assert!(coarse, "{text}: {} %", m.off_percent);
        }
    }

    #[test]
    fn never_rounds_above_the_most_nor_to_nothing() {
        // 2.7 fl oz would round to 2.5 or 3.
        let m = measure(fl_oz(2.8), UnitSystem::Us, None, Some(fl_oz(2.8)));
        assert!(m.off_percent <= 1e-6, "{}", m.off_percent);
        let tiny = measure(litres(0.000_01), UnitSystem::Us, None, None);
        assert_eq!(tiny.amount.to_string(), "0 mL", "shown with its error");
        assert!((tiny.off_percent + 100.0).abs() < 1e-9);
    }
}
