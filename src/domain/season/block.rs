//! A block: trees of one kind that are looked after together.

use super::{BlockId, TargetId};
use crate::domain::phenology::{species::Species, stage::Stage};
use crate::domain::units::{Area, Length, Volume};
use chrono::NaiveDate;
use serde::{Serialize, Serializer};

/// How dense the crowns are when bare; sets the spray volume.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Canopy {
    /// Open, well pruned.
    Open,
    /// Neither open nor dense.
    #[default]
    Middling,
    /// Dense, unpruned.
    Dense,
}

/// Trees of one kind that are looked after together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Block {
    /// Its id.
    pub id: BlockId,
    /// Its name, as people call it.
    pub name: String,
    /// The kind of tree.
    #[serde(serialize_with = "species_words")]
    pub species: Species,
    /// The cultivar, where known.
    pub cultivar: Option<String>,
    /// How many trees.
    pub trees: u32,
    /// Ground covered.
    pub area: Option<Area>,
    /// Distance between rows.
    pub row_spacing: Option<Length>,
    /// Distance between trees in the row.
    pub tree_spacing: Option<Length>,
    /// Height of the trees.
    pub height: Option<Length>,
    /// Spread of the crown across the row.
    pub spread: Option<Length>,
    /// How dense the crowns are.
    pub canopy: Canopy,
    /// Spray volume the grower measured here for all its trees; always wins.
    pub measured_volume: Option<Volume>,
    /// Is the block certified organic?
    pub organic: bool,
    /// When its leaves are expected down, where it differs from the orchard.
    pub leaf_drop_expected: Option<NaiveDate>,
    /// When its leaves were seen down.
    pub leaf_drop_seen: Option<NaiveDate>,
    /// Guard days, where they differ from the orchard.
    pub guard_days: Option<u32>,
    /// The estimate's model, where the grower chooses one by name.
    pub model: Option<String>,
    /// Site notes: slope, frost pocket, exposure.
    pub site: Option<String>,
    /// Metallic copper on it in each of the past years, kg/ha, latest first. For a year that is
    /// not told here the orchard's own list holds.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub copper_past_kg_per_ha: Vec<PastCopper>,
    /// Problems seen here.
    pub seen: Vec<TargetSeen>,
    /// Dates of stages seen here in past seasons.
    pub past: Vec<PastStage>,
    /// Rules on the block itself that its grower accepts, with the reason.
    pub quiet: Vec<QuietHere>,
}

impl Block {
    /// A block of one tree of which nothing else is known yet.
    pub fn new(id: BlockId, name: String, species: Species) -> Self {
        Self {
            id,
            name,
            species,
            cultivar: None,
            trees: 1,
            area: None,
            row_spacing: None,
            tree_spacing: None,
            height: None,
            spread: None,
            canopy: Canopy::default(),
            measured_volume: None,
            organic: false,
            leaf_drop_expected: None,
            leaf_drop_seen: None,
            guard_days: None,
            model: None,
            site: None,
            copper_past_kg_per_ha: Vec::new(),
            seen: Vec::new(),
            past: Vec::new(),
            quiet: Vec::new(),
        }
    }
}

fn species_words<S: Serializer>(species: &Species, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(species.words())
}

/// Metallic copper of one past year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PastCopper {
    /// So much, kg/ha.
    KgPerHa(f64),
    /// Nobody knows.
    Unknown,
}

impl PastCopper {
    /// How files and forms name a year of which nothing is known.
    pub const UNKNOWN: &'static str = "unknown";

    /// The figure, where there is one.
    pub fn kg_per_ha(self) -> Option<f64> {
        match self {
            Self::KgPerHa(kg) => Some(kg),
            Self::Unknown => None,
        }
    }
}

impl From<Option<f64>> for PastCopper {
    fn from(kg: Option<f64>) -> Self {
        kg.map_or(Self::Unknown, Self::KgPerHa)
    }
}

impl Serialize for PastCopper {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::KgPerHa(kg) => serializer.serialize_f64(*kg),
            Self::Unknown => serializer.serialize_str(Self::UNKNOWN),
        }
    }
}

/// A rule quietened for a block, where no task is to blame: a target left alone
/// on purpose, a block that gets no spray.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuietHere {
    /// The rule's id.
    pub rule: String,
    /// The target it is about, where it is about one.
    pub target: Option<TargetId>,
    /// Why the grower accepts it.
    pub why: String,
    /// Since when.
    pub on: NaiveDate,
}

/// A problem seen on a block.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TargetSeen {
    /// What was seen.
    pub target: TargetId,
    /// In which season, for instance `2025-26`.
    pub season: String,
    /// The count, where one was made (spurs infested, eggs in a hundred spurs…).
    pub count: Option<f64>,
    /// Out of how many looked at.
    pub of: Option<f64>,
    /// Free note.
    pub note: Option<String>,
}

/// A stage seen in a past season.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PastStage {
    /// Which stage.
    #[serde(serialize_with = "stage_words")]
    pub stage: Stage,
    /// On which day.
    pub date: NaiveDate,
}

fn stage_words<S: Serializer>(stage: &Stage, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(stage.words())
}
