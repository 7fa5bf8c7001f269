//! Amounts above the label: what was used, for the spray, ground or trees it was used on, against
//! the highest rate on the label.

use crate::domain::mix::dose::{self, Ground};
use crate::domain::season::{Record, RecordId, RecordedMaterial, Season};
use crate::domain::units::{Amount, Rate, plain_number};

/// Weighed and rounded amounts may be off by so much (common practice, no source).
const ROUNDED: f64 = 0.01;

/// A record that says more was used than its label allows.
#[derive(Debug, Clone, PartialEq)]
pub struct OverLabel {
    /// Which record.
    pub record: RecordId,
    /// What is wrong, in one sentence.
    pub words: String,
}

/// The rate that an amount makes, counted as the planned rate is; else by the spray, the ground
/// or the trees, whichever is known.
pub fn rate_used(record: &Record, used: &RecordedMaterial, planned: Option<Rate>) -> Option<Rate> {
    let total = used.total?;
    let by_volume = || {
        let spray = record.volume.filter(|v| v.l() > 0.0)?;
        Some(Rate::PerVolume(total, spray))
    };
    let by_area = || {
        let area = record.area.filter(|a| a.ha() > 0.0)?;
        Some(Rate::PerArea(total, area))
    };
    let by_tree = || {
        let trees = record.trees.filter(|n| *n > 0)?;
        Some(Rate::PerTree(share(total, f64::from(trees))))
    };
    match planned {
        Some(Rate::PerArea(..)) => by_area().or_else(by_volume),
        Some(Rate::PerTree(..)) => by_tree().or_else(by_volume),
        _ => by_volume().or_else(by_area).or_else(by_tree),
    }
}

fn share(total: Amount, of: f64) -> Amount {
    dose::scaled(total, 1.0 / of)
}

/// Every amount above its label in the records that hold.
pub fn over_label(season: &Season) -> Vec<OverLabel> {
    season
        .current_records()
        .flat_map(|record| of_record(season, record))
        .collect()
}

/// The amounts of one record that are above their labels.
pub fn of_record(season: &Season, record: &Record) -> Vec<OverLabel> {
    let ground = Ground {
        water_l: record.volume.map(|v| v.l()),
        area_ha: record.area.map(|a| a.ha()),
        trees: record.trees.map(f64::from),
    };
    record
        .materials
        .iter()
        .filter_map(|used| {
            let material = season.material(&used.material)?;
            let most = material.label.rate_max?;
            let rate = rate_used(record, used, Some(most))?;
            let share = dose::rate_ratio(rate, most, ground, material.density_kg_per_l)?;
            (share > 1.0 + ROUNDED).then(|| OverLabel {
                record: record.id.clone(),
                words: format!(
                    "{}: {rate} was used, {} times the most its label allows ({most})",
                    used.name,
                    plain_number((share * 10.0).round() / 10.0)
                ),
            })
        })
        .collect()
}
