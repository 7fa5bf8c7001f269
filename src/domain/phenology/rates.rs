//! How fast buds develop at a temperature: the heat curves the models choose from.

use std::sync::LazyLock;

use super::heat::DegreeHours;

/// A rate of development per hour, in degree-hour-like units. Requirements are in the unit of
/// their own curve and are never carried from one curve to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Rate {
    /// Asymmetric curve over 4–25–36 °C (Anderson, Richardson & Kesner 1986).
    Asymmetric,
    /// Degrees above −1 °C, counted up to 28 °C (base as in Ruml et al. 2012 for apricot).
    AboveMinus1,
    /// Degrees above 2 °C, counted up to 28 °C (base as in Meland et al. 2017 for cherry).
    Above2,
    /// Degrees above 4.7 °C without an upper limit (Miranda et al. 2013), so that shares of heat
    /// published for it can be applied as they are.
    UncappedAbove4_7,
    /// Degrees above 7 °C, counted up to 28 °C.
    Above7,
    /// Logistic with midpoint 10 °C and slope 0.25 per °C (shape as in Chuine 2000).
    Logistic10,
    /// Logistic with midpoint 15 °C and slope 0.25 per °C.
    Logistic15,
    /// Logistic with midpoint 8 °C and slope 0.45 per °C.
    Logistic8,
    /// Exponential after Arrhenius with 40 kJ/mol, 1 at 15 °C.
    Arrhenius40,
    /// Exponential after Arrhenius with 70 kJ/mol.
    Arrhenius70,
    /// Exponential after Arrhenius with 100 kJ/mol.
    Arrhenius100,
}

/// Scale of the logistic curves, so that all sums have about the same size.
const LOGISTIC_TOP: f64 = 20.0;
/// Value of the Arrhenius curves at their reference temperature.
const ARRHENIUS_AT_REFERENCE: f64 = 5.0;
/// Reference temperature of the Arrhenius curves, K (15 °C).
const REFERENCE_K: f64 = 288.15;
/// Molar gas constant, J/(mol K).
const GAS_CONSTANT: f64 = 8.314_462;
/// Upper limit of the straight curves, °C: no orchard gains from more.
const LINEAR_TOP_C: f64 = 28.0;

impl Rate {
    /// Every curve.
    pub const ALL: [Self; 11] = [
        Self::Asymmetric,
        Self::AboveMinus1,
        Self::Above2,
        Self::UncappedAbove4_7,
        Self::Above7,
        Self::Logistic10,
        Self::Logistic15,
        Self::Logistic8,
        Self::Arrhenius40,
        Self::Arrhenius70,
        Self::Arrhenius100,
    ];

    /// What one hour at `temp_c` adds.
    pub fn hour(self, temp_c: f64) -> f64 {
        let above = |base_c: f64| (temp_c.min(LINEAR_TOP_C) - base_c).max(0.0);
        let logistic =
            |slope: f64, mid_c: f64| LOGISTIC_TOP / (1.0 + (-slope * (temp_c - mid_c)).exp());
        let arrhenius = |joule_per_mol: f64| {
            let kelvin = temp_c + 273.15;
            let exponent =
                joule_per_mol * (kelvin - REFERENCE_K) / (GAS_CONSTANT * kelvin * REFERENCE_K);
            ARRHENIUS_AT_REFERENCE * exponent.exp()
        };
        match self {
            Self::Asymmetric => DegreeHours::Curve.hour(temp_c),
            Self::AboveMinus1 => above(-1.0),
            Self::Above2 => above(2.0),
            Self::UncappedAbove4_7 => DegreeHours::LinearUncapped.hour(temp_c),
            Self::Above7 => above(7.0),
            Self::Logistic10 => logistic(0.25, 10.0),
            Self::Logistic15 => logistic(0.25, 15.0),
            Self::Logistic8 => logistic(0.45, 8.0),
            Self::Arrhenius40 => arrhenius(40e3),
            Self::Arrhenius70 => arrhenius(70e3),
            Self::Arrhenius100 => arrhenius(100e3),
        }
    }

    /// Place in [`Rate::ALL`].
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The curve in words, for explanations.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Asymmetric => "growing degree hours (curve)",
            Self::AboveMinus1 => "degree days above -1 °C",
            Self::Above2 => "degree days above 2 °C",
            Self::UncappedAbove4_7 => "growing degree hours above 4.7 °C",
            Self::Above7 => "degree days above 7 °C",
            Self::Logistic10 => "heat units (S-curve, half at 10 °C)",
            Self::Logistic15 => "heat units (S-curve, half at 15 °C)",
            Self::Logistic8 => "heat units (S-curve, half at 8 °C)",
            Self::Arrhenius40 | Self::Arrhenius70 | Self::Arrhenius100 => {
                "heat units (exponential curve)"
            }
        }
    }
}

/// Steps per °C of the table.
const STEPS_PER_C: f64 = 20.0;
/// Coldest tabled hour, °C.
const FROM_C: f64 = -30.0;
/// Entries: up to 45 °C.
const ENTRIES: usize = 1501;

/// The curves at one temperature, in fours as processors add them; the last place is empty.
type Row = [[f32; 4]; 3];

static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| {
    (0..ENTRIES)
        .map(|i| {
            let temp_c = FROM_C + i as f64 / STEPS_PER_C;
            let mut row = Row::default();
            for (slot, rate) in row.as_flattened_mut().iter_mut().zip(Rate::ALL) {
                *slot = rate.hour(temp_c) as f32;
            }
            row
        })
        .collect()
});

const fn add([a, b, c, d]: [f32; 4], [e, f, g, h]: [f32; 4]) -> [f32; 4] {
    [a + e, b + f, c + g, d + h]
}

/// Daily means of all curves over 24 hourly temperatures in °C, from a table in steps of 0.05 °C.
pub(super) fn daily_means(hours_c: &[f32]) -> [f32; Rate::ALL.len()] {
    let table = &*TABLE;
    let mut sums = Row::default();
    for &temp_c in hours_c {
        let place = ((f64::from(temp_c) - FROM_C) * STEPS_PER_C + 0.5).max(0.0) as usize;
        if let Some(row) = table.get(place.min(ENTRIES - 1)) {
            for (four, values) in sums.iter_mut().zip(row) {
                *four = add(*four, *values);
            }
        }
    }
    let mut means = [0.0; Rate::ALL.len()];
    for (mean, sum) in means.iter_mut().zip(sums.as_flattened()) {
        *mean = sum / 24.0;
    }
    means
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn curves_rise_to_their_optimum_and_stay_finite() {
        for rate in Rate::ALL {
            let mut before = -1.0;
            for tenth in -300..=250 {
                let now = rate.hour(f64::from(tenth) / 10.0);
                assert!(
                    now.is_finite() && now >= before,
                    "{rate:?} falls at {tenth}"
                );
                before = now;
            }
        }
    }

    #[test]
    fn table_agrees_with_the_curves() {
        let hours: Vec<f32> = (0..24).map(|h| -4.0 + h as f32 * 1.1).collect();
        let fast = daily_means(&hours);
        for rate in Rate::ALL {
            let exact: f64 = hours.iter().map(|&t| rate.hour(f64::from(t))).sum::<f64>() / 24.0;
            assert_abs_diff_eq!(f64::from(fast[rate.index()]), exact, epsilon = 0.02);
        }
    }
}
