//! Rules on the trees themselves: what they bear, how they are certified.

use super::{Facts, Level, Rule, Warning};
use crate::domain::materials::Actives;
use crate::domain::phenology::species::Species;
use crate::domain::season::{Block, Organic};
use crate::domain::sources;

/// Trees named as sensitive to oil in published lists.
pub const OIL_SENSITIVE: &[&str] = &[
    "japanese maple",
    "red maple",
    "sugar maple",
    "amur maple",
    "hickory",
    "black walnut",
    "butternut",
    "redbud",
    "smoke tree",
    "cryptomeria",
    "juniper",
    "spruce",
    "douglas-fir",
    "arborvitae",
    "thuja",
    "beech",
    "holly",
    "aucuba",
];

/// The name under which a block is on the lists, if it is.
pub fn listed_as_sensitive(block: &Block) -> Option<&'static str> {
    if !matches!(block.species, Species::Other | Species::Walnut) {
        return None;
    }
    let words = format!(
        "{} {}",
        block.name,
        block.cultivar.as_deref().unwrap_or_default()
    )
    .to_lowercase();
    OIL_SENSITIVE
        .iter()
        .find(|name| words.contains(*name))
        .copied()
}

/// Oil does not go on trees that it harms.
pub fn oil_sensitive(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.open_uses().filter(|u| u.kinds.any(Actives::OIL)) {
        let species = used.block.species;
        let found = listed_as_sensitive(used.block)
            .map(|name| (Level::Stop, name, &sources::OIL_SENSITIVE_LISTS))
            .or(match species {
                Species::Walnut => Some((Level::Stop, "walnut", &sources::OIL_WALNUT)),
                Species::Apricot | Species::JapaneseApricot => {
                    Some((Level::Caution, "some apricots", &sources::OIL_APRICOT))
                }
                _ => None,
            });
        let Some((level, name, source)) = found else {
            continue;
        };
        // "Other" on a label names no tree.
        let on_its_label = used.block.species != Species::Other
            && facts.is_labelled(used.material_ix, used.block.species);
        let is_apricot = level == Level::Caution;
        // A label that names the crop does not tell its cultivars apart.
        let level = if on_its_label && !is_apricot {
            Level::Note
        } else {
            level
        };
        let (why, todo) = if is_apricot {
            (
                "Some apricot cultivars are sensitive to dormant oil; which ones is not published."
                    .to_owned(),
                "Ask about your cultivar, or try it on one tree first; use the low rate.",
            )
        } else if on_its_label {
            (
                "Its label names this crop, so it is left to you and the label.".to_owned(),
                "Leave the oil out here, or ask your adviser.",
            )
        } else {
            (
                format!(
                    "'{name}' stands on published lists of trees that oil harms, or its dormant use there is advised against."
                ),
                "Leave the oil out here, or ask your adviser.",
            )
        };
        out.push(
            rule.warn(
                level,
                format!(
                    "{} on {}: {name} {} sensitive to oil",
                    used.material.name,
                    used.block.name,
                    if is_apricot { "are" } else { "is" }
                ),
                why,
                todo.to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material)
            .source(source),
        );
    }
}

/// An organic block gets only what organic rules permit.
pub fn organic_block(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.open_uses().filter(|u| u.block.organic) {
        let (level, standing) = match used.material.label.organic {
            Organic::Allowed => continue,
            Organic::Restricted => (Level::Note, "is permitted under conditions only"),
            Organic::Not => (Level::Stop, "is not permitted"),
            Organic::Unknown => (Level::Caution, "has no known standing"),
        };
        out.push(
            rule.warn(
                level,
                format!(
                    "{} {standing} on {}, an organic block",
                    used.material.name, used.block.name
                ),
                format!(
                    "{} is entered as organic; standing of the material: {}.",
                    used.block.name,
                    standing_word(used.material.label.organic)
                ),
                "Ask your certifier before buying or spraying: their word is final.".to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}

fn standing_word(organic: Organic) -> &'static str {
    match organic {
        Organic::Allowed => "allowed",
        Organic::Restricted => "restricted",
        Organic::Not => "not allowed",
        Organic::Unknown => "unknown",
    }
}
