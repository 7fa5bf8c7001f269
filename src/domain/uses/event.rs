//! Sprays, and the use each makes of a material on a block.

use crate::domain::materials::Actives;
use crate::domain::mix::dose::Ground;
use crate::domain::outlook::BlockEstimate;
use crate::domain::season::{Block, Material, MixPart, Record, Sprayer, Task};
use crate::domain::targets::TargetView;
use chrono::NaiveDate;

/// One use of a material on a block: planned or done.
#[derive(Clone, Copy)]
pub struct Use<'a> {
    /// The task.
    pub task: &'a Task,
    /// The block.
    pub block: &'a Block,
    /// The material.
    pub material: &'a Material,
    /// The day it was done on this block; `None` while it is to do there.
    pub done: Option<NaiveDate>,
    /// The record that says so.
    pub record: Option<&'a Record>,
    /// Its part in the mix.
    pub part: &'a MixPart,
    /// The kinds of its active.
    pub kinds: Actives,
    /// The stage dates of the block.
    pub estimate: Option<&'a BlockEstimate>,
    /// Spray, ground and trees of this block in this task.
    pub ground: Ground,
    /// Place of the block in the season.
    pub block_ix: usize,
    /// Place of the material in the season.
    pub material_ix: usize,
    /// Place of the spray among [`super::Uses::all_sprays`].
    pub spray_ix: usize,
    /// Metallic copper, kg/ha, where it is a copper and can be reckoned.
    pub copper_kg_per_ha: Option<f64>,
}

impl Use<'_> {
    /// Is it still to do on this block?
    pub fn is_open(&self) -> bool {
        self.done.is_none()
    }

    /// The day it was done on this block, else the day it is planned for.
    pub fn day(&self) -> NaiveDate {
        self.done.unwrap_or(self.task.date)
    }
}

/// One spray that counts: a task, or a part of it that was done with what is left of it beside.
pub struct Spray<'a> {
    /// The task.
    pub task: &'a Task,
    /// The day it was done on these blocks; `None` while it is to do there.
    pub done: Option<NaiveDate>,
    /// The record that says so.
    pub record: Option<&'a Record>,
    /// Its sprayer.
    pub sprayer: Option<&'a Sprayer>,
    /// Its targets, as far as they are known.
    pub targets: Vec<TargetView<'a>>,
    /// Its materials, as far as they are known, each once a part.
    pub parts: Vec<(&'a MixPart, &'a Material, Actives, usize)>,
    /// Its blocks' places in the season.
    pub blocks: Vec<usize>,
    /// Spray, ground and trees of the whole task.
    pub ground: Ground,
}

impl Spray<'_> {
    /// Is it still to do on its blocks?
    pub fn is_open(&self) -> bool {
        self.done.is_none()
    }

    /// The day it was done, else the day it is planned for.
    pub fn day(&self) -> NaiveDate {
        self.done.unwrap_or(self.task.date)
    }
}

/// A use in the order of days: of a task, or from a record outside this plan.
#[derive(Clone, Copy)]
pub struct Event<'a> {
    /// The day: of an open spray the one it is judged on.
    pub day: NaiveDate,
    /// The use, where it belongs to a task of this season.
    pub used: Option<Use<'a>>,
    /// What the material is called.
    pub name: &'a str,
    /// The id of the material.
    pub material: &'a str,
    /// The active.
    pub active: &'a str,
    /// The kinds of its active.
    pub kinds: Actives,
    /// Metallic copper, kg/ha.
    pub copper_kg_per_ha: Option<f64>,
}

impl Event<'_> {
    /// Is it still to do?
    pub fn is_open(&self) -> bool {
        self.used.is_some_and(|u| u.is_open())
    }

    /// What it is called in a sentence.
    pub fn title(&self) -> &str {
        self.used.map_or("recorded earlier", |u| &u.task.title)
    }
}
