//! Rules on metallic copper: per use, per year, over seven years.
//!
//! Limits hold for the metal, whatever products bring it: every copper of the block counts, and
//! so do records of sprays that belong to no task of the plan. The label decides. Where it gives no figure and the orchard follows the US
//! tables, the confirmed rows of [`us_table`] stand in; for other crops no
//! figure was confirmed and the rule says so instead of guessing.

use super::facts::Use;
use super::words::{apart, over, two};
use super::{Facts, Level, Rule, Warning};
use crate::domain::materials::Actives;
use crate::domain::mix::dose;
use crate::domain::season::CopperRegime;
use crate::domain::sources;
use crate::domain::uses::copper::{self, PastYears, Sum};
pub use crate::domain::uses::copper::{
    EU_MEAN_KG_PER_HA, EU_SEVEN_YEARS_KG_PER_HA, KG_PER_HA_OF_LB_PER_ACRE, UsRow, us_table,
};

/// From this share of a limit on, the rules say that it is near.
pub const NEAR: f64 = 0.9;

fn open_copper<'f, 'a>(facts: &'f Facts<'a>) -> impl Iterator<Item = &'f Use<'a>> {
    facts.open_uses().filter(|u| u.kinds.any(Actives::COPPER))
}

/// One use carries no more metallic copper than allowed; two coppers in a tank are one use.
pub fn copper_per_use(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in open_copper(facts) {
        let by_label = used
            .material
            .label
            .max_copper_per_use
            .and_then(|r| dose::kg_per_ha(r, None))
            .map(|kg| (kg, &sources::LABEL_LIMIT));
        let by_table =
            || copper::by_table(facts, used.block.species).map(|r| (r.per_use_kg_per_ha, r.source));
        let Some((limit, source)) = by_label.or_else(by_table) else {
            continue;
        };
        let together = facts
            .timeline(used.block_ix)
            .iter()
            .filter(|e| e.used.is_some_and(|u| u.task.id == used.task.id));
        let products = together
            .clone()
            .filter(|e| e.kinds.any(Actives::COPPER))
            .count();
        let sum = Sum::of(together);
        let what = if products > 1 {
            format!("{} with the other copper of its tank", used.material.name)
        } else {
            used.material.name.clone()
        };
        let warning = if over(sum.kg_per_ha, limit) {
            let (kg, most) = apart(sum.kg_per_ha, limit);
            rule.warn(
                Level::Stop,
                format!(
                    "{what} puts {kg} kg/ha of metallic copper on {}; most in one use is {most}",
                    used.block.name
                ),
                format!(
                    "{kg} kg/ha = {} lb/acre.{}",
                    two(sum.kg_per_ha / KG_PER_HA_OF_LB_PER_ACRE),
                    sum.gap()
                ),
                "Lower the rate.".to_owned(),
            )
        } else if sum.unknown > 0 {
            rule.warn(
                Level::Note,
                format!(
                    "the metallic copper of {what} on {} cannot be worked out",
                    used.block.name
                ),
                format!("Most in one use is {} kg/ha; the metallic equivalent, rate, density, ground or spray volume is missing.", two(limit)),
                "Enter what is missing.".to_owned(),
            )
        } else {
            continue;
        };
        out.push(
            warning
                .source(source)
                .task(used.task)
                .block(used.block)
                .material(used.material),
        );
    }
}

/// A block gets no more metallic copper in a year than allowed: neither in the dormant year nor
/// in the calendar year of the use, into which sprays from petal fall on count.
pub fn copper_per_season(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in open_copper(facts) {
        let Some((limit, source)) = copper::season_limit(facts, used) else {
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
        let (sum, year, start) = copper::fuller_year(facts, used);
        let level = if over(sum.kg_per_ha, limit) {
            Level::Stop
        } else if over(sum.kg_per_ha, limit * NEAR) || sum.unknown > 0 {
            Level::Note
        } else {
            continue;
        };
        let (kg, most) = apart(sum.kg_per_ha, limit);
        let message = if over(sum.kg_per_ha, limit * NEAR) {
            format!(
                "{} brings {} to {kg} kg/ha of metallic copper this {year}; most is {most}",
                used.material.name, used.block.name
            )
        } else {
            format!(
                "the metallic copper on {} this {year} cannot be worked out; {kg} kg/ha of {most} are known",
                used.block.name
            )
        };
        let todo = match level {
            Level::Stop => "Lower a rate, skip a use, or take another active.",
            _ if sum.unknown > 0 => {
                "Enter what is missing: the metallic equivalent, the amount used, the ground."
            }
            _ => "No room for another use.",
        };
        out.push(
            rule.warn(
                level,
                message,
                format!(
                    "All coppers, done and planned, since {start} up to {}: {kg} kg/ha ({} lb/acre), {} % of the limit.{}",
                    used.day(),
                    two(sum.kg_per_ha / KG_PER_HA_OF_LB_PER_ACRE),
                    two(sum.kg_per_ha / limit * 100.0),
                    sum.gap()
                ),
                todo.to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material)
            .source(source),
        );
    }
}

/// Seven years' metallic copper stays within what the law of the place allows, on each block by
/// its own past. Years that are not entered are unknown, not nought: until they are, more than
/// the yearly mean is a caution.
pub fn copper_seven_years(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let orchard = &facts.season.orchard;
    if orchard.copper_regime != CopperRegime::EuSevenYears {
        return;
    }
    let start = facts.season.starts();
    for used in open_copper(facts) {
        let past_years = PastYears::of(orchard, used.block);
        let past = past_years.kg_per_ha();
        let missing = past_years.unknown();
        let this = copper::to(facts, used, start);
        let sum = past + this.kg_per_ha;
        let (level, message, todo) = if over(sum, EU_SEVEN_YEARS_KG_PER_HA) {
            let (kg, most) = apart(sum, EU_SEVEN_YEARS_KG_PER_HA);
            (
                Level::Stop,
                format!(
                    "{} brings {} to {kg} kg/ha of metallic copper over seven years; most is {most}",
                    used.material.name, used.block.name
                ),
                "Skip a use or take another active.",
            )
        } else if missing > 0 && over(this.kg_per_ha, EU_MEAN_KG_PER_HA) {
            let (kg, mean) = apart(this.kg_per_ha, EU_MEAN_KG_PER_HA);
            (
                Level::Caution,
                format!(
                    "{} brings {} to {kg} kg/ha of metallic copper this year, over the mean of {mean}, and {missing} of its six past years are not entered",
                    used.material.name, used.block.name
                ),
                "Enter the copper of the block's past years; until then stay within the mean.",
            )
        } else if over(sum, EU_SEVEN_YEARS_KG_PER_HA * NEAR) {
            (
                Level::Note,
                format!(
                    "{} brings {} to {} kg/ha of metallic copper over seven years; most is {EU_SEVEN_YEARS_KG_PER_HA}",
                    used.material.name,
                    used.block.name,
                    two(sum)
                ),
                "Little room is left; count last year's figures again.",
            )
        } else {
            continue;
        };
        out.push(
            rule.warn(
                level,
                message,
                format!(
                    "{} kg/ha in {} past years on record{}, {} this season up to {}.{}",
                    two(past),
                    past_years.known(),
                    if missing > 0 {
                        format!(", {missing} not known")
                    } else {
                        String::new()
                    },
                    two(this.kg_per_ha),
                    used.day(),
                    this.gap()
                ),
                todo.to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}
