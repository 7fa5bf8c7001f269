//! Rules on the label: read, in force, of this crop, of this rate.

use super::words::{over, two};
use super::{Facts, Level, Rule, Warning};
use crate::domain::mix::dose;
use crate::domain::units::Rate;

/// A label is read in the season it is used in.
pub fn label_not_read(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let start = facts.season.starts();
    for (spray, material, _) in facts.open_materials() {
        let read = material.label.read_on;
        if read.is_some_and(|d| d >= start) {
            continue;
        }
        out.push(
            rule.warn(
                Level::Caution,
                format!("the label of {} was not read this season", material.name),
                read.map_or_else(
                    || "No day is noted on which it was read.".to_owned(),
                    |d| format!("Last read {d}; this season counts from {start}."),
                ),
                "Read it (crop, rates, limits, gear, re-entry), correct what differs here, and note the day.".to_owned(),
            )
            .task(spray.task)
            .material(material),
        );
    }
}

/// A built-in starting point is not a label.
pub fn label_is_generic(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for (spray, material, _) in facts.open_materials().filter(|(_, m, _)| m.label.generic) {
        out.push(
            rule.warn(
                Level::Caution,
                format!(
                    "{} still stands on a starting point, not on a label",
                    material.name
                ),
                "Its limits were filled in by the program and not confirmed against a product."
                    .to_owned(),
                "Take the product's own label, go through the fields, and confirm them.".to_owned(),
            )
            .task(spray.task)
            .material(material),
        );
    }
}

/// A product is not used after its registration has run out.
pub fn label_expired(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for (spray, material, _) in facts.open_materials() {
        let Some(last) = material.label.expires.filter(|d| spray.task.date > *d) else {
            continue;
        };
        out.push(
            rule.warn(
                Level::Stop,
                format!("{} may not be used after {last}", material.name),
                format!("Planned {}; last day of use {last}.", spray.task.date),
                "Use it before that day, or take another product; dispose of the rest as the law asks.".to_owned(),
            )
            .task(spray.task)
            .material(material),
        );
    }
}

/// What the label says on crops, highest rate and re-entry must be known.
pub fn label_incomplete(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for (spray, material, _) in facts.open_materials() {
        let label = &material.label;
        let missing: Vec<&str> = [
            (label.crops.is_empty(), "crops"),
            (label.rate_max.is_none(), "highest rate"),
            (label.reentry.is_none(), "re-entry"),
        ]
        .into_iter()
        .filter_map(|(gap, word)| gap.then_some(word))
        .collect();
        if missing.is_empty() {
            continue;
        }
        out.push(
            rule.warn(
                Level::Note,
                format!("not known of {}: {}", material.name, missing.join(", ")),
                "A limit that is not entered is unknown, not fine: nothing was checked against it."
                    .to_owned(),
                "Enter it from the label.".to_owned(),
            )
            .task(spray.task)
            .material(material),
        );
    }
}

/// The kind of tree must be on the label.
pub fn crop_not_on_label(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.open_uses() {
        let crops = &used.material.label.crops;
        if crops.is_empty() || facts.is_labelled(used.material_ix, used.block.species) {
            continue;
        }
        out.push(
            rule.warn(
                Level::Stop,
                format!(
                    "{} is not labelled for {} ({})",
                    used.material.name,
                    used.block.species.words(),
                    used.block.name
                ),
                format!("Crops on its label: {}.", crops.join(", ")),
                "Take a product whose label names this crop; using another is unlawful.".to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}

/// A rate is known, and lies between the lowest and the highest on the label.
pub fn rate_off_label(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for (spray, material, rate) in facts.open_materials() {
        let label = &material.label;
        let Some(rate) = rate else {
            out.push(
                rule.warn(
                    Level::Caution,
                    format!("no rate is known for {}", material.name),
                    "Neither the task nor the label entry gives one.".to_owned(),
                    "Enter the rate from the label.".to_owned(),
                )
                .task(spray.task)
                .material(material),
            );
            continue;
        };
        let of =
            |limit: Rate| dose::rate_ratio(rate, limit, spray.ground, material.density_kg_per_l);
        let found = match (label.rate_max.map(|m| (m, of(m))), label.rate_min.map(|m| (m, of(m)))) {
            (Some((max, Some(share))), _) if over(share, 1.0) => Some((
                Level::Stop,
                format!("{rate} of {} is above its label's highest rate, {max}", material.name),
                format!("{} % of the highest rate.", two(share * 100.0)),
                "Lower the rate; a mix sheet never goes above the label.",
            )),
            (_, Some((min, Some(share)))) if over(1.0, share) => Some((
                Level::Caution,
                format!("{rate} of {} is below its label's lowest rate, {min}", material.name),
                format!("{} % of the lowest rate.", two(share * 100.0)),
                "Raise the rate: too little fails and breeds resistance.",
            )),
            (Some((limit, None)), _) | (_, Some((limit, None))) => Some((
                Level::Note,
                format!("{rate} of {} cannot be compared with its label's {limit}", material.name),
                "The two are counted differently, and the spray volume, ground or density that links them is not known.".to_owned(),
                "Enter area, tree size or density, or write the rate the way the label does.",
            )),
            _ => None,
        };
        if let Some((level, message, why, todo)) = found {
            out.push(
                rule.warn(level, message, why, todo.to_owned())
                    .task(spray.task)
                    .material(material),
            );
        }
    }
}
