//! An application record. Records are only ever added; a correction is a new
//! record that names the one it corrects.

use super::{BlockId, MaterialId, RecordId, SprayerId, TargetId, TaskId};
use crate::domain::units::{Amount, Area, Rate, Speed, Temperature, Volume};
use chrono::{NaiveDate, NaiveDateTime};
use serde::Serialize;

/// One application, as law and certifiers want it kept.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Record {
    /// Its id.
    pub id: RecordId,
    /// The record this one corrects.
    pub corrects: Option<RecordId>,
    /// The task it finished.
    pub task: Option<TaskId>,
    /// The day.
    pub date: NaiveDate,
    /// Start, local time.
    pub started: Option<NaiveDateTime>,
    /// End, local time.
    pub ended: Option<NaiveDateTime>,
    /// Who sprayed.
    pub who: Option<String>,
    /// Certificate or licence number.
    pub licence: Option<String>,
    /// Who supervised.
    pub supervisor: Option<String>,
    /// Which blocks.
    pub blocks: Vec<BlockId>,
    /// Ground treated.
    pub area: Option<Area>,
    /// Trees treated.
    pub trees: Option<u32>,
    /// BBCH stage seen.
    pub bbch: Option<u8>,
    /// What it was against.
    pub targets: Vec<TargetId>,
    /// What was used.
    pub materials: Vec<RecordedMaterial>,
    /// Spray used in all.
    pub volume: Option<Volume>,
    /// Which sprayer.
    pub sprayer: Option<SprayerId>,
    /// Wind speed.
    pub wind: Option<Speed>,
    /// Where the wind came from, for instance `NW`.
    pub wind_from: Option<String>,
    /// Air temperature.
    pub temperature: Option<Temperature>,
    /// Relative humidity, percent.
    pub humidity_percent: Option<f64>,
    /// Sky and inversion note.
    pub sky: Option<String>,
    /// When people may go back in, local time.
    pub reentry_until: Option<NaiveDateTime>,
    /// When re-entry was ended, local time.
    pub reentry_ended: Option<NaiveDateTime>,
    /// Who saw that it was dry.
    pub reentry_seen_by: Option<String>,
    /// Gear worn.
    pub gear: Vec<String>,
    /// Notices given, signs up and down.
    pub notices: Option<String>,
    /// Remarks.
    pub notes: Option<String>,
}

/// One material of an application.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecordedMaterial {
    /// Which material.
    pub material: MaterialId,
    /// Its name at the time.
    pub name: String,
    /// Its active at the time.
    pub active: String,
    /// Registration number.
    pub registration: Option<String>,
    /// The rate used.
    pub rate: Option<Rate>,
    /// Product used in all.
    pub total: Option<Amount>,
    /// Metallic copper, kg/ha.
    pub copper_kg_per_ha: Option<f64>,
}
