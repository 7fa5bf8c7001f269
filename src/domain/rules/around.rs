//! The people and the region around a spray: signs, and advice that differs by place.

use super::words::two;
use super::{Facts, Level, Rule, Warning};
use crate::domain::country::{self, Country};
use crate::domain::materials::Actives;
use crate::domain::phenology::species::Species;
use crate::domain::season::{Lane, Reentry};

/// Outdoors, signs stand where the re-entry interval is longer than this, h (40 CFR 170.409).
pub const SIGNS_OVER_HOURS: f64 = 48.0;

/// A long re-entry interval wants signs where workers or others may come.
pub fn signs_wanted(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    if country::country(&facts.season.orchard) != Some(Country::UnitedStates) {
        return;
    }
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let longest = spray
            .parts
            .iter()
            .filter_map(|(_, material, ..)| match material.label.reentry {
                Some(Reentry::After(span)) => Some((span.hours(), *material)),
                _ => None,
            })
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((hours, material)) = longest.filter(|(h, _)| *h > SIGNS_OVER_HOURS) else {
            continue;
        };
        out.push(
            rule.warn(
                Level::Note,
                format!(
                    "signs are wanted: {} keeps people out for {} h",
                    material.name,
                    two(hours)
                ),
                format!(
                    "Over {SIGNS_OVER_HOURS} h outdoors the worker protection standard asks for warning signs at the ways in."
                ),
                "Put them up before spraying, take them down within three days after re-entry ends."
                    .to_owned(),
            )
            .task(spray.task)
            .material(material),
        );
    }
}

/// Kinds for which California's pages say that copper was not shown to help.
const NOT_SHOWN_IN_CALIFORNIA: &[Species] = &[
    Species::EuropeanPlum,
    Species::JapanesePlum,
    Species::Apricot,
    Species::SweetCherry,
    Species::SourCherry,
];

/// Copper against bacterial canker: advised in some regions, not shown to help in California.
pub fn advice_differs_here(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    if country::state(&facts.season.orchard) != Some("California") {
        return;
    }
    for used in facts.open_uses().filter(|u| u.kinds.any(Actives::COPPER)) {
        let is_meant = used
            .task
            .targets
            .iter()
            .any(|t| t.as_str() == "bacterial-canker");
        if !is_meant || !NOT_SHOWN_IN_CALIFORNIA.contains(&used.block.species) {
            continue;
        }
        out.push(
            rule.warn(
                Level::Note,
                format!(
                    "copper against bacterial canker on {}: not shown to help in California",
                    used.block.name
                ),
                "Other regions advise it: New England, the Pacific Northwest.".to_owned(),
                "Ask your adviser; vigour, late pruning and nematodes decide more.".to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}

/// A kind without a published date of swell has no estimate: the buds themselves tell.
pub fn no_estimate(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for (ix, block) in facts.season.blocks.iter().enumerate() {
        if block.species.has_estimate() || facts.estimate_at(ix).is_some() {
            continue;
        }
        out.push(
            rule.warn(
                Level::Note,
                format!(
                    "no estimate for {} ({}): look at the buds",
                    block.name,
                    block.species.words()
                ),
                "No date of swell is published for this kind in a form that serves here; rules on stages are silent for it.".to_owned(),
                "Look at the buds weekly from mid-winter on, finish dormant sprays while they are tight, and note the dates: with them next year has an estimate.".to_owned(),
            )
            .block(block),
        );
    }
}

/// As many dormant sprays as the trade is used to put on trees in one winter.
pub const USUAL_SPRAYS: usize = 3;

/// Two to three dormant sprays: after leaf drop, an optional one in mid-winter, one before swell.
pub fn many_sprays(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for (ix, block) in facts.season.blocks.iter().enumerate() {
        let here = |lane: Option<Lane>| {
            facts
                .all_sprays()
                .iter()
                .filter(|s| s.blocks.contains(&ix))
                .filter(|s| lane.is_none_or(|l| s.task.lane == l))
                .count()
        };
        let all = here(None);
        let is_open = facts
            .all_sprays()
            .iter()
            .any(|s| s.is_open() && s.blocks.contains(&ix));
        if all <= USUAL_SPRAYS || !is_open {
            continue;
        }
        out.push(
            rule.warn(
                Level::Note,
                format!("{all} dormant sprays on {}", block.name),
                format!(
                    "{} after leaf drop, {} in mid-winter, {} before swell; two to three are usual.",
                    here(Some(Lane::AfterLeafDrop)),
                    here(Some(Lane::MidWinter)),
                    here(Some(Lane::BeforeSwell))
                ),
                "Ask of each what it is against, and whether two can be one.".to_owned(),
            )
            .block(block),
        );
    }
}
