//! How much of a label's season limit each use took: as recorded where there is a record, as
//! planned where there is none.

use super::{Event, Use, Uses};
use crate::domain::mix::dose::{self, Ground};
use crate::domain::mix::volume;
use crate::domain::season::{Block, Material, Record, RecordedMaterial, Season};
use crate::domain::units::{Rate, Volume};
use chrono::NaiveDate;

/// Shares of a label's season limit.
#[derive(Clone, Copy, Default)]
pub(crate) struct Share {
    /// Their sum: 1 is all of it.
    pub sum: f64,
    /// Uses that cannot be compared with it.
    pub unknown: usize,
}

/// What the season took of a use's limit on its block, without the use's own task and with it.
pub(crate) fn of_season(uses: &Uses<'_>, used: &Use<'_>, most: Rate) -> (Share, Share) {
    let start = uses.season.starts();
    let events = uses.timeline(used.block_ix);
    let own = |e: &Event<'_>| {
        e.used
            .is_some_and(|u| u.task.id == used.task.id && u.is_open())
    };
    let this = |e: &Event<'_>| own(e) && e.used.is_some_and(|u| std::ptr::eq(u.part, used.part));
    let last = events.iter().position(this).map_or(0, |i| i + 1);
    let upto = events.get(..last).unwrap_or_default();
    let before: Vec<Event<'_>> = upto.iter().filter(|e| !own(e)).copied().collect();
    let day = uses.judged_on(used.task);
    let outside = outside(uses, used.block_ix, used.material, most, (start, day));
    let sum = |events: &[Event<'_>]| {
        in_plan(uses, events, used.material, most, start)
            .into_iter()
            .chain(outside.iter().copied())
            .fold(Share::default(), |all, share| match share {
                Some(share) => Share {
                    sum: all.sum + share,
                    ..all
                },
                None => Share {
                    unknown: all.unknown + 1,
                    ..all
                },
            })
    };
    (sum(&before), sum(upto))
}

/// Does a record hold: is it no withdrawal, and corrected by none?
fn holds(season: &Season, record: &Record) -> bool {
    !record.taken_back
        && !season
            .records
            .iter()
            .any(|later| later.corrects.as_ref() == Some(&record.id) && later.id != record.id)
}

/// Shares of a limit that the uses of a plan's tasks take; none where one cannot be compared.
fn in_plan(
    uses: &Uses<'_>,
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
                    |m: &&RecordedMaterial| of_record(uses, record, m, used.block, most, material);
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
fn outside(
    uses: &Uses<'_>,
    block_ix: usize,
    material: &Material,
    most: Rate,
    (from, to): (NaiveDate, NaiveDate),
) -> Vec<Option<f64>> {
    let season = uses.season;
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
                .is_some_and(|t| uses.task(t.as_str()).is_some());
            !in_plan && holds(season, r)
        })
        .flat_map(|record| {
            entries(record, material)
                .into_iter()
                .map(move |m| of_record(uses, record, m, block, most, material))
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
    uses: &Uses<'_>,
    record: &Record,
    used: &RecordedMaterial,
    block: &Block,
    most: Rate,
    material: &Material,
) -> Option<f64> {
    let density = material.density_kg_per_l;
    let blocks: Vec<&Block> = uses
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
