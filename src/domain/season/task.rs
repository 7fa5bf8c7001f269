//! A task: one card on the board.

use super::{BlockId, MaterialId, SprayerId, TargetId, TaskId};
use crate::domain::units::{Rate, Volume};
use chrono::NaiveDate;
use serde::{Serialize, Serializer};

/// The three lanes of the dormant year, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lane {
    /// After the leaves are down.
    AfterLeafDrop,
    /// Mid-winter, optional.
    MidWinter,
    /// Late winter, before the buds swell: the critical one.
    BeforeSwell,
}

impl Lane {
    /// The lanes, left to right.
    pub const ALL: [Self; 3] = [Self::AfterLeafDrop, Self::MidWinter, Self::BeforeSwell];

    /// The name on the board.
    pub fn words(self) -> &'static str {
        match self {
            Self::AfterLeafDrop => "After leaf drop",
            Self::MidWinter => "Mid-winter (optional)",
            Self::BeforeSwell => "Before swell",
        }
    }

    /// The name in a file.
    pub fn key(self) -> &'static str {
        match self {
            Self::AfterLeafDrop => "after-leaf-drop",
            Self::MidWinter => "mid-winter",
            Self::BeforeSwell => "before-swell",
        }
    }

    /// Reads the name in a file.
    pub fn from_key(text: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|l| l.key() == text.trim().to_lowercase())
    }
}

/// What kind of work a task is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TaskKind {
    /// A spray.
    Spray,
    /// Pruning, cutting out cankers.
    Prune,
    /// Picking up mummies, raking leaves.
    CleanUp,
    /// Looking for eggs, scale, cankers, buds.
    Scout,
    /// Ordering or buying.
    Order,
    /// Servicing or calibrating the sprayer.
    SprayerCare,
    /// Anything else.
    Other,
}

impl TaskKind {
    /// Every kind.
    pub const ALL: [Self; 7] = [
        Self::Spray,
        Self::Prune,
        Self::CleanUp,
        Self::Scout,
        Self::Order,
        Self::SprayerCare,
        Self::Other,
    ];

    /// The name in a file and on the board.
    pub fn key(self) -> &'static str {
        match self {
            Self::Spray => "spray",
            Self::Prune => "prune",
            Self::CleanUp => "clean-up",
            Self::Scout => "scout",
            Self::Order => "order",
            Self::SprayerCare => "sprayer-care",
            Self::Other => "other",
        }
    }

    /// Reads the name in a file.
    pub fn from_key(text: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|k| k.key() == text.trim().to_lowercase())
    }
}

/// How far a task is.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum TaskState {
    /// Still to do.
    #[default]
    Planned,
    /// Done on a day.
    Done(NaiveDate),
    /// Left out, decided on a day.
    Skipped(NaiveDate),
}

impl TaskState {
    /// Still to do?
    pub fn is_open(&self) -> bool {
        matches!(self, Self::Planned)
    }
}

impl Serialize for TaskState {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Planned => serializer.serialize_str("planned"),
            Self::Done(day) => serializer.collect_str(&format_args!("done {day}")),
            Self::Skipped(day) => serializer.collect_str(&format_args!("skipped {day}")),
        }
    }
}

/// One material of a tank mix.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MixPart {
    /// Which material.
    pub material: MaterialId,
    /// At what rate; absent means the rate on its label.
    pub rate: Option<Rate>,
}

/// One change of a task's date.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Move {
    /// The day the change was made.
    pub on: NaiveDate,
    /// The date before.
    pub from: NaiveDate,
    /// The date after.
    pub to: NaiveDate,
    /// Why.
    pub why: String,
}

/// A rule quietened for one task, with the reason on record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Quiet {
    /// The rule's id.
    pub rule: String,
    /// Why the grower accepts it.
    pub why: String,
    /// Since when.
    pub on: NaiveDate,
}

/// One card on the board.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Task {
    /// Its id.
    pub id: TaskId,
    /// What is to be done, in a few words.
    pub title: String,
    /// Its lane.
    pub lane: Lane,
    /// What kind of work.
    pub kind: TaskKind,
    /// The day it is planned for.
    pub date: NaiveDate,
    /// Hour of the day it is planned for, where the grower set one.
    pub hour: Option<u32>,
    /// Which blocks; empty means all.
    pub blocks: Vec<BlockId>,
    /// What it is against.
    pub targets: Vec<TargetId>,
    /// What goes into the tank.
    pub mix: Vec<MixPart>,
    /// Spray volume for the whole task, where the grower sets it.
    pub volume: Option<Volume>,
    /// pH of the spray water, where measured.
    pub water_ph: Option<f64>,
    /// Which sprayer.
    pub sprayer: Option<SprayerId>,
    /// How far it is.
    pub state: TaskState,
    /// Why it was skipped, or done against a stop without a record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// Notes.
    pub notes: Option<String>,
    /// The task this one was split off from, planned for another day or sprayer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part_of: Option<TaskId>,
    /// Every change of its date.
    pub moved: Vec<Move>,
    /// Rules quietened for it.
    pub quiet: Vec<Quiet>,
}

impl Task {
    /// The day it counts for: the day done, else the day planned.
    pub fn day(&self) -> NaiveDate {
        match self.state {
            TaskState::Done(day) => day,
            TaskState::Planned | TaskState::Skipped(_) => self.date,
        }
    }
}
