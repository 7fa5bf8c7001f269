//! The ledger: what was used on which block, over all seasons on file, from the records that hold.
//!
//! A spray on several blocks is shared among them by ground, else by trees, so that the shares of
//! a record come to the record. Years without a season on file are told as unknown, never taken
//! as nothing.

mod copper;
mod sums;

pub use copper::{CopperYears, copper_years};
pub use sums::{SeasonSum, season_sums};

use super::materials::named_alike;
use super::records::{self, blocks_of, copper_kg_per_ha, is_copper};
use super::season::{Block, Record, RecordedMaterial, Season};
use super::units::{Amount, Mass, MassUnit, Volume, VolumeUnit};
use chrono::NaiveDate;

/// One material of one record on one block.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The season's name.
    pub season: String,
    /// The record.
    pub record: String,
    /// The day.
    pub date: NaiveDate,
    /// From and to, `07:30-09:10`, where noted.
    pub clock: String,
    /// Who sprayed.
    pub who: Option<String>,
    /// The block's id.
    pub block: String,
    /// Its name.
    pub block_name: String,
    /// What was used.
    pub material: String,
    /// Its registration number.
    pub registration: Option<String>,
    /// Its active.
    pub active: String,
    /// The rate as recorded.
    pub rate: Option<String>,
    /// This block's share of the product.
    pub product: Option<Amount>,
    /// This block's share of the ground, ha.
    pub area_ha: Option<f64>,
    /// Metallic copper, kg on this block.
    pub copper_kg: Option<f64>,
    /// Metallic copper, kg/ha.
    pub copper_kg_per_ha: Option<f64>,
    /// Does it bring copper?
    pub is_copper: bool,
    /// This block's share of the cost.
    pub cost: Option<f64>,
    /// Wind as recorded.
    pub wind: Option<String>,
    /// Against what.
    pub targets: Vec<String>,
}

/// What is asked for; what is left open holds for all.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Filter {
    /// Blocks by name, number, range or kind.
    pub blocks: Option<String>,
    /// An active, or a material.
    pub active: Option<String>,
    /// A person.
    pub who: Option<String>,
    /// The first day.
    pub from: Option<NaiveDate>,
    /// The last day.
    pub to: Option<NaiveDate>,
}

/// A block's share of a record: by ground where all of it is known, else by trees.
fn share_of(block: &Block, blocks: &[&Block]) -> f64 {
    let ground: Option<f64> = blocks.iter().map(|b| b.area.map(|a| a.ha())).sum();
    let trees: u32 = blocks.iter().map(|b| b.trees).sum();
    match (ground, block.area) {
        (Some(all), Some(own)) if all > 0.0 => own.ha() / all,
        _ if trees > 0 => f64::from(block.trees) / f64::from(trees),
        _ => 1.0 / blocks.len().max(1) as f64,
    }
}

fn shared(amount: Amount, share: f64) -> Amount {
    match amount {
        Amount::Mass(m) => Amount::Mass(Mass::new(m.kg() * share, MassUnit::Kg).to(m.unit)),
        Amount::Volume(v) => Amount::Volume(Volume::new(v.l() * share, VolumeUnit::L).to(v.unit)),
    }
}

/// One file a season: of copies lying beside each other the one with the most records, so that
/// nothing is counted twice.
pub fn distinct(seasons: &[Season]) -> Vec<Season> {
    let mut kept: Vec<Season> = Vec::new();
    for season in seasons {
        match kept.iter_mut().find(|k| k.season == season.season) {
            Some(known) if known.records.len() < season.records.len() => {
                known.clone_from(season);
            }
            Some(_) => {}
            None => kept.push(season.clone()),
        }
    }
    kept
}

/// The entries asked for, oldest first.
///
/// # Errors
/// Where the blocks named are in no season.
pub fn entries(seasons: &[Season], filter: &Filter) -> Result<Vec<Entry>, String> {
    let mut found = Vec::new();
    let mut fault = None;
    let mut is_known = filter.blocks.is_none();
    for season in seasons {
        // A block may be younger or older than a season: only where none knows it is it wrong.
        let wanted = match &filter.blocks {
            None => None,
            Some(text) => match super::season::every_named_block(text, season) {
                Ok(ids) => {
                    is_known = true;
                    Some(ids)
                }
                Err(why) => {
                    fault = Some(why);
                    continue;
                }
            },
        };
        for record in records::current(season) {
            let in_time = filter.from.is_none_or(|d| record.date >= d)
                && filter.to.is_none_or(|d| record.date <= d);
            let by = |name: &String| {
                let who = record.who.as_deref().unwrap_or("").to_lowercase();
                who.contains(&name.trim().to_lowercase())
            };
            if !in_time || !filter.who.as_ref().is_none_or(by) {
                continue;
            }
            let blocks = blocks_of(season, record);
            for used in &record.materials {
                if !filter.active.as_ref().is_none_or(|a| is_meant(used, a)) {
                    continue;
                }
                for block in &blocks {
                    if wanted.as_ref().is_none_or(|ids| ids.contains(&block.id)) {
                        found.push(entry(season, record, used, (block, &blocks)));
                    }
                }
            }
        }
    }
    match fault {
        Some(why) if !is_known => Err(why),
        _ => {
            found.sort_by(|a, b| (a.date, &a.record, &a.block).cmp(&(b.date, &b.record, &b.block)));
            Ok(found)
        }
    }
}

fn is_meant(used: &RecordedMaterial, wanted: &str) -> bool {
    let wanted_low = wanted.trim().to_lowercase();
    named_alike(&used.active, wanted)
        || used.active.to_lowercase().contains(&wanted_low)
        || used.name.to_lowercase().contains(&wanted_low)
        || (wanted_low == "copper" && is_copper(used))
}

fn entry(
    season: &Season,
    record: &Record,
    used: &RecordedMaterial,
    (block, blocks): (&Block, &[&Block]),
) -> Entry {
    let share = share_of(block, blocks);
    let area_ha = record
        .area
        .map(|a| a.ha() * share)
        .or(block.area.map(|a| a.ha()));
    let per_ha = is_copper(used)
        .then(|| copper_kg_per_ha(season, used, record.area))
        .flatten();
    let at = |t: Option<chrono::NaiveDateTime>| {
        t.map_or_else(String::new, |t| t.format("%H:%M").to_string())
    };
    Entry {
        season: season.season.clone(),
        record: record.id.to_string(),
        date: record.date,
        clock: match (record.started, record.ended) {
            (None, None) => String::new(),
            (from, to) => format!("{}-{}", at(from), at(to)),
        },
        who: record.who.clone(),
        block: block.id.to_string(),
        block_name: block.name.clone(),
        material: used.name.clone(),
        registration: used.registration.clone(),
        active: used.active.clone(),
        rate: used.rate.map(|r| r.to_string()),
        product: used.total.map(|t| shared(t, share)),
        area_ha,
        copper_kg: per_ha.zip(area_ha).map(|(kg, ha)| kg * ha),
        copper_kg_per_ha: per_ha,
        is_copper: is_copper(used),
        cost: used.cost.map(|c| c * share),
        wind: match (record.wind, &record.wind_from) {
            (None, None) => None,
            (speed, from) => Some(
                [from.clone(), speed.map(|s| s.to_string())]
                    .into_iter()
                    .flatten()
                    .collect::<Vec<_>>()
                    .join(" "),
            ),
        },
        targets: record.targets.iter().map(ToString::to_string).collect(),
    }
}

/// Product of all entries by active: mass in kg and volume in L, and entries without an amount.
pub fn product_sums(entries: &[Entry]) -> Vec<(String, f64, f64, usize)> {
    let mut sums: Vec<(String, f64, f64, usize)> = Vec::new();
    for entry in entries {
        let place = sums
            .iter()
            .position(|s| s.0.eq_ignore_ascii_case(&entry.active))
            .unwrap_or_else(|| {
                sums.push((entry.active.clone(), 0.0, 0.0, 0));
                sums.len() - 1
            });
        if let Some(sum) = sums.get_mut(place) {
            match entry.product {
                Some(Amount::Mass(m)) => sum.1 += m.kg(),
                Some(Amount::Volume(v)) => sum.2 += v.l(),
                None => sum.3 += 1,
            }
        }
    }
    sums
}
