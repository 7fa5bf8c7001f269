//! What is left in the shed after a use.

use crate::domain::season::{Material, RecordedMaterial, Season};
use crate::domain::units::{Amount, Mass, MassUnit, Volume, VolumeUnit};

/// Lowers the stock by what was used; `before` is what an earlier record of
/// the same use had already taken. Says what could not be reckoned.
pub(super) fn use_up(
    season: &mut Season,
    before: &[RecordedMaterial],
    now: &[RecordedMaterial],
) -> Vec<String> {
    let mut notes = Vec::new();
    for material in &mut season.materials {
        let of = |used: &[RecordedMaterial]| -> Vec<Amount> {
            used.iter()
                .filter(|u| u.material == material.id)
                .filter_map(|u| u.total)
                .collect()
        };
        let (was, is) = (of(before), of(now));
        let Some(stock) = material.stock else {
            continue;
        };
        if was == is {
            continue;
        }
        let reckoned = |amounts: &[Amount]| -> Option<f64> {
            amounts
                .iter()
                .map(|a| in_unit_of(*a, stock, material.density_kg_per_l))
                .sum()
        };
        match (reckoned(&was), reckoned(&is)) {
            (Some(was), Some(is)) => {
                let left = value(stock) - (is - was);
                if left < -1e-9 {
                    notes.push(format!(
                        "more {} was used than the shed held ({stock}); count what is left",
                        material.name
                    ));
                }
                set(material, left.max(0.0));
            }
            _ => notes.push(format!(
                "the stock of {} ({stock}) is kept in other units than it was used in; set its density or count what is left",
                material.name
            )),
        }
    }
    notes
}

fn value(amount: Amount) -> f64 {
    match amount {
        Amount::Volume(v) => v.value,
        Amount::Mass(m) => m.value,
    }
}

fn set(material: &mut Material, left: f64) {
    // Six decimals are what a file keeps; rounding here keeps file and value alike.
    let left = (left * 1e6).round() / 1e6;
    material.stock = material.stock.map(|stock| match stock {
        Amount::Volume(v) => Amount::Volume(Volume::new(left, v.unit)),
        Amount::Mass(m) => Amount::Mass(Mass::new(left, m.unit)),
    });
}

/// An amount in the unit another is measured in.
fn in_unit_of(amount: Amount, like: Amount, density_kg_per_l: Option<f64>) -> Option<f64> {
    let density = density_kg_per_l.filter(|d| *d > 0.0);
    Some(match (amount, like) {
        (Amount::Volume(a), Amount::Volume(l)) => a.to(l.unit).value,
        (Amount::Mass(a), Amount::Mass(l)) => a.to(l.unit).value,
        (Amount::Volume(a), Amount::Mass(l)) => {
            Mass::new(a.l() * density?, MassUnit::Kg).to(l.unit).value
        }
        (Amount::Mass(a), Amount::Volume(l)) => {
            Volume::new(a.kg() / density?, VolumeUnit::L)
                .to(l.unit)
                .value
        }
    })
}
