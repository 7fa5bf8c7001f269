//! How much of each product: in all, in a full tank, in the last one.

use super::dose::{self, Ground, ratio, scaled};
use super::measure::{Measured, measure};
use super::tanks::Tanks;
use crate::domain::season::{Material, MixPart, UnitSystem};
use crate::domain::units::{Amount, Rate};

/// What was done to a rate to bring it within its label.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// The rate is used as it stands.
    AsPlanned,
    /// Lowered to the label's highest.
    LoweredToMost,
    /// Raised to the label's lowest.
    RaisedToLeast,
}

/// One product of a mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// What it is called.
    pub name: String,
    /// Its active.
    pub active: String,
    /// The rate planned, as written.
    pub rate: Option<Rate>,
    /// Was it brought within the label?
    pub held: Held,
    /// Product in all.
    pub total: Option<Measured>,
    /// Product in a full tank.
    pub full_tank: Option<Measured>,
    /// Product in the last, part tank.
    pub last_tank: Option<Measured>,
    /// Metallic copper in all, kg.
    pub copper_kg: Option<f64>,
    /// Metallic copper, kg/ha.
    pub copper_kg_per_ha: Option<f64>,
    /// Was the rate held against a rate of the label?
    pub is_compared: bool,
    /// What is missing or was changed, one sentence each.
    pub notes: Vec<String>,
}

/// Exact amounts for a ground: what is used, and the label's least and most.
#[derive(Clone, Copy)]
struct Bounds {
    used: Amount,
    least: Option<Amount>,
    most: Option<Amount>,
    cap: Option<Amount>,
    held: Held,
}

fn bounds(rate: Rate, material: &Material, ground: Ground) -> Option<Bounds> {
    let planned = dose::amount(rate, ground)?;
    let density = material.density_kg_per_l;
    // A limit in the planned amount's own kind, whatever the label counts by.
    let limit = |limit: Option<Rate>| {
        let share = ratio(dose::amount(limit?, ground)?, planned, density)?;
        Some((share, scaled(planned, share)))
    };
    let (least, most) = (
        limit(material.label.rate_min),
        limit(material.label.rate_max),
    );
    let (used, held) = match (least, most) {
        (_, Some((share, most))) if share < 1.0 - 1e-9 => (most, Held::LoweredToMost),
        (Some((share, least)), _) if share > 1.0 + 1e-9 => (least, Held::RaisedToLeast),
        _ => (planned, Held::AsPlanned),
    };
    Some(Bounds {
        used,
        least: least.map(|l| l.1),
        most: most.map(|m| m.1),
        // One rate and no maximum: that rate is the most there is, rounding included.
        cap: Some(most.map_or(used, |m| m.1)),
        held,
    })
}

/// The amounts of one part of a mix. A tank's share of ground and trees is its
/// share of the spray.
pub fn product(
    part: &MixPart,
    material: &Material,
    ground: Ground,
    tanks: Option<Tanks>,
    system: UnitSystem,
) -> Product {
    let mut out = Product {
        name: material.name.clone(),
        active: material.active.clone(),
        rate: dose::rate_of(part.rate, material),
        held: Held::AsPlanned,
        total: None,
        full_tank: None,
        last_tank: None,
        copper_kg: None,
        copper_kg_per_ha: None,
        is_compared: false,
        notes: Vec::new(),
    };
    let Some(rate) = out.rate else {
        out.notes
            .push("No rate is known: enter it from the label.".to_owned());
        return out;
    };
    let Some(all) = bounds(rate, material, ground) else {
        out.notes.push(match rate {
            Rate::PerArea(..) => "The ground covered is not known: enter the block's area or spacing.",
            Rate::PerTree(..) => "The number of trees is not known.",
            _ => "The spray volume is not known: enter tree size, a measured volume, or a volume for the task.",
        }.to_owned());
        return out;
    };
    let measured = |b: Bounds| measure(b.used, system, b.least, b.cap);
    out.held = all.held;
    // One rate on the label and no highest: kept to it, it was compared with it.
    let by_only_rate = material.label.rate_max.is_none() && material.label.rate == Some(rate);
    out.is_compared = all.most.is_some() || by_only_rate;
    out.total = Some(measured(all));
    let tank = |litres: f64| {
        let share = litres / ground.water_l.filter(|w| *w > 0.0)?;
        (litres > 0.0).then(|| bounds(rate, material, ground.share(share)).map(measured))?
    };
    if let Some(tanks) = tanks {
        out.full_tank = (tanks.full > 0).then(|| tank(tanks.tank_l)).flatten();
        out.last_tank = tank(tanks.last_l);
    }
    out.copper_kg = dose::copper_kg(all.used, material);
    out.copper_kg_per_ha = out.copper_kg.zip(ground.area_ha).map(|(kg, ha)| kg / ha);
    notes(&mut out, rate, material, all);
    out
}

fn notes(out: &mut Product, rate: Rate, material: &Material, all: Bounds) {
    let label = &material.label;
    match (all.held, label.rate_max, label.rate_min) {
        (Held::LoweredToMost, Some(most), _) => out.notes.push(format!(
            "{rate} was planned; the label's highest is {most}, and that is what is reckoned here."
        )),
        (Held::RaisedToLeast, _, Some(least)) => out.notes.push(format!(
            "{rate} was planned; the label's lowest is {least}, and that is what is reckoned here."
        )),
        _ => {}
    }
    if label.rate_max.is_none() && out.is_compared {
        out.notes.push(
            "The label gives one rate and no highest: that rate is the most here.".to_owned(),
        );
    } else if label.rate_max.is_none() {
        out.notes.push(
            "The label's highest rate is not entered: not checked whether this is over it."
                .to_owned(),
        );
    } else if all.most.is_none() {
        out.notes.push(
            "The label's highest rate is counted another way and could not be compared.".to_owned(),
        );
    }
    if material.metallic_copper.is_some() && out.copper_kg.is_none() {
        out.notes.push(
            "The metallic copper cannot be reckoned without the product's density.".to_owned(),
        );
    }
}
