//! A sprayer and its calibration.

use super::{SprayerId, WorkTime};
use crate::domain::units::{Speed, Volume};
use chrono::NaiveDate;
use serde::Serialize;

/// How a sprayer works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SprayerKind {
    /// Pumped up by hand, carried.
    Hand,
    /// A bottle on the end of a hose, whose dial sets how much of it goes into the water; what
    /// counts as its tank is the bottle.
    HoseEnd,
    /// A tank with an electric pump on a cart or a small vehicle.
    Cart,
    /// Carried on the back.
    Backpack,
    /// A gun on a hose.
    Handgun,
    /// A fan-driven sprayer.
    Airblast,
    /// A boom.
    Boom,
}

/// A sprayer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sprayer {
    /// Its id.
    pub id: SprayerId,
    /// Its name.
    pub name: String,
    /// How it works.
    pub kind: SprayerKind,
    /// What the tank holds.
    pub tank: Volume,
    /// How much more than the crown volume asks for this sprayer uses; hand
    /// wetting commonly takes about twice as much.
    pub volume_factor: Option<f64>,
    /// Minutes to fill and mix a tank.
    pub refill_minutes: Option<f64>,
    /// Minutes of way from the yard to a block and back, and between two.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub way_minutes: Option<f64>,
    /// Speed along the rows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub speed: Option<Speed>,
    /// When it can be had.
    #[serde(flatten)]
    pub time: WorkTime,
    /// Days it was calibrated, with what was measured.
    pub calibration: Vec<Calibration>,
}

/// One calibration.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Calibration {
    /// The day.
    pub date: NaiveDate,
    /// Output of the whole sprayer, litres a minute.
    pub l_per_min: Option<f64>,
    /// Spray used per hectare, litres.
    pub l_per_ha: Option<f64>,
    /// Worst nozzle's deviation from nominal, percent.
    pub worst_nozzle_percent: Option<f64>,
    /// Notes: nozzles, pressure, speed.
    pub note: Option<String>,
}
