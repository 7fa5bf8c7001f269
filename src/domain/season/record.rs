//! An application record. Records are only ever added; a correction is a new
//! record that names the one it corrects.

use super::{BlockId, Formulation, MaterialId, RecordId, SprayerId, TargetId, TaskId};
use crate::domain::units::{Amount, Area, Percent, Rate, Speed, Temperature, Volume};
use chrono::{NaiveDate, NaiveDateTime};
use serde::Serialize;

/// One application, as law and certifiers want it kept.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Record {
    /// Its id.
    pub id: RecordId,
    /// The record this one corrects.
    pub corrects: Option<RecordId>,
    /// Why it was corrected.
    pub correction: Option<String>,
    /// Does it take the one it corrects back, so that neither holds?
    pub taken_back: bool,
    /// The day it was written down.
    pub noted: Option<NaiveDate>,
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
    /// Where: orchard and place, in words that find it again.
    pub site: Option<String>,
    /// Which blocks.
    pub blocks: Vec<BlockId>,
    /// The crops, with their cultivars, as they stood that day.
    pub crops: Vec<String>,
    /// Ground treated.
    pub area: Option<Area>,
    /// Trees treated.
    pub trees: Option<u32>,
    /// BBCH stage seen.
    pub bbch: Option<u8>,
    /// What it was against.
    pub targets: Vec<TargetId>,
    /// Why it was needed: what scouting found.
    pub reason: Option<String>,
    /// What was used.
    pub materials: Vec<RecordedMaterial>,
    /// Spray used in all.
    pub volume: Option<Volume>,
    /// Tanks and the order of mixing.
    pub mixing: Option<String>,
    /// Which sprayer.
    pub sprayer: Option<SprayerId>,
    /// Nozzles, pressure, speed.
    pub setup: Option<String>,
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
    /// Rain before and after.
    pub rain: Option<String>,
    /// When people may go back in, local time.
    pub reentry_until: Option<NaiveDateTime>,
    /// Must a person see that it is dry before others go back in?
    pub reentry_until_dry: bool,
    /// When re-entry was ended, local time.
    pub reentry_ended: Option<NaiveDateTime>,
    /// Who saw that it was dry.
    pub reentry_seen_by: Option<String>,
    /// Gear worn.
    pub gear: Vec<String>,
    /// Notices given, signs up and down.
    pub notices: Option<String>,
    /// What became of left-over spray and of the rinse water.
    pub leftover: Option<String>,
    /// When to look whether it held.
    pub next_check: Option<NaiveDate>,
    /// Why it was done although something stood against it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub anyway: Option<String>,
    /// What stood against it on its day, as it was judged when it was kept.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub judged: Vec<Judgement>,
    /// Air temperature by the hours of weather, where the one noted above differs from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature_by_hours: Option<Temperature>,
    /// Remarks.
    pub notes: Option<String>,
    /// Checksum over this record and the one before it; see
    /// [`records::integrity`](crate::domain::records::integrity()).
    pub seal: Option<String>,
}

impl Record {
    /// A record of a day with nothing else in it.
    pub fn new(id: RecordId, date: NaiveDate) -> Self {
        Self {
            id,
            corrects: None,
            correction: None,
            taken_back: false,
            noted: None,
            task: None,
            date,
            started: None,
            ended: None,
            who: None,
            licence: None,
            supervisor: None,
            site: None,
            blocks: Vec::new(),
            crops: Vec::new(),
            area: None,
            trees: None,
            bbch: None,
            targets: Vec::new(),
            reason: None,
            materials: Vec::new(),
            volume: None,
            mixing: None,
            sprayer: None,
            setup: None,
            wind: None,
            wind_from: None,
            temperature: None,
            humidity_percent: None,
            sky: None,
            rain: None,
            reentry_until: None,
            reentry_until_dry: false,
            reentry_ended: None,
            reentry_seen_by: None,
            gear: Vec::new(),
            notices: None,
            leftover: None,
            next_check: None,
            anyway: None,
            judged: Vec::new(),
            temperature_by_hours: None,
            notes: None,
            seal: None,
        }
    }
}

/// One thing that stood against an application.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Judgement {
    /// How grave it was: `stop`.
    pub level: String,
    /// The rule's id.
    pub rule: String,
    /// What was wrong, as it was said then.
    pub reason: String,
}

/// How far the records go: how many are sealed, and the last one's seal.
///
/// Kept beside the records, and wherever else the grower notes it (a printed
/// report, a mail), so that records cut from the end are missed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RecordsHead {
    /// How many sealed records there are.
    pub count: u32,
    /// The last one's own seal, without what it follows.
    pub seal: String,
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
    /// The form it was sold in.
    pub formulation: Option<Formulation>,
    /// Share of active in the product, by mass.
    pub active_share: Option<Percent>,
    /// Metallic copper equivalent, by mass of product.
    pub metallic_copper: Option<Percent>,
    /// Lot number on the pack.
    pub lot: Option<String>,
    /// The rate used.
    pub rate: Option<Rate>,
    /// Product used in all.
    pub total: Option<Amount>,
    /// What the mix sheet said, where more or less was used.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_sheet: Option<Amount>,
    /// Metallic copper, kg/ha.
    pub copper_kg_per_ha: Option<f64>,
    /// What it cost, in the grower's money.
    pub cost: Option<f64>,
}
