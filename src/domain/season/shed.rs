//! What came into the shed, and what was counted there.

use super::MaterialId;
use crate::domain::units::Amount;
use chrono::NaiveDate;
use serde::Serialize;

/// A receipt or a count of a material.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShedEntry {
    /// The day.
    pub date: NaiveDate,
    /// Which material.
    pub material: MaterialId,
    /// What came in.
    pub received: Option<Amount>,
    /// What was counted.
    pub counted: Option<Amount>,
    /// What should have been there by receipts and records when it was counted.
    pub expected: Option<Amount>,
    /// Lot number of what came in.
    pub lot: Option<String>,
    /// What was paid, in the grower's money.
    pub paid: Option<f64>,
    /// Free note: where it was bought, why it differs.
    pub note: Option<String>,
}

impl ShedEntry {
    /// Counted less expected, in the unit of the count; `None` where there is nothing to compare.
    pub fn difference(&self) -> Option<Amount> {
        use crate::domain::units::{Mass, MassUnit, Volume, VolumeUnit};
        match (self.counted?, self.expected?) {
            (Amount::Mass(c), Amount::Mass(e)) => Some(Amount::Mass(
                Mass::new(c.kg() - e.kg(), MassUnit::Kg).to(c.unit),
            )),
            (Amount::Volume(c), Amount::Volume(e)) => Some(Amount::Volume(
                Volume::new(c.l() - e.l(), VolumeUnit::L).to(c.unit),
            )),
            _ => None,
        }
    }
}
