//! Rules on what is written and can be read in more than one way, or in none.

use super::{Facts, Level, Rule, Warning};
use crate::domain::country::{self, Country};
use crate::domain::materials::is_known_active;
use crate::domain::season::{Formulation, Material};
use crate::domain::units::{Amount, AreaUnit, MassUnit, Rate, Volume};

/// What an active is decides which rules hold: one that no table knows was not checked.
pub fn active_not_known(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let materials = facts.season.materials.iter();
    let unknown: Vec<&Material> = materials.filter(|m| !is_known_active(&m.active)).collect();
    if unknown.is_empty() {
        return;
    }
    for (spray, material, _) in facts.open_materials() {
        if !unknown.iter().any(|m| std::ptr::eq(*m, material)) {
            continue;
        }
        let message = if material.active.trim().is_empty() {
            format!("not checked: which active is in {}?", material.name)
        } else {
            format!(
                "not checked: which kind is '{}', the active of {}?",
                material.active, material.name
            )
        };
        out.push(
            rule.warn(
                Level::Caution,
                message,
                "No table here knows it, so nothing was checked that goes by oil, copper, sulfur, captan or acid: tank partners, days apart, cold, copper limits.".to_owned(),
                "Write the active as the label prints it. If it is none of these, add the word insecticide or fungicide.".to_owned(),
            )
            .task(spray.task)
            .material(material),
        );
    }
}

/// A unit that stands for two things is asked about, never guessed.
pub fn unit_in_doubt(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let place = country::country(&facts.season.orchard);
    for (spray, material, rate) in facts.open_materials() {
        let Some((message, todo)) = rate.and_then(|rate| doubt(rate, material, place)) else {
            continue;
        };
        out.push(
            rule.warn(
                Level::Caution,
                message,
                format!(
                    "Rate: {}. The two readings differ; amounts here follow the one that is written.",
                    rate.map_or_else(String::new, |r| r.to_string())
                ),
                todo,
            )
            .task(spray.task)
            .material(material),
        );
    }
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let blocks = spray
            .blocks
            .iter()
            .filter_map(|ix| facts.season.blocks.get(*ix));
        let gallons = spray
            .task
            .volume
            .into_iter()
            .chain(blocks.filter_map(|b| b.measured_volume))
            .chain(spray.sprayer.map(|s| s.tank))
            .find(|v| place.is_some_and(|p| p.has_imperial_measures()) && is_us_of_two(*v));
        if let (Some(volume), Some(place)) = (gallons, place) {
            out.push(
                rule.warn(
                    Level::Caution,
                    format!("is {volume} meant in imperial or in US measure?"),
                    format!(
                        "In {} both are in use; the imperial gallon is a fifth larger. Read as the US one.",
                        place.words()
                    ),
                    "Write \"imp gal\", or litres.".to_owned(),
                )
                .task(spray.task),
            );
        }
    }
    if place == Some(Country::UnitedStates) {
        for block in &facts.season.blocks {
            let Some(area) = block.area.filter(|a| a.unit == AreaUnit::Are) else {
                continue;
            };
            out.push(
                rule.warn(
                    Level::Caution,
                    format!("is the ground of {} {area} or as many acres?", block.name),
                    "An are is 100 m2; an acre is forty times as large. Read as ares.".to_owned(),
                    "Write \"acre\" or \"ha\".".to_owned(),
                )
                .block(block),
            );
        }
    }
}

fn is_us_of_two(volume: Volume) -> bool {
    volume.unit.is_us_of_two()
}

/// What is unclear in a rate, and what to write.
fn doubt(rate: Rate, material: &Material, place: Option<Country>) -> Option<(String, String)> {
    if product_of(rate).is_some_and(is_bare_oz) && is_liquid(material) {
        return Some((
            format!(
                "{rate} of {}, a liquid: ounces by weight or fluid ounces?",
                material.name
            ),
            "Look at the label and write \"fl oz\" or \"oz wt\".".to_owned(),
        ));
    }
    let place = place.filter(|p| p.has_imperial_measures())?;
    let volumes = match rate {
        Rate::PerVolume(product, water) => [volume_of(product), Some(water)],
        Rate::PerArea(product, _) | Rate::PerTree(product) => [volume_of(product), None],
        Rate::VolumePercent(_) => [None, None],
    };
    volumes.into_iter().flatten().any(is_us_of_two).then(|| {
        (
            format!(
                "{rate} of {}: US or imperial measure?",
                material.name
            ),
            format!(
                "In {} labels may mean imperial ones. Write \"imp gal\", \"imp pt\", \"imp fl oz\", or litres and millilitres.",
                place.words()
            ),
        )
    })
}

fn product_of(rate: Rate) -> Option<Amount> {
    match rate {
        Rate::VolumePercent(_) => None,
        Rate::PerVolume(product, _) | Rate::PerArea(product, _) | Rate::PerTree(product) => {
            Some(product)
        }
    }
}

fn volume_of(amount: Amount) -> Option<Volume> {
    match amount {
        Amount::Volume(v) => Some(v),
        Amount::Mass(_) => None,
    }
}

fn is_bare_oz(amount: Amount) -> bool {
    matches!(amount, Amount::Mass(m) if m.unit == MassUnit::Oz)
}

/// Sold as a liquid: by its form, or since its label limits it by volume.
fn is_liquid(material: &Material) -> bool {
    let label = &material.label;
    let by_form = matches!(
        material.formulation,
        Some(Formulation::Ec | Formulation::Sl | Formulation::Sc)
    );
    let by_volume = [label.rate_max, label.rate_min, label.max_per_season]
        .into_iter()
        .flatten()
        .filter_map(product_of)
        .any(|a| volume_of(a).is_some());
    by_form || by_volume
}
