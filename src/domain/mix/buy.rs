//! What to buy: all open sprays against the shed.

use super::dose;
use super::measure::{Measured, measure};
use crate::domain::outlook::Estimates;
use crate::domain::rules::Facts;
use crate::domain::season::{Material, MaterialId, Season, TaskId};
use crate::domain::units::Amount;
use chrono::NaiveDate;

/// One material of the buy list.
#[derive(Debug, Clone, PartialEq)]
pub struct BuyRow {
    /// Which material.
    pub material: MaterialId,
    /// What it is called.
    pub name: String,
    /// Needed for all open sprays, as far as it can be reckoned.
    pub need: Option<Measured>,
    /// In the shed; none where it was never counted.
    pub stock: Option<Amount>,
    /// Missing; none where nothing is.
    pub short: Option<Measured>,
    /// Packs to buy; none where the pack size is not known.
    pub packs: Option<u32>,
    /// What they cost, in the grower's money.
    pub cost: Option<f64>,
    /// The sprays that need it, in date order, with the first day.
    pub tasks: Vec<TaskId>,
    /// The day it is first needed.
    pub first_needed: NaiveDate,
    /// What could not be reckoned, one sentence each.
    pub unknown: Vec<String>,
}

/// The buy list.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BuyList {
    /// One row a material, by the day it is first needed.
    pub rows: Vec<BuyRow>,
    /// What all of it costs, as far as prices are known.
    pub cost: f64,
    /// True where something to buy has no price or could not be reckoned.
    pub cost_is_partial: bool,
}

/// The buy list over all open sprays.
pub fn list(season: &Season, today: NaiveDate) -> BuyList {
    let estimates = Estimates::default();
    let facts = Facts::new(season, &estimates, today);
    let mut rows: Vec<(usize, BuyRow, f64)> = Vec::new();
    let mut open: Vec<_> = facts.all_sprays().iter().filter(|s| s.is_open()).collect();
    open.sort_by(|a, b| {
        a.task
            .date
            .cmp(&b.task.date)
            .then_with(|| a.task.id.cmp(&b.task.id))
    });
    for spray in open {
        for (part, material, _, ix) in &spray.parts {
            let at = rows.iter().position(|r| r.0 == *ix).unwrap_or_else(|| {
                rows.push((*ix, empty_row(material, spray.task.date), 0.0));
                rows.len() - 1
            });
            let Some((_, row, sum)) = rows.get_mut(at) else {
                continue;
            };
            if !row.tasks.contains(&spray.task.id) {
                row.tasks.push(spray.task.id.clone());
            }
            let need = dose::rate_of(part.rate, material)
                .and_then(|rate| dose::amount(rate, spray.ground))
                .and_then(|need| in_kind(need, material));
            match need {
                Some(need) => *sum += need,
                None => row.unknown.push(format!(
                    "What '{}' needs is not known: rate, volume, ground or density is missing.",
                    spray.task.title
                )),
            }
        }
    }
    let mut list = BuyList::default();
    for (ix, mut row, sum) in rows {
        let Some(material) = season.materials.get(ix) else {
            continue;
        };
        finish(&mut row, material, sum, season);
        list.cost += row.cost.unwrap_or(0.0);
        list.cost_is_partial |=
            !row.unknown.is_empty() || (row.short.is_some() && row.cost.is_none());
        list.rows.push(row);
    }
    list
}

fn empty_row(material: &Material, first: NaiveDate) -> BuyRow {
    BuyRow {
        material: material.id.clone(),
        name: material.name.clone(),
        need: None,
        stock: material.stock,
        short: None,
        packs: None,
        cost: None,
        tasks: Vec::new(),
        first_needed: first,
        unknown: Vec::new(),
    }
}

/// Is a material counted by mass? As its stock or pack is; else as its rate is.
fn by_mass(material: &Material) -> bool {
    let kind = material.stock.or(material.pack).or_else(|| {
        use crate::domain::units::Rate;
        match material.label.rate? {
            Rate::VolumePercent(_) => None,
            Rate::PerVolume(a, _) | Rate::PerArea(a, _) | Rate::PerTree(a) => Some(a),
        }
    });
    matches!(kind, Some(Amount::Mass(_)))
}

/// An amount in the kind the material is counted by: kg or L.
fn in_kind(amount: Amount, material: &Material) -> Option<f64> {
    let density = material.density_kg_per_l.filter(|d| *d > 0.0);
    match (amount, by_mass(material)) {
        (Amount::Volume(v), false) => Some(v.l()),
        (Amount::Mass(m), true) => Some(m.kg()),
        (Amount::Volume(v), true) => density.map(|d| v.l() * d),
        (Amount::Mass(m), false) => density.map(|d| m.kg() / d),
    }
}

fn finish(row: &mut BuyRow, material: &Material, sum: f64, season: &Season) {
    let of = |value: f64| {
        if by_mass(material) {
            dose::kilograms(value)
        } else {
            dose::litres(value)
        }
    };
    let system = season.orchard.units;
    row.need = (sum > 0.0).then(|| measure(of(sum), system, None, None));
    if material.stock.is_none() {
        row.unknown
            .push("What is in the shed was not counted; none is taken.".to_owned());
    }
    let stock = material.stock.and_then(|stock| in_kind(stock, material));
    let short = sum - stock.unwrap_or(0.0);
    if short <= sum * 1e-9 || short <= 0.0 {
        return;
    }
    // Rounded up: a list that rounds down leaves the last tank short.
    row.short = Some(measure(of(short), system, Some(of(short)), None));
    let packs = material
        .pack
        .and_then(|pack| in_kind(pack, material))
        .filter(|p| *p > 0.0)
        .map(|pack| (short / pack - 1e-9).ceil());
    row.packs = packs.filter(|p| *p < 1e6).map(|p| p as u32);
    row.cost = row
        .packs
        .zip(material.pack_price.filter(|p| p.is_finite() && *p >= 0.0))
        .map(|(n, price)| f64::from(n) * price);
}
