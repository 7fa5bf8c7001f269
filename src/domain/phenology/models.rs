//! Three families of models behind one trait, and the library of members the estimate averages.
//!
//! Every model turns a dormant year into one curve: development accumulated by the start of each
//! day. A stage comes when the curve reaches the requirement of the tree. Let `r(T)` be the mean
//! hourly rate of a day ([`Rate`]) and `C` the chill portions so far:
//!
//! - thermal time: `H = Σ r(T)` from a start day (Hunter & Lechowicz 1992, from memory);
//! - chill then heat: the same sum, from the day on which `C ≥ C*`;
//! - overlap: `H = Σ r(T) · S(C)` with `S = 1 / (1 + exp(−s · C* (C − C*)/C))`, heat counting the
//!   more the further chill has come (shape as in Luedeling et al. 2021, Agric. For. Meteorol.
//!   307:108491), or `H = exp(k C) · Σ r(T)`, the requirement falling with chill (Chuine 2000,
//!   J. Theor. Biol. 207:337–347).

use std::fmt::Debug;

use super::dormant_year::{DAYS, SOLSTICE};
use super::drivers::Drivers;
use super::rates::Rate;

/// The three families.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    /// Heat from a start day.
    ThermalTime,
    /// Chill first, heat after it.
    ChillThenHeat,
    /// Chill and heat together.
    Overlap,
}

impl Family {
    /// The family in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::ThermalTime => "thermal time",
            Self::ChillThenHeat => "chill then heat",
            Self::Overlap => "overlapping chill and heat",
        }
    }
}

/// A model of development in one dormant year.
pub trait ForcingModel: Debug {
    /// Its family.
    fn family(&self) -> Family;

    /// The heat curve it counts by.
    fn rate(&self) -> Rate;

    /// Name with its settings, stable enough to be typed by hand.
    fn name(&self) -> String;

    /// Development accumulated by the start of each day: `DAYS + 1` values, never falling,
    /// beginning at 0. `curve` is cleared first.
    fn accumulate(&self, drivers: &Drivers, curve: &mut Vec<f32>);
}

/// A member of the library.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Model {
    /// Heat from a day counted from the winter solstice.
    ThermalTime {
        /// Heat curve.
        rate: Rate,
        /// Start, days after the winter solstice (negative: before it).
        start_day: i16,
    },
    /// Heat once the chill requirement is met.
    ChillThenHeat {
        /// Heat curve.
        rate: Rate,
        /// Chill requirement, portions.
        portions: f32,
    },
    /// Heat weighted by chill so far.
    Overlap {
        /// Heat curve.
        rate: Rate,
        /// Portions at which heat counts by half.
        portions: f32,
        /// Steepness of the change, per portion.
        steepness: f32,
    },
    /// Heat from a start day, magnified by chill so far.
    FallingRequirement {
        /// Heat curve.
        rate: Rate,
        /// Start, days after the winter solstice.
        start_day: i16,
        /// Growth per chill portion.
        per_portion: f32,
    },
}

fn heat_from(drivers: &Drivers, rate: Rate, start_day: i16, mut each: impl FnMut(usize, f32)) {
    let start = SOLSTICE.saturating_add_signed(isize::from(start_day));
    let index = rate.index();
    let mut sum = 0.0;
    for (day, heat) in drivers.heat().iter().enumerate() {
        if day >= start {
            sum += heat[index];
        }
        each(day, sum);
    }
}

impl ForcingModel for Model {
    fn family(&self) -> Family {
        match self {
            Self::ThermalTime { .. } => Family::ThermalTime,
            Self::ChillThenHeat { .. } => Family::ChillThenHeat,
            Self::Overlap { .. } | Self::FallingRequirement { .. } => Family::Overlap,
        }
    }

    fn rate(&self) -> Rate {
        match *self {
            Self::ThermalTime { rate, .. }
            | Self::ChillThenHeat { rate, .. }
            | Self::Overlap { rate, .. }
            | Self::FallingRequirement { rate, .. } => rate,
        }
    }

    fn name(&self) -> String {
        let rate = format!("{:?}", self.rate()).to_lowercase();
        match *self {
            Self::ThermalTime { start_day, .. } => format!("thermal-{rate}-{start_day:+}d"),
            Self::ChillThenHeat { portions, .. } => format!("sequential-{rate}-{portions}cp"),
            Self::Overlap {
                portions,
                steepness,
                ..
            } => {
                format!("overlap-{rate}-{portions}cp-{steepness}")
            }
            Self::FallingRequirement {
                start_day,
                per_portion,
                ..
            } => {
                format!("falling-{rate}-{start_day:+}d-{per_portion}")
            }
        }
    }

    fn accumulate(&self, drivers: &Drivers, curve: &mut Vec<f32>) {
        curve.clear();
        curve.reserve(DAYS + 1);
        curve.push(0.0);
        let chill = drivers.chill_portions();
        match *self {
            Self::ThermalTime { rate, start_day } => {
                heat_from(drivers, rate, start_day, |_, sum| curve.push(sum));
            }
            Self::FallingRequirement {
                rate,
                start_day,
                per_portion,
            } => {
                let mut portions = 0.0;
                heat_from(drivers, rate, start_day, |day, sum| {
                    portions += chill[day];
                    curve.push(sum * (per_portion * portions).exp());
                });
            }
            Self::ChillThenHeat {
                rate,
                portions: required,
            } => {
                let (mut portions, mut sum) = (0.0, 0.0);
                for (heat, gained) in drivers.heat().iter().zip(chill) {
                    if portions >= required {
                        sum += heat[rate.index()];
                    }
                    portions += gained;
                    curve.push(sum);
                }
            }
            Self::Overlap {
                rate,
                portions: half,
                steepness,
            } => {
                let (mut portions, mut sum) = (0.0_f32, 0.0);
                for (heat, gained) in drivers.heat().iter().zip(chill) {
                    if portions > 0.0 {
                        let exponent = -steepness * half * (portions - half) / portions;
                        sum += heat[rate.index()] / (1.0 + exponent.exp());
                    }
                    portions += gained;
                    curve.push(sum);
                }
            }
        }
    }
}

/// Day, counted with fractions from the start of the dormant year, at which a curve reaches a
/// requirement (leaves zero, if the requirement is not above zero). Beyond its end the curve goes on at the mean of its last ten days, for at most
/// twenty days.
pub fn crossing(curve: &[f32], requirement: f32) -> f32 {
    let end = curve.len().saturating_sub(1);
    if end < 11 {
        return 0.0;
    }
    // Nothing required: the day on which the curve leaves zero.
    let requirement = requirement.max(f32::MIN_POSITIVE);
    let last = curve[end];
    if last < requirement {
        let per_day = ((last - curve[end - 10]) / 10.0).max(1e-3);
        return end as f32 + ((requirement - last) / per_day).min(20.0);
    }
    let after = curve.partition_point(|&sum| sum < requirement);
    if after == 0 {
        return 0.0;
    }
    let (low, high) = (curve[after - 1], curve[after]);
    (after - 1) as f32
        + if high > low {
            (requirement - low) / (high - low)
        } else {
            1.0
        }
}

mod library;
pub use library::LIBRARY;

#[cfg(test)]
mod tests;
