//! What was measured against what was reckoned: where they differ the record keeps both, and what
//! was measured rules.

use super::prefill::{Conditions, MixAmounts, prefill};
use crate::domain::mix::dose;
use crate::domain::season::{Record, Season, Task};
use crate::domain::units::Temperature;
use chrono::{NaiveDate, NaiveDateTime};

/// A difference below this share is rounding (common practice, no source).
const ROUNDED: f64 = 0.01;
/// A thermometer and the hours of weather that differ by less say the same, °C: about what a
/// shelter and a garden thermometer differ by (common practice, no source).
const SAME_C: f64 = 1.0;

/// Notes in a record what was reckoned, where what was measured differs from it.
pub fn note_reckoned(record: &mut Record, sheet: &MixAmounts, by_hours: Option<Temperature>) {
    record.temperature_by_hours = by_hours
        .zip(record.temperature)
        .filter(|(hours, read)| (hours.c() - read.c()).abs() >= SAME_C)
        .map(|(hours, _)| hours);
    for used in &mut record.materials {
        let part = sheet.parts.iter().find(|p| p.material == used.material);
        let planned = part.and_then(|p| p.total);
        used.by_sheet = planned.zip(used.total).and_then(|(planned, total)| {
            let share = dose::ratio(total, planned, None);
            // An amount by weight where the sheet counts by volume differs, whatever it weighs.
            share
                .is_none_or(|s| (s - 1.0).abs() > ROUNDED)
                .then_some(planned)
        });
    }
}

/// A record of a spray that is marked as done without one: what is known of it, to be judged.
pub fn bare(season: &Season, task: &Task, day: NaiveDate, now: NaiveDateTime) -> Record {
    let none = MixAmounts {
        volume: task.volume,
        ..MixAmounts::default()
    };
    prefill(season, task, day, now, &none, &Conditions::default())
}
