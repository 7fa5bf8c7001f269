//! What is in the shed as plain text: materials with what is entered of their labels, sprayers
//! with what was measured on them.

use super::wrap::wrapped;
use crate::domain::materials::label_fields;
use crate::domain::season::{Calibration, Material, Season, Sprayer, SprayerKind, UnitSystem};
use crate::domain::units::{Area, AreaUnit, Volume, VolumeUnit, plain_number};

/// What a sprayer puts out, in the grower's units: `2.01 gal/min`, `91 gal/acre`.
pub fn output(l_per_min: Option<f64>, l_per_ha: Option<f64>, units: UnitSystem) -> Vec<String> {
    let gallons = |litres: f64| Volume::new(litres, VolumeUnit::L).to(VolumeUnit::Gal).value;
    let acre_ha = Area::new(1.0, AreaUnit::Acre).ha();
    let two = |v: f64| plain_number((v * 100.0).round() / 100.0);
    let one = |v: f64| plain_number((v * 10.0).round() / 10.0);
    let mut parts = Vec::new();
    if let Some(l) = l_per_min {
        parts.push(match units {
            UnitSystem::Us => format!("{} gal/min", two(gallons(l))),
            UnitSystem::Metric => format!("{} L/min", two(l)),
        });
    }
    if let Some(l) = l_per_ha {
        parts.push(match units {
            UnitSystem::Us => format!("{} gal/acre", one(gallons(l) * acre_ha)),
            UnitSystem::Metric => format!("{} L/ha", one(l)),
        });
    }
    parts
}

/// What was measured, in words: output, the worst nozzle, the note.
pub fn measured(calibration: &Calibration, units: UnitSystem) -> String {
    let mut parts = output(calibration.l_per_min, calibration.l_per_ha, units);
    if let Some(off) = calibration.worst_nozzle_percent {
        parts.push(format!(
            "worst nozzle {} % off",
            plain_number((off * 10.0).round() / 10.0)
        ));
    }
    parts.extend(calibration.note.clone());
    parts.join("; ")
}

/// A kind of sprayer in words.
pub fn kind(kind: SprayerKind) -> &'static str {
    match kind {
        SprayerKind::Hand => "pumped by hand",
        SprayerKind::HoseEnd => "a bottle on a hose, with a dial",
        SprayerKind::Cart => "a tank with an electric pump on a cart",
        SprayerKind::Backpack => "carried on the back",
        SprayerKind::Handgun => "a gun on a hose",
        SprayerKind::Airblast => "driven by a fan",
        SprayerKind::Boom => "a boom",
    }
}

/// Materials, then sprayers.
pub fn text(season: &Season) -> String {
    let mut out = String::from("Materials\n");
    if season.materials.is_empty() {
        out.push_str("  none\n");
    }
    for material in &season.materials {
        label(&mut out, season, material);
    }
    out.push_str("\nSprayers\n");
    if season.sprayers.is_empty() {
        out.push_str("  none\n");
    }
    for sprayer in &season.sprayers {
        measurements(&mut out, season, sprayer);
    }
    out.push_str("\nThe label is the law: what is not entered here is unknown, not fine.\n");
    out
}

fn label(out: &mut String, season: &Season, material: &Material) {
    let label = &material.label;
    let read = match label.read_on {
        _ if label.generic => "a starting point, not a label: hold it against your own".to_owned(),
        Some(day) if day >= season.starts() => format!("label read on {day}"),
        Some(day) => format!("label read last on {day}: read it again"),
        None => "the label was not read yet".to_owned(),
    };
    out.push_str(&wrapped(
        &format!("{} ({}): {read}", material.name, material.id),
        2,
    ));
    let mut unknown = Vec::new();
    for field in label_fields() {
        let value = (field.get)(material);
        match field.key {
            // Said above in words.
            "name" | "generic" | "read_on" => {}
            _ if value.is_empty() => unknown.push(field.title.to_lowercase()),
            _ => out.push_str(&wrapped(&format!("{}: {value}", field.title), 6)),
        }
    }
    let stock = material
        .stock
        .map_or_else(|| "not counted".to_owned(), |s| s.to_string());
    out.push_str(&wrapped(&format!("In the shed: {stock}"), 6));
    if !unknown.is_empty() {
        out.push_str(&wrapped(&format!("Unknown: {}", unknown.join(", ")), 6));
    }
}

fn measurements(out: &mut String, season: &Season, sprayer: &Sprayer) {
    out.push_str(&wrapped(
        &format!(
            "{} ({}): {}; the tank holds {}",
            sprayer.name,
            sprayer.id,
            kind(sprayer.kind),
            sprayer.tank
        ),
        2,
    ));
    let mut all: Vec<&Calibration> = sprayer.calibration.iter().collect();
    all.sort_by_key(|c| std::cmp::Reverse(c.date));
    for one in &all {
        let words = measured(one, season.orchard.units);
        out.push_str(&wrapped(&format!("measured {}: {words}", one.date), 6));
    }
    if all.first().is_none_or(|c| c.date < season.starts()) {
        out.push_str("      not calibrated this season\n");
    }
}
