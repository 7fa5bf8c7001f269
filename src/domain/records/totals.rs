//! What was used of each active, and metallic copper against its limits.

use super::{blocks_of, counted};
use crate::domain::materials::{Actives, actives_of};
use crate::domain::season::{Block, BlockId, CopperRegime, Record, RecordedMaterial, Season};
use crate::domain::sources::{self, Source};
use crate::domain::units::{Amount, Area, Mass, MassUnit, Volume, VolumeUnit};
use crate::domain::uses::copper::{EU_SEVEN_YEARS_KG_PER_HA, PastYears};

/// What was used of one active.
#[derive(Debug, Clone, PartialEq)]
pub struct ActiveTotal {
    /// The active.
    pub active: String,
    /// How many applications.
    pub uses: u32,
    /// Product by mass, where it was weighed.
    pub product_mass: Option<Mass>,
    /// Product by volume, where it was poured.
    pub product_volume: Option<Volume>,
    /// Applications whose amount is not on record: the totals are too low by those.
    pub uses_without_amount: u32,
}

/// What was used this season.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Totals {
    /// In the whole orchard, by active.
    pub orchard: Vec<ActiveTotal>,
    /// Block by block; a joint use is shared by ground, else by number of trees.
    pub blocks: Vec<(BlockId, Vec<ActiveTotal>)>,
}

/// Metallic copper on one block.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockCopper {
    /// Which block.
    pub block: BlockId,
    /// This season, kg/ha.
    pub season_kg_per_ha: f64,
    /// Uses this season whose copper cannot be reckoned: the sums are too low by those.
    pub unknown_uses: u32,
    /// Of how many of the six years before the metal is known, of the block or the orchard.
    pub past_years: usize,
    /// This season and up to six years before, kg/ha.
    pub seven_years_kg_per_ha: f64,
    /// The limit over seven years, where one is chosen, with its source.
    pub limit_kg_per_ha: Option<(f64, &'static Source)>,
}

/// Does it bring copper, by its metal or by any name that labels have for one?
pub fn is_copper(used: &RecordedMaterial) -> bool {
    used.metallic_copper.is_some_and(|p| p.fraction() > 0.0)
        || actives_of(&used.active).any(Actives::COPPER)
}

/// Metallic copper of one use, kg/ha: as recorded, else product mass × share
/// of metallic copper ÷ ground.
pub fn copper_kg_per_ha(
    season: &Season,
    used: &RecordedMaterial,
    area: Option<Area>,
) -> Option<f64> {
    if used.copper_kg_per_ha.is_some() {
        return used.copper_kg_per_ha;
    }
    if !is_copper(used) {
        return None;
    }
    let material = season.material(&used.material);
    let share = used
        .metallic_copper
        .or_else(|| material?.metallic_copper)?
        .fraction();
    let kg = match used.total? {
        Amount::Mass(m) => m.kg(),
        Amount::Volume(v) => v.l() * material?.density_kg_per_l.filter(|d| *d > 0.0)?,
    };
    let ha = area?.ha();
    let per_ha = kg * share / ha;
    (ha > 0.0 && per_ha.is_finite()).then(|| (per_ha * 1e4).round() / 1e4)
}

/// What was used of each active, by the records that hold, each spray once.
pub fn totals(season: &Season) -> Totals {
    let mut totals = Totals::default();
    for record in counted(season) {
        let blocks = blocks_of(season, record);
        for used in &record.materials {
            add(&mut totals.orchard, used, 1.0);
            for block in &blocks {
                let share = share_of(block, &blocks);
                if !totals.blocks.iter().any(|(id, _)| id == &block.id) {
                    totals.blocks.push((block.id.clone(), Vec::new()));
                }
                for (_, list) in totals.blocks.iter_mut().filter(|(id, _)| id == &block.id) {
                    add(list, used, share);
                }
            }
        }
    }
    totals
}

/// A block's share of a joint use.
fn share_of(block: &Block, blocks: &[&Block]) -> f64 {
    let ground: Option<f64> = blocks.iter().map(|b| b.area.map(Area::ha)).sum();
    let trees: u32 = blocks.iter().map(|b| b.trees).sum();
    match (ground, block.area) {
        (Some(all), Some(own)) if all > 0.0 => own.ha() / all,
        _ if trees > 0 => f64::from(block.trees) / f64::from(trees),
        _ => 1.0 / blocks.len().max(1) as f64,
    }
}

fn add(list: &mut Vec<ActiveTotal>, used: &RecordedMaterial, share: f64) {
    let active = if used.active.trim().is_empty() {
        &used.name
    } else {
        &used.active
    };
    let position = list
        .iter()
        .position(|t| t.active.eq_ignore_ascii_case(active));
    let index = position.unwrap_or_else(|| {
        list.push(ActiveTotal {
            active: active.clone(),
            uses: 0,
            product_mass: None,
            product_volume: None,
            uses_without_amount: 0,
        });
        list.len() - 1
    });
    let Some(total) = list.get_mut(index) else {
        return;
    };
    total.uses += 1;
    match used.total {
        Some(Amount::Mass(m)) => {
            let unit = total.product_mass.map_or(m.unit, |t| t.unit);
            let kg = total.product_mass.map_or(0.0, Mass::kg) + m.kg() * share;
            total.product_mass = Some(Mass::new(kg, MassUnit::Kg).to(unit));
        }
        Some(Amount::Volume(v)) => {
            let unit = total.product_volume.map_or(v.unit, |t| t.unit);
            let l = total.product_volume.map_or(0.0, Volume::l) + v.l() * share;
            total.product_volume = Some(Volume::new(l, VolumeUnit::L).to(unit));
        }
        None => total.uses_without_amount += 1,
    }
}

/// Metallic copper on every block: this season, and over seven years.
pub fn copper(season: &Season) -> Vec<BlockCopper> {
    let limit = match season.orchard.copper_regime {
        CopperRegime::EuSevenYears => Some((EU_SEVEN_YEARS_KG_PER_HA, &sources::COPPER_EU)),
        CopperRegime::Label | CopperRegime::UsTables => None,
    };
    season
        .blocks
        .iter()
        .map(|block| {
            let on_block: Vec<&Record> = counted(season)
                .filter(|r| blocks_of(season, r).iter().any(|b| b.id == block.id))
                .collect();
            let mut sum = 0.0;
            let mut unknown_uses = 0;
            for record in on_block {
                for used in record.materials.iter().filter(|m| is_copper(m)) {
                    match copper_kg_per_ha(season, used, record.area) {
                        Some(kg) => sum += kg,
                        None => unknown_uses += 1,
                    }
                }
            }
            let past = PastYears::of(&season.orchard, block);
            BlockCopper {
                block: block.id.clone(),
                season_kg_per_ha: sum,
                unknown_uses,
                past_years: past.known(),
                seven_years_kg_per_ha: sum + past.kg_per_ha(),
                limit_kg_per_ha: limit,
            }
        })
        .collect()
}
