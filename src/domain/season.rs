//! One dormant year of one orchard: the plan's data and the pure edits on it.
//!
//! A [`Season`] is a plain value. An edit makes a new one; undo keeps the old.

mod block;
pub mod edit;
mod ids;
mod label;
mod lesson;
mod material;
mod named;
mod orchard;
mod parts;
mod person;
mod planted;
mod reading;
mod record;
pub mod replan;
mod shed;
mod spoken_day;
mod sprayer;
pub mod starter;
pub mod table;
mod target;
mod task;

pub use block::{Block, Canopy, PastCopper, PastStage, QuietHere, TargetSeen};
pub use ids::{BlockId, MaterialId, PersonId, RecordId, SprayerId, TargetId, TaskId, free_id};
pub use label::{KeepApart, Label, Organic, Reentry};
pub use lesson::{EstimateNoted, Lesson};
pub use material::{Formulation, Material};
pub use named::{block_names, every_named_block, named_blocks};
pub use orchard::{
    Brought, CopperRegime, MonthlyNormals, Orchard, SeasonDates, TableRead, UnitSystem,
    WeatherFiles, WeatherKind,
};
pub use parts::{DonePart, Progress};
pub use person::{Person, WorkTime};
pub use planted::{NewBlock, read_blocks};
pub use reading::{HowMany, Reading};
pub use record::{Judgement, Record, RecordedMaterial, RecordsHead};
pub use shed::ShedEntry;
pub use spoken_day::{Calendar, DayError, read_day};
pub use sprayer::{Calibration, Sprayer, SprayerKind};
pub use target::TargetRow;
pub use task::{Lane, MixPart, Move, Quiet, Task, TaskKind, TaskState};

use chrono::NaiveDate;
use serde::Serialize;

/// The format number this program reads and writes.
pub const FORMAT: u32 = 1;

/// One dormant year of one orchard: everything in a season file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Season {
    /// Format number of the file.
    pub format: u32,
    /// The name of the dormant year, for instance `2026-27`.
    pub season: String,
    /// True for the built-in practice season: everything in it is invented.
    pub practice: bool,
    /// The place and how its owner works.
    pub orchard: Orchard,
    /// The dates the season hangs on.
    pub dates: SeasonDates,
    /// Where the temperatures come from.
    pub weather: WeatherFiles,
    /// What stands where.
    #[serde(rename = "block")]
    pub blocks: Vec<Block>,
    /// The grower's own targets, or changes to built-in ones.
    #[serde(rename = "target")]
    pub targets: Vec<TargetRow>,
    /// Targets of the grower's own file, which hold for every season: read
    /// beside this one, never written into it.
    #[serde(skip)]
    pub shared_targets: Vec<TargetRow>,
    /// What may be sprayed, and what its label says.
    #[serde(rename = "material")]
    pub materials: Vec<Material>,
    /// What it is sprayed with.
    #[serde(rename = "sprayer")]
    pub sprayers: Vec<Sprayer>,
    /// Who sprays, with the hours each has.
    #[serde(rename = "person", skip_serializing_if = "Vec::is_empty")]
    pub people: Vec<Person>,
    /// The work, in three lanes.
    #[serde(rename = "task")]
    pub tasks: Vec<Task>,
    /// Degree-day totals and bud observations of this season.
    #[serde(rename = "reading")]
    pub readings: Vec<Reading>,
    /// What was sprayed: only ever added to.
    #[serde(rename = "record")]
    pub records: Vec<Record>,
    /// What came into the shed and what was counted there.
    #[serde(rename = "shed", skip_serializing_if = "Vec::is_empty")]
    pub shed: Vec<ShedEntry>,
    /// How far the records go.
    pub records_head: Option<RecordsHead>,
    /// Days on which the week's review was marked done.
    pub reviewed: Vec<NaiveDate>,
    /// What was estimated on those days.
    #[serde(rename = "estimate_noted")]
    pub estimates_noted: Vec<EstimateNoted>,
    /// What this season taught.
    #[serde(rename = "lesson")]
    pub lessons: Vec<Lesson>,
}

impl Season {
    /// The latest day on which something was entered: a record, a finished task, a move, a
    /// reading. A clock that stands before it was set back.
    pub fn latest_entry(&self) -> Option<NaiveDate> {
        let done = self.tasks.iter().filter_map(|t| match t.state {
            TaskState::Done(day) | TaskState::Skipped(day) => Some(day),
            TaskState::Planned => None,
        });
        let moved = self.tasks.iter().flat_map(|t| &t.moved).map(|m| m.on);
        let records = self.records.iter().map(|r| r.date);
        let readings = self.readings.iter().map(Reading::date);
        done.chain(moved).chain(records).chain(readings).max()
    }

    /// The block with this id.
    pub fn block(&self, id: &BlockId) -> Option<&Block> {
        self.blocks.iter().find(|b| &b.id == id)
    }

    /// The material with this id.
    pub fn material(&self, id: &MaterialId) -> Option<&Material> {
        self.materials.iter().find(|m| &m.id == id)
    }

    /// The task with this id.
    pub fn task(&self, id: &TaskId) -> Option<&Task> {
        self.tasks.iter().find(|t| &t.id == id)
    }

    /// The sprayer with this id.
    pub fn sprayer(&self, id: &SprayerId) -> Option<&Sprayer> {
        self.sprayers.iter().find(|s| &s.id == id)
    }

    /// The day the leaves were down on a block: seen there, else seen in the
    /// orchard, else expected. The flag says whether it was seen.
    pub fn leaf_drop(&self, block: &Block) -> (NaiveDate, bool) {
        match block.leaf_drop_seen.or(self.dates.leaf_drop_seen) {
            Some(seen) => (seen, true),
            None => (
                block
                    .leaf_drop_expected
                    .unwrap_or(self.dates.leaf_drop_expected),
                false,
            ),
        }
    }

    /// The first day that counts as this season: a quarter of a year before
    /// the leaves drop, so that labels read over the summer count.
    pub fn starts(&self) -> NaiveDate {
        let drop = self
            .dates
            .leaf_drop_seen
            .unwrap_or(self.dates.leaf_drop_expected);
        drop.checked_sub_days(chrono::Days::new(91)).unwrap_or(drop)
    }

    /// A task id that is not taken, made from a title.
    pub fn free_task_id(&self, title: &str) -> TaskId {
        let is_taken = |id: &str| self.task(&TaskId::from(id)).is_some();
        TaskId::from(free_id(title, "task", is_taken).as_str())
    }
}
