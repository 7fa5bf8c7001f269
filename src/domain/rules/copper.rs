//! Rules on metallic copper: per use, per season, over seven years.
//!
//! The label decides. Where it gives no figure and the orchard follows the US
//! tables, the confirmed rows of [`us_table`] stand in; for other crops no
//! figure was confirmed and the rule says so instead of guessing.

use super::facts::Use;
use super::words::{over, two};
use super::{Facts, Level, Rule, Warning};
use crate::domain::materials::Actives;
use crate::domain::mix::dose;
use crate::domain::phenology::species::Species;
use crate::domain::season::CopperRegime;
use crate::domain::sources::{self, Source};

/// kg/ha in one lb/acre: the pound and the acre by definition.
pub const KG_PER_HA_OF_LB_PER_ACRE: f64 = 0.453_592_37 / 0.404_685_642_24;

/// Most metallic copper over seven years in the European Union, kg/ha.
pub const EU_SEVEN_YEARS_KG_PER_HA: f64 = 28.0;

/// From this share of a limit on, the rules say that it is near.
pub const NEAR: f64 = 0.9;

/// A US label row: most metallic copper a dormant use and a year, kg/ha.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsRow {
    /// Most in one dormant use, kg/ha.
    pub per_use_kg_per_ha: f64,
    /// Most in a year, kg/ha.
    pub per_year_kg_per_ha: f64,
    /// Where it was read.
    pub source: &'static Source,
}

/// The confirmed US label rows. Peach, nectarine, pear and walnut have none:
/// the figures found for them were unconfirmed or at odds with themselves.
pub fn us_table(species: Species) -> Option<UsRow> {
    let (per_use, per_year, source) = match species {
        Species::Almond
        | Species::Apricot
        | Species::SweetCherry
        | Species::SourCherry
        | Species::EuropeanPlum
        | Species::JapanesePlum => (8.0, 18.0, &sources::COPPER_US_STONE),
        Species::Apple => (6.0, 16.0, &sources::COPPER_US_POME),
        Species::Quince => (8.0, 16.0, &sources::COPPER_US_POME),
        _ => return None,
    };
    Some(UsRow {
        per_use_kg_per_ha: per_use * KG_PER_HA_OF_LB_PER_ACRE,
        per_year_kg_per_ha: per_year * KG_PER_HA_OF_LB_PER_ACRE,
        source,
    })
}

fn by_table(facts: &Facts<'_>, species: Species) -> Option<UsRow> {
    (facts.season.orchard.copper_regime == CopperRegime::UsTables)
        .then(|| us_table(species))
        .flatten()
}

fn open_copper<'f, 'a>(facts: &'f Facts<'a>) -> impl Iterator<Item = &'f Use<'a>> {
    facts.open_uses().filter(|u| u.kinds.any(Actives::COPPER))
}

/// One use carries no more metallic copper than allowed.
pub fn copper_per_use(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in open_copper(facts) {
        let by_label = used
            .material
            .label
            .max_copper_per_use
            .and_then(|r| dose::kg_per_ha(r, None))
            .map(|kg| (kg, &sources::LABEL_LIMIT));
        let by_table =
            || by_table(facts, used.block.species).map(|r| (r.per_use_kg_per_ha, r.source));
        let limit = by_label.or_else(by_table);
        let warning = match (limit, used.copper_kg_per_ha) {
            (Some((limit, source)), Some(kg)) if over(kg, limit) => rule
                .warn(
                    Level::Stop,
                    format!(
                        "{} on {} puts on {} kg/ha of metallic copper; most in one use is {}",
                        used.material.name,
                        used.block.name,
                        two(kg),
                        two(limit)
                    ),
                    format!("{} kg/ha = {} lb/acre.", two(kg), two(kg / KG_PER_HA_OF_LB_PER_ACRE)),
                    "Lower the rate.".to_owned(),
                )
                .source(source),
            (Some((limit, source)), None) => rule
                .warn(
                    Level::Note,
                    format!("the metallic copper of {} on {} cannot be reckoned", used.material.name, used.block.name),
                    format!("Most in one use is {} kg/ha; the metallic equivalent, rate, density, ground or spray volume is missing.", two(limit)),
                    "Enter what is missing.".to_owned(),
                )
                .source(source),
            _ => continue,
        };
        out.push(
            warning
                .task(used.task)
                .block(used.block)
                .material(used.material),
        );
    }
}

/// A block gets no more metallic copper in a season than allowed.
pub fn copper_per_season(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let start = facts.season.starts();
    for used in open_copper(facts) {
        let by_label = used
            .material
            .label
            .max_copper_per_season
            .and_then(|r| dose::kg_per_ha(r, None))
            .map(|kg| (kg, &sources::LABEL_LIMIT));
        let limit = by_label.or_else(|| {
            by_table(facts, used.block.species).map(|r| (r.per_year_kg_per_ha, r.source))
        });
        let Some((limit, source)) = limit else {
            if facts.season.orchard.copper_regime == CopperRegime::UsTables {
                out.push(
                    rule.warn(
                        Level::Note,
                        format!(
                            "no season limit of metallic copper is known for {} on {}",
                            used.material.name,
                            used.block.species.words()
                        ),
                        "The label entry gives none, and no figure for this crop was confirmed."
                            .to_owned(),
                        "Enter the most metallic copper a season from the label.".to_owned(),
                    )
                    .task(used.task)
                    .block(used.block)
                    .material(used.material),
                );
            }
            continue;
        };
        let sum = copper_to(facts, used, start);
        let level = if over(sum, limit) {
            Level::Stop
        } else if over(sum, limit * NEAR) {
            Level::Note
        } else {
            continue;
        };
        out.push(
            rule.warn(
                level,
                format!(
                    "{} brings {} to {} kg/ha of metallic copper this season; most is {}",
                    used.material.name,
                    used.block.name,
                    two(sum),
                    two(limit)
                ),
                format!(
                    "Done and planned since {start} up to {}: {} kg/ha ({} lb/acre), {} % of the limit.",
                    used.day(),
                    two(sum),
                    two(sum / KG_PER_HA_OF_LB_PER_ACRE),
                    two(sum / limit * 100.0)
                ),
                if level == Level::Stop { "Lower a rate, skip a use, or take another active." } else { "No room for another use." }.to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material)
            .source(source),
        );
    }
}

/// Metallic copper on a block's timeline up to and with a use, kg/ha; what
/// cannot be reckoned is left out (another rule says so).
fn copper_to(facts: &Facts<'_>, used: &Use<'_>, start: chrono::NaiveDate) -> f64 {
    let day = facts.judged_on(used.task);
    facts
        .timeline(used.block_ix)
        .iter()
        .filter(|e| e.day >= start && e.kinds.any(Actives::COPPER))
        .filter(|e| {
            let before = e.day < day;
            let same_day = e.day == day && e.used.is_none_or(|u| u.task.id <= used.task.id);
            before || same_day
        })
        .filter_map(|e| e.copper_kg_per_ha)
        .sum()
}

/// Seven years' metallic copper stays within what the law of the place allows.
pub fn copper_seven_years(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let orchard = &facts.season.orchard;
    if orchard.copper_regime != CopperRegime::EuSevenYears {
        return;
    }
    let start = facts.season.starts();
    let past: f64 = orchard
        .copper_past_kg_per_ha
        .iter()
        .take(6)
        .filter(|k| k.is_finite())
        .sum();
    let known = orchard.copper_past_kg_per_ha.len().min(6);
    for used in open_copper(facts) {
        let this = copper_to(facts, used, start);
        let sum = past + this;
        let level = if over(sum, EU_SEVEN_YEARS_KG_PER_HA) {
            Level::Stop
        } else if over(sum, EU_SEVEN_YEARS_KG_PER_HA * NEAR) {
            Level::Note
        } else {
            continue;
        };
        out.push(
            rule.warn(
                level,
                format!(
                    "{} brings {} to {} kg/ha of metallic copper over seven years; most is {EU_SEVEN_YEARS_KG_PER_HA}",
                    used.material.name,
                    used.block.name,
                    two(sum)
                ),
                format!(
                    "{} kg/ha in {known} past years on record, {} this season up to {}.",
                    two(past),
                    two(this),
                    used.day()
                ),
                if level == Level::Stop { "Skip a use or take another active." } else { "Little room is left; count last year's figures again." }.to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}
