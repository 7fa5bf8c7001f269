//! How much of a label's season limit each use took: as recorded where there is a record, as
//! planned where there is none.

use super::Facts;
use super::facts::Event;
use crate::domain::mix::dose::{self, Ground};
use crate::domain::mix::volume;
use crate::domain::season::{Block, Material, Record, RecordedMaterial, Season};
use crate::domain::units::{Rate, Volume};
use chrono::NaiveDate;

/// Does a record hold: is it no withdrawal, and corrected by none?
fn holds(season: &Season, record: &Record) -> bool {
    !record.taken_back
        && !season
            .records
            .iter()
            .any(|later| later.corrects.as_ref() == Some(&record.id) && later.id != record.id)
}

/// Shares of a limit that the uses of a plan's tasks take; none where one cannot be compared.
pub(super) fn in_plan(
    facts: &Facts<'_>,
    events: &[Event<'_>],
    material: &Material,
    most: Rate,
    start: NaiveDate,
) -> Vec<Option<f64>> {
    let mut shares = Vec::new();
    let mut recorded = Vec::new();
    for used in events
        .iter()
        .filter(|e| e.day >= start && e.material == material.id.as_str())
        .filter_map(|e| e.used)
    {
        let record = used.record;
        let entries = record.map_or_else(Vec::new, |r| entries(r, material));
        if let (Some(record), false) = (record, entries.is_empty()) {
            // A task that names a material twice is recorded whole.
            if !recorded.contains(&&record.id) {
                recorded.push(&record.id);
                let one =
                    |m: &&RecordedMaterial| of_record(facts, record, m, used.block, most, material);
                shares.extend(entries.iter().map(one));
            }
        } else {
            shares.push(
                dose::rate_of(used.part.rate, used.material).and_then(|rate| {
                    dose::rate_ratio(rate, most, used.ground, material.density_kg_per_l)
                }),
            );
        }
    }
    shares
}

/// Shares of a limit that records outside the plan take on a block, from a day to a day.
pub(super) fn outside(
    facts: &Facts<'_>,
    block_ix: usize,
    material: &Material,
    most: Rate,
    (from, to): (NaiveDate, NaiveDate),
) -> Vec<Option<f64>> {
    let season = facts.season;
    let Some(block) = season.blocks.get(block_ix) else {
        return Vec::new();
    };
    season
        .records
        .iter()
        .filter(|r| (from..=to).contains(&r.date) && r.blocks.contains(&block.id))
        .filter(|r| {
            let in_plan = r
                .task
                .as_ref()
                .is_some_and(|t| facts.task(t.as_str()).is_some());
            !in_plan && holds(season, r)
        })
        .flat_map(|record| {
            entries(record, material)
                .into_iter()
                .map(move |m| of_record(facts, record, m, block, most, material))
        })
        .collect()
}

fn entries<'r>(record: &'r Record, material: &Material) -> Vec<&'r RecordedMaterial> {
    record
        .materials
        .iter()
        .filter(|m| m.material == material.id)
        .collect()
}

/// The share one recorded use takes: its amount over the ground it went on, else its rate.
fn of_record(
    facts: &Facts<'_>,
    record: &Record,
    used: &RecordedMaterial,
    block: &Block,
    most: Rate,
    material: &Material,
) -> Option<f64> {
    let density = material.density_kg_per_l;
    let blocks: Vec<&Block> = facts
        .season
        .blocks
        .iter()
        .filter(|b| record.blocks.contains(&b.id) || (record.blocks.is_empty() && b.id == block.id))
        .collect();
    let areas: Option<f64> = blocks.iter().map(|b| volume::area_ha(b).map(|a| a.0)).sum();
    let trees: f64 = blocks.iter().map(|b| f64::from(b.trees)).sum();
    let whole = Ground {
        water_l: record.volume.map(Volume::l),
        area_ha: record.area.map(crate::domain::units::Area::ha).or(areas),
        trees: Some(record.trees.map_or(trees, f64::from)).filter(|t| *t > 0.0),
    };
    let by_amount = || dose::ratio(used.total?, dose::amount(most, whole)?, density);
    let by_rate = || dose::rate_ratio(used.rate?, most, whole, density);
    by_amount().or_else(by_rate)
}
