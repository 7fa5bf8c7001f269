//! Rules on metallic copper: per use, per year, over seven years.
//!
//! Limits hold for the metal, whatever products bring it: every copper of the block counts, and
//! so do records of sprays that belong to no task of the plan. The label decides. Where it gives no figure and the orchard follows the US
//! tables, the confirmed rows of [`us_table`] stand in; for other crops no
//! figure was confirmed and the rule says so instead of guessing.

use super::facts::{Event, Use};
use super::words::{apart, over, two};
use super::{Facts, Level, Rule, Warning};
use crate::domain::materials::Actives;
use crate::domain::mix::dose;
use crate::domain::phenology::species::Species;
use crate::domain::season::CopperRegime;
use crate::domain::sources::{self, Source};
use chrono::{Datelike, NaiveDate};

/// kg/ha in one lb/acre: the pound and the acre by definition.
pub const KG_PER_HA_OF_LB_PER_ACRE: f64 = 0.453_592_37 / 0.404_685_642_24;

/// Most metallic copper over seven years in the European Union, kg/ha.
pub const EU_SEVEN_YEARS_KG_PER_HA: f64 = 28.0;

/// The mean of it over the seven years, kg/ha a year.
pub const EU_MEAN_KG_PER_HA: f64 = EU_SEVEN_YEARS_KG_PER_HA / 7.0;

/// Past years that count beside the present one.
const EU_PAST_YEARS: usize = 6;

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

/// Metallic copper of some uses: what is known of it, and how many could not be worked out.
#[derive(Clone, Copy, Default)]
struct Sum {
    kg_per_ha: f64,
    unknown: usize,
}

impl Sum {
    fn of<'a>(events: impl Iterator<Item = &'a Event<'a>>) -> Self {
        let mut sum = Self::default();
        for event in events.filter(|e| e.kinds.any(Actives::COPPER)) {
            match event.copper_kg_per_ha {
                Some(kg) => sum.kg_per_ha += kg,
                None => sum.unknown += 1,
            }
        }
        sum
    }

    /// What to add where something is missing from it.
    fn gap(self) -> String {
        match self.unknown {
            0 => String::new(),
            n => format!(" Not in it: {n} uses whose copper is not known."),
        }
    }
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
            || by_table(facts, used.block.species).map(|r| (r.per_use_kg_per_ha, r.source));
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
        let (sum, year, start) = fuller_year(facts, used);
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

/// The dormant year or the calendar year of a use, whichever has more copper in it: labels say
/// "a year" and mean either.
fn fuller_year(facts: &Facts<'_>, used: &Use<'_>) -> (Sum, &'static str, NaiveDate) {
    let season = facts.season.starts();
    let year = facts.judged_on(used.task).year();
    let january = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or(season);
    let of_season = copper_to(facts, used, season);
    let of_calendar = copper_to(facts, used, january);
    let rank = |s: Sum| (s.kg_per_ha, s.unknown);
    if rank(of_calendar) > rank(of_season) {
        (of_calendar, "calendar year", january)
    } else {
        (of_season, "season", season)
    }
}

/// Metallic copper on a block's timeline from a day up to and with a use.
fn copper_to(facts: &Facts<'_>, used: &Use<'_>, start: NaiveDate) -> Sum {
    let day = facts.judged_on(used.task);
    let events = facts.timeline(used.block_ix).iter();
    Sum::of(events.filter(|e| e.day >= start).filter(|e| {
        let before = e.day < day;
        let same_day = e.day == day && e.used.is_none_or(|u| u.task.id <= used.task.id);
        before || same_day
    }))
}

/// Seven years' metallic copper stays within what the law of the place allows. Years that are
/// not entered are unknown, not nought: until they are, more than the yearly mean is a caution.
pub fn copper_seven_years(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let orchard = &facts.season.orchard;
    if orchard.copper_regime != CopperRegime::EuSevenYears {
        return;
    }
    let start = facts.season.starts();
    let past_years: Vec<f64> = orchard
        .copper_past_kg_per_ha
        .iter()
        .copied()
        .take(EU_PAST_YEARS)
        .filter(|k| k.is_finite() && *k >= 0.0)
        .collect();
    let past: f64 = past_years.iter().sum();
    let missing = EU_PAST_YEARS - past_years.len();
    for used in open_copper(facts) {
        let this = copper_to(facts, used, start);
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
                    "{} brings {} to {kg} kg/ha of metallic copper this year, over the mean of {mean}, and {missing} of six past years are not entered",
                    used.material.name, used.block.name
                ),
                "Enter the copper of the past years; until then stay within the mean.",
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
                    past_years.len(),
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
