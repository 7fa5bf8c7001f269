//! Open flowers: nothing is sprayed into them, nor beside them where bees fly.

use super::facts::Spray;
use super::words::percent;
use super::{Facts, Level, Rule, Warning};
use crate::domain::phenology::distribution::exceeds;
use crate::domain::season::{Block, Reading};
use chrono::{Days, NaiveDate};

/// How long a block flowers, from the first open flower on: common practice, no source.
pub const FLOWERS_FOR_DAYS: u64 = 21;
/// From this chance on flowers count as open: more likely than not.
const LIKELY: f64 = 0.5;

/// The chance that flowers are open on a block on a day; certain where they were seen.
fn open_chance(facts: &Facts<'_>, block_ix: usize, block: &Block, day: NaiveDate) -> f64 {
    let from = day.checked_sub_days(Days::new(FLOWERS_FOR_DAYS));
    let last_look = facts
        .season
        .readings
        .iter()
        .filter(|r| r.is_for(&block.id))
        .filter_map(|r| match r {
            Reading::Buds { date, bbch, .. } => Some((*date, *bbch)),
            Reading::DegreeDays { .. } | Reading::Rain { .. } => None,
        })
        .filter(|(date, _)| *date <= day && from.is_some_and(|f| *date > f))
        .max_by_key(|(date, _)| *date);
    match last_look {
        Some((_, 60..=67)) => return 1.0,
        Some((_, 68..=79)) => return 0.0,
        _ => {}
    }
    let Some(estimate) = facts.estimate_at(block_ix) else {
        return 0.0;
    };
    let over = from.map_or(0.0, |f| estimate.bloom.chance_by(f));
    estimate.bloom.chance_by(day) - over
}

/// No spray goes into open flowers; open flowers of another block bring bees to the next one.
pub fn open_flowers(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let day = facts.judged_on(spray.task);
        let mut beside: Option<(f64, &Block)> = None;
        for (ix, block) in facts.season.blocks.iter().enumerate() {
            let chance = open_chance(facts, ix, block, day);
            if spray.blocks.contains(&ix) {
                own(rule, facts, spray, (block, chance), out);
            } else if chance >= LIKELY && beside.is_none_or(|(most, _)| chance > most) {
                beside = Some((chance, block));
            }
        }
        if let Some((chance, block)) = beside {
            out.push(
                rule.warn(
                    Level::Caution,
                    format!("{} is likely in flower beside this spray", block.name),
                    format!(
                        "Chance of open flowers there on {day}: {}. Bees visit them, and drift reaches them.",
                        percent(chance)
                    ),
                    "Spray when no bees fly and no wind goes there, or wait; tell beekeepers; read the label on bees.".to_owned(),
                )
                .task(spray.task)
                .block(block),
            );
        }
    }
}

fn own(
    rule: &Rule,
    facts: &Facts<'_>,
    spray: &Spray<'_>,
    (block, chance): (&Block, f64),
    out: &mut Vec<Warning>,
) {
    let level = if chance >= LIKELY {
        Level::Stop
    } else if exceeds(chance, facts.tolerance()) {
        Level::Caution
    } else {
        return;
    };
    out.push(
        rule.warn(
            level,
            format!("flowers may be open on {}", block.name),
            format!(
                "Chance of open flowers on {}: {}.",
                facts.judged_on(spray.task),
                percent(chance)
            ),
            "Spray nothing into open flowers: move it, or leave it out.".to_owned(),
        )
        .task(spray.task)
        .block(block),
    );
}
