//! The mix sheet: text of 80 columns, a page of HTML, JSON.

pub(super) mod answer;
mod html;
mod text;

pub use html::html;
pub use text::text;

use crate::domain::mix::{MixSheet, Verdict};
use crate::domain::season::UnitSystem;
use crate::domain::units::{Area, AreaUnit, plain_number};

/// The sheet as JSON.
///
/// # Errors
/// None is expected: the sheet holds only text and numbers.
pub fn json(sheet: &MixSheet) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&answer::Answer::from(sheet))
}

/// The verdict in words.
pub fn verdict(sheet: &MixSheet) -> &'static str {
    match sheet.verdict {
        Verdict::Fine => "FINE: nothing speaks against this mix",
        Verdict::CannotTell => "CANNOT TELL: not all of it could be held against its label",
        Verdict::Caution => "CAUTION: read the warnings first",
        Verdict::NotAsPlanned => "STOP: do not spray as planned, read the warnings first",
        Verdict::Refused => "REFUSED: do not mix this as planned",
    }
}

/// An area in the grower's units.
pub fn area(ha: f64, system: UnitSystem) -> String {
    let unit = match system {
        UnitSystem::Us => AreaUnit::Acre,
        UnitSystem::Metric => AreaUnit::Ha,
    };
    let value = Area::new(ha, AreaUnit::Ha).to(unit).value;
    format!("{} {}", significant(value), unit.label())
}

/// A volume of spray in the grower's units.
pub fn spray(litres: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => format!("{} gal (US)", significant(litres / 3.785_411_784)),
        UnitSystem::Metric => format!("{} L", significant(litres)),
    }
}

/// Copper on the ground in the grower's units.
pub fn copper(kg_per_ha: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => format!(
            "{} lb/acre",
            significant(kg_per_ha / crate::domain::rules::copper::KG_PER_HA_OF_LB_PER_ACRE)
        ),
        UnitSystem::Metric => format!("{} kg/ha", significant(kg_per_ha)),
    }
}

/// Three figures that mean something.
fn significant(value: f64) -> String {
    let decimals = if value.abs() >= 100.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else if value.abs() >= 1.0 {
        2
    } else {
        4
    };
    let power = 10_f64.powi(decimals);
    plain_number((value * power).round() / power)
}

/// By how much a measured amount is off, where it is off at all.
pub fn off(percent: f64) -> String {
    if percent.abs() < 0.05 {
        String::new()
    } else {
        format!("{percent:+.1} %")
    }
}

/// Characters that only steer others: joiners, variation selectors, marks and
/// overrides of the writing direction.
fn hidden(c: char) -> bool {
    matches!(
        c,
        '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}'
    )
}
