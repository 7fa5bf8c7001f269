//! From a rate to an amount of product, whatever the rate is counted by.

use crate::domain::season::Material;
use crate::domain::units::{Amount, Mass, MassUnit, Rate, Volume, VolumeUnit};

/// What a rate is multiplied with: spray, ground, trees. Each may be unknown.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ground {
    /// Finished spray, L.
    pub water_l: Option<f64>,
    /// Ground, ha.
    pub area_ha: Option<f64>,
    /// Trees.
    pub trees: Option<f64>,
}

impl Ground {
    /// A share of it, for instance one tank of the whole.
    pub fn share(self, share: f64) -> Self {
        let part = |x: Option<f64>| x.map(|x| x * share);
        Self {
            water_l: part(self.water_l),
            area_ha: part(self.area_ha),
            trees: part(self.trees),
        }
    }
}

/// An amount `factor` times as large, in SI units.
pub fn scaled(amount: Amount, factor: f64) -> Amount {
    match amount {
        Amount::Volume(v) => litres(v.l() * factor),
        Amount::Mass(m) => kilograms(m.kg() * factor),
    }
}

/// An amount from litres.
pub fn litres(l: f64) -> Amount {
    Amount::Volume(Volume::new(l, VolumeUnit::L))
}

/// An amount from kilograms.
pub fn kilograms(kg: f64) -> Amount {
    Amount::Mass(Mass::new(kg, MassUnit::Kg))
}

/// Product for this ground at this rate, in SI units; none where what the
/// rate is counted by is not known.
pub fn amount(rate: Rate, ground: Ground) -> Option<Amount> {
    match rate {
        Rate::VolumePercent(p) => Some(litres(ground.water_l? * p.fraction())),
        Rate::PerVolume(product, water) => {
            (water.l() > 0.0).then_some(scaled(product, ground.water_l? / water.l()))
        }
        Rate::PerArea(product, area) => {
            (area.ha() > 0.0).then_some(scaled(product, ground.area_ha? / area.ha()))
        }
        Rate::PerTree(product) => Some(scaled(product, ground.trees?)),
    }
}

/// The mass of an amount, kg; a volume needs the product's density.
pub fn to_kg(amount: Amount, density_kg_per_l: Option<f64>) -> Option<f64> {
    match amount {
        Amount::Mass(m) => Some(m.kg()),
        Amount::Volume(v) => density_kg_per_l.map(|d| v.l() * d),
    }
}

/// `a / b` where the two can be compared: both volumes, both masses, or by
/// the product's density.
pub fn ratio(a: Amount, b: Amount, density_kg_per_l: Option<f64>) -> Option<f64> {
    let (top, bottom) = match (a, b) {
        (Amount::Volume(a), Amount::Volume(b)) => (a.l(), b.l()),
        (Amount::Mass(a), Amount::Mass(b)) => (a.kg(), b.kg()),
        _ => (to_kg(a, density_kg_per_l)?, to_kg(b, density_kg_per_l)?),
    };
    (bottom > 0.0).then_some(top / bottom)
}

/// `a / b` of two rates on the same ground. Rates counted the same way need
/// no ground at all.
pub fn rate_ratio(a: Rate, b: Rate, ground: Ground, density_kg_per_l: Option<f64>) -> Option<f64> {
    let unit = match (a, b) {
        (Rate::PerArea(..), Rate::PerArea(..)) => Ground {
            area_ha: Some(1.0),
            ..Ground::default()
        },
        (Rate::PerTree(..), Rate::PerTree(..)) => Ground {
            trees: Some(1.0),
            ..Ground::default()
        },
        (
            Rate::VolumePercent(..) | Rate::PerVolume(..),
            Rate::VolumePercent(..) | Rate::PerVolume(..),
        ) => Ground {
            water_l: Some(1.0),
            ..Ground::default()
        },
        _ => ground,
    };
    ratio(amount(a, unit)?, amount(b, unit)?, density_kg_per_l)
}

/// The rate a mix part is used at: its own, else the one on the label.
pub fn rate_of(part_rate: Option<Rate>, material: &Material) -> Option<Rate> {
    part_rate.or(material.label.rate)
}

/// Metallic copper in an amount of a material, kg; none where the material
/// carries no equivalent or the amount cannot be weighed.
pub fn copper_kg(amount: Amount, material: &Material) -> Option<f64> {
    let share = material.metallic_copper?.fraction();
    Some(to_kg(amount, material.density_kg_per_l)? * share)
}

/// Mass an area of a rate counted by area, kg/ha.
pub fn kg_per_ha(rate: Rate, density_kg_per_l: Option<f64>) -> Option<f64> {
    match rate {
        Rate::PerArea(..) => to_kg(
            amount(
                rate,
                Ground {
                    area_ha: Some(1.0),
                    ..Ground::default()
                },
            )?,
            density_kg_per_l,
        ),
        _ => None,
    }
}
