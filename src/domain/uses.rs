//! Every use of a material on a block, planned or done, looked up once: what windows, rules and
//! coverage look at.

pub(crate) mod copper;
pub(crate) mod count;
pub(crate) mod distance;
mod event;
pub(crate) mod product;
mod stages;

use crate::domain::look_up::LookUp;
use crate::domain::materials::{Actives, actives_of, on_label};
use crate::domain::mix::dose::{self, Ground};
use crate::domain::mix::volume;
use crate::domain::outlook::{BlockEstimate, Estimates};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::species::Species;
use crate::domain::season::{Block, BlockId, Material, Record, Season, Task, TaskKind};
use crate::domain::targets::{self, TargetView};
use chrono::NaiveDate;
use std::collections::HashSet;

pub use event::{Event, Spray, Use};
use stages::Stages;

/// The season, the estimates and the day, with every look-up done once.
pub struct Uses<'a> {
    /// The plan.
    pub season: &'a Season,
    /// The stage dates of its blocks.
    pub estimates: &'a Estimates,
    /// The day.
    pub today: NaiveDate,
    uses: Vec<Use<'a>>,
    sprays: Vec<Spray<'a>>,
    by_block: Vec<Vec<Event<'a>>>,
    by_id: Vec<Option<&'a BlockEstimate>>,
    stages: Vec<Stages>,
    tasks: LookUp<&'a str, usize>,
    known: LookUp<&'a str, Known<'a>>,
    labelled: Vec<u32>,
    longest_distance_days: i64,
}

/// A target named in this season, and which of its materials work on it.
struct Known<'a> {
    view: TargetView<'a>,
    works: Vec<bool>,
}

impl<'a> Uses<'a> {
    /// Gathers the facts.
    pub fn new(season: &'a Season, estimates: &'a Estimates, today: NaiveDate) -> Self {
        let blocks = index(season.blocks.iter().map(|b| b.id.as_str()));
        let materials = index(season.materials.iter().map(|m| m.id.as_str()));
        let sprayers = index(season.sprayers.iter().map(|s| s.id.as_str()));
        let kinds: Vec<Actives> = season
            .materials
            .iter()
            .map(|m| actives_of(&m.active))
            .collect();
        let in_order = estimates.blocks.len() == season.blocks.len()
            && estimates
                .blocks
                .iter()
                .zip(&season.blocks)
                .all(|(e, b)| e.block == b.id);
        let by_id = if in_order {
            estimates.blocks.iter().map(Some).collect()
        } else {
            season.blocks.iter().map(|b| estimates.of(&b.id)).collect()
        };
        let mut facts = Self {
            season,
            estimates,
            today,
            uses: Vec::new(),
            sprays: Vec::new(),
            by_block: vec![Vec::new(); season.blocks.len()],
            stages: season.blocks.iter().map(|_| Stages::default()).collect(),
            by_id,
            tasks: index(season.tasks.iter().map(|t| t.id.as_str())),
            known: known_targets(season),
            labelled: season.materials.iter().map(labelled).collect(),
            longest_distance_days: distance::longest_days(&season.materials),
        };
        let held = records_by_task(season);
        for task in season.tasks.iter().filter(|t| t.kind == TaskKind::Spray) {
            let sprayer = task
                .sprayer
                .as_ref()
                .and_then(|id| sprayers.get(id.as_str()))
                .and_then(|ix| season.sprayers.get(*ix));
            let targets: Vec<TargetView<'a>> = task
                .targets
                .iter()
                .filter_map(|id| facts.target(id.as_str()))
                .collect();
            let parts: Vec<_> = task
                .mix
                .iter()
                .filter_map(|part| {
                    let ix = *materials.get(part.material.as_str())?;
                    Some((part, season.materials.get(ix)?, *kinds.get(ix)?, ix))
                })
                .collect();
            let spray = |done: Option<(NaiveDate, Option<&'a Record>)>, blocks| Spray {
                task,
                done: done.map(|d| d.0),
                record: done.and_then(|d| d.1),
                sprayer,
                targets: Vec::clone(&targets),
                parts: Vec::clone(&parts),
                blocks,
                ground: Ground::default(),
            };
            // What is done is what was recorded; what no record names is to do while the task is.
            let records = held.get(task.id.as_str()).cloned().unwrap_or_default();
            let of_ids = |ids: &[BlockId]| places(ids, &blocks, season.blocks.len());
            let mut left = of_ids(&task.blocks);
            for part in season.parts_from(task, records) {
                let ids: Vec<BlockId> = part.blocks.iter().map(|b| b.id.clone()).collect();
                let done = if ids.is_empty() {
                    Vec::new()
                } else {
                    of_ids(&ids)
                };
                left.retain(|ix| !done.contains(ix));
                facts.add_spray(spray(Some((part.day, part.record)), done));
            }
            if task.state.is_open() {
                facts.add_spray(spray(None, left));
            }
        }
        facts.add_earlier(&blocks);
        for events in &mut facts.by_block {
            events.sort_by(|a, b| {
                a.day.cmp(&b.day).then_with(|| {
                    a.used
                        .map(|u| u.task.id.as_str())
                        .cmp(&b.used.map(|u| u.task.id.as_str()))
                })
            });
        }
        facts
    }

    fn add_spray(&mut self, mut spray: Spray<'a>) {
        let season = self.season;
        let members: Vec<&Block> = spray
            .blocks
            .iter()
            .filter_map(|ix| season.blocks.get(*ix))
            .collect();
        let water = volume::of_part(season, &members, spray.task, spray.sprayer);
        let spray_ix = self.sprays.len();
        let judged_on = spray.done.unwrap_or(spray.task.date.max(self.today));
        let mut all_area = Some(0.0);
        for (&block_ix, (block, litres)) in spray.blocks.iter().zip(&water.blocks) {
            let area_ha = volume::area_ha(block).map(|(ha, _)| ha);
            all_area = all_area.zip(area_ha).map(|(a, b)| a + b);
            let ground = Ground {
                water_l: litres.map(|v| v.litres),
                area_ha,
                trees: (block.trees > 0).then_some(f64::from(block.trees)),
            };
            for &(part, material, kinds, material_ix) in &spray.parts {
                let recorded = spray.record.and_then(|r| copper_in(r, material));
                let copper_kg_per_ha = recorded.or_else(|| {
                    let rate = dose::rate_of(part.rate, material)?;
                    material.metallic_copper?;
                    let ground = match rate {
                        crate::domain::units::Rate::PerArea(..) => Ground {
                            area_ha: Some(1.0),
                            ..ground
                        },
                        _ => ground,
                    };
                    Some(dose::copper_kg(dose::amount(rate, ground)?, material)? / ground.area_ha?)
                });
                let used = Use {
                    task: spray.task,
                    done: spray.done,
                    record: spray.record,
                    block,
                    material,
                    part,
                    kinds,
                    estimate: self.by_id.get(block_ix).copied().flatten(),
                    ground,
                    block_ix,
                    material_ix,
                    spray_ix,
                    copper_kg_per_ha,
                };
                self.uses.push(used);
                if let Some(events) = self.by_block.get_mut(block_ix) {
                    events.push(Event {
                        day: judged_on,
                        used: Some(used),
                        name: &material.name,
                        material: material.id.as_str(),
                        active: &material.active,
                        kinds,
                        copper_kg_per_ha,
                    });
                }
            }
        }
        let trees: f64 = members.iter().map(|b| f64::from(b.trees)).sum();
        spray.ground = Ground {
            water_l: water.total_l,
            area_ha: all_area.filter(|a| *a > 0.0),
            trees: (trees > 0.0).then_some(trees),
        };
        self.sprays.push(spray);
    }

    /// Records that belong to no task of this plan still count: a sulfur of
    /// last summer keeps an oil of this autumn waiting.
    fn add_earlier(&mut self, blocks: &LookUp<&str, usize>) {
        let season = self.season;
        let corrected = corrected(season);
        for record in &season.records {
            let in_plan = record
                .task
                .as_ref()
                .is_some_and(|t| self.tasks.contains_key(t.as_str()));
            if in_plan || corrected.contains(record.id.as_str()) {
                continue;
            }
            for id in &record.blocks {
                let Some(events) = blocks
                    .get(id.as_str())
                    .and_then(|ix| self.by_block.get_mut(*ix))
                else {
                    continue;
                };
                events.extend(record.materials.iter().map(|m| Event {
                    day: record.date,
                    used: None,
                    name: &m.name,
                    material: m.material.as_str(),
                    active: &m.active,
                    kinds: actives_of(&m.active),
                    copper_kg_per_ha: m.copper_kg_per_ha,
                }));
            }
        }
    }

    /// The day a task is judged on: an open one stands where the grower stands, so at the later
    /// of its planned day and today.
    pub fn judged_on(&self, task: &Task) -> NaiveDate {
        if task.state.is_open() {
            task.day().max(self.today)
        } else {
            task.day()
        }
    }

    /// The date of a stage of a block, worked out once.
    pub fn stage(&self, block_ix: usize, bbch: u8) -> Option<&StageDate> {
        let estimate = self.estimate_at(block_ix)?;
        Some(self.stages.get(block_ix)?.at(estimate, bbch))
    }

    /// Sprays still to do.
    pub fn open_sprays(&self) -> impl Iterator<Item = &'a Task> {
        self.sprays.iter().filter(|s| s.is_open()).map(|s| s.task)
    }

    /// Every spray that counts, planned or done, with what was looked up for it; one that is
    /// done in parts stands once for each part, and once for what is left of it.
    pub fn all_sprays(&self) -> &[Spray<'a>] {
        &self.sprays
    }

    /// Every use of every material on every block that counts, task by task.
    pub fn uses(&self) -> &[Use<'a>] {
        &self.uses
    }

    /// The uses of one spray on one of its blocks.
    pub fn uses_of<'s>(
        &'s self,
        spray: &'s Spray<'a>,
        block_ix: usize,
    ) -> impl Iterator<Item = &'s Use<'a>> {
        self.timeline(block_ix)
            .iter()
            .filter_map(|e| e.used.as_ref())
            .filter(move |u| {
                let same =
                    |a: Option<&Record>, b: Option<&Record>| a.map(|r| &r.id) == b.map(|r| &r.id);
                u.task.id == spray.task.id && u.done == spray.done && same(u.record, spray.record)
            })
    }

    /// The uses that are still to do.
    pub fn open_uses(&self) -> impl Iterator<Item = &Use<'a>> {
        self.uses.iter().filter(|u| u.is_open())
    }

    /// What happened and is planned on each block, in the order of days.
    pub fn timelines(&self) -> impl Iterator<Item = (&'a Block, &[Event<'a>])> {
        self.season
            .blocks
            .iter()
            .zip(self.by_block.iter().map(Vec::as_slice))
    }

    /// The same for one block.
    pub fn timeline(&self, block_ix: usize) -> &[Event<'a>] {
        self.by_block.get(block_ix).map_or(&[], Vec::as_slice)
    }

    /// The targets of a use's task.
    pub fn targets_of(&self, used: &Use<'a>) -> &[TargetView<'a>] {
        self.sprays
            .get(used.spray_ix)
            .map_or(&[], |s| s.targets.as_slice())
    }

    /// A target named in this season.
    pub fn target(&self, id: &str) -> Option<TargetView<'a>> {
        self.known.get(id).map(|k| k.view)
    }

    /// Does a material of this season work on a target?
    pub fn works(&self, view: &TargetView<'_>, material_ix: usize) -> bool {
        match self.known.get(view.key()) {
            Some(known) => known.works.get(material_ix) == Some(&true),
            None => self
                .season
                .materials
                .get(material_ix)
                .is_some_and(|m| view.works(&m.active)),
        }
    }

    /// Does a material's label name this kind of tree?
    pub fn is_labelled(&self, material_ix: usize, species: Species) -> bool {
        self.labelled
            .get(material_ix)
            .is_some_and(|bits| bits & bit(species) != 0)
    }

    /// The stage dates of a block.
    pub fn estimate(&self, block: &Block) -> Option<&'a BlockEstimate> {
        self.estimates.of(&block.id)
    }

    /// The stage dates of a block by its place.
    pub fn estimate_at(&self, block_ix: usize) -> Option<&'a BlockEstimate> {
        self.by_id.get(block_ix).copied().flatten()
    }

    /// The task with this id.
    pub fn task(&self, id: &str) -> Option<&'a Task> {
        self.season.tasks.get(*self.tasks.get(id)?)
    }

    /// Days beyond which no use asks anything of a later one.
    pub(crate) fn longest_distance_days(&self) -> i64 {
        self.longest_distance_days
    }

    /// The guard days of a block.
    pub fn guard_days(&self, block: &Block) -> u32 {
        block.guard_days.unwrap_or(self.season.orchard.guard_days)
    }

    /// How likely a too-late spray may be at most, as a fraction.
    pub fn tolerance(&self) -> f64 {
        self.season.orchard.tolerance.fraction()
    }
}

/// Every target that a task or a sighting names.
fn known_targets(season: &Season) -> LookUp<&str, Known<'_>> {
    let named = season.tasks.iter().flat_map(|t| &t.targets);
    let seen = season
        .blocks
        .iter()
        .flat_map(|b| b.seen.iter().map(|s| &s.target));
    let mut known = LookUp::default();
    for id in named.chain(seen) {
        if known.contains_key(id.as_str()) {
            continue;
        }
        if let Some(view) = targets::find(season, id) {
            let works = season
                .materials
                .iter()
                .map(|m| view.works(&m.active))
                .collect();
            known.insert(id.as_str(), Known { view, works });
        }
    }
    known
}

fn bit(species: Species) -> u32 {
    Species::ALL
        .iter()
        .position(|s| *s == species)
        .map_or(0, |i| 1 << i)
}

/// The kinds of tree on a label, one bit each.
fn labelled(material: &Material) -> u32 {
    Species::ALL
        .into_iter()
        .filter(|s| material.label.crops.iter().any(|c| on_label(c, *s)))
        .map(bit)
        .sum()
}

fn index<'a>(ids: impl Iterator<Item = &'a str>) -> LookUp<&'a str, usize> {
    let mut map = LookUp::default();
    for (ix, id) in ids.enumerate() {
        map.entry(id).or_insert(ix);
    }
    map
}

/// The ids of records that others correct.
fn corrected(season: &Season) -> HashSet<&str> {
    season
        .records
        .iter()
        .filter_map(|r| r.corrects.as_ref().map(super::season::RecordId::as_str))
        .collect()
}

/// The records that hold, by the task they finished.
fn records_by_task(season: &Season) -> LookUp<&str, Vec<&Record>> {
    let corrected = corrected(season);
    let mut held: LookUp<&str, Vec<&Record>> = LookUp::default();
    for record in &season.records {
        if record.taken_back || corrected.contains(record.id.as_str()) {
            continue;
        }
        if let Some(task) = &record.task {
            held.entry(task.as_str()).or_default().push(record);
        }
    }
    held
}

/// Metallic copper as recorded of a material, kg/ha.
fn copper_in(record: &Record, material: &Material) -> Option<f64> {
    let mut used = record.materials.iter();
    used.find(|m| m.material == material.id)?.copper_kg_per_ha
}

/// The places of blocks in the season, in its order; no block named means all.
fn places(ids: &[BlockId], known: &LookUp<&str, usize>, all: usize) -> Vec<usize> {
    if ids.is_empty() {
        return (0..all).collect();
    }
    let mut ixs: Vec<usize> = ids
        .iter()
        .filter_map(|id| known.get(id.as_str()).copied())
        .collect();
    ixs.sort_unstable();
    ixs.dedup();
    ixs
}
