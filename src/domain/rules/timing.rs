//! Rules on when in the dormant year a spray falls.

use super::deadline::Limit;
use super::facts::Use;
use super::words::{capital, percent, range};
use super::{Facts, Level, Rule, Warning};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::season::Block;
use chrono::{Days, NaiveDate};
use std::collections::HashMap;

/// One spray judged against the stage that ends its window.
struct Judged {
    level: Level,
    chance: f64,
    chance_guarded: f64,
}

/// Chances are held in single precision: equal is not above.
pub(crate) fn exceeds(chance: f64, tolerance: f64) -> bool {
    chance > tolerance + 1e-6
}

fn guarded(facts: &Facts<'_>, block: &Block, date: NaiveDate) -> NaiveDate {
    date.checked_add_days(Days::new(u64::from(facts.guard_days(block))))
        .unwrap_or(date)
}

fn judge(facts: &Facts<'_>, block: &Block, date: NaiveDate, stage: &StageDate) -> Option<Judged> {
    let tolerance = facts.tolerance();
    let chance = stage.chance_by(date);
    let chance_guarded = stage.chance_by(guarded(facts, block, date));
    let level = if exceeds(chance, tolerance) {
        Level::Stop
    } else if exceeds(chance_guarded, tolerance) {
        Level::Caution
    } else {
        return None;
    };
    Some(Judged {
        level,
        chance,
        chance_guarded,
    })
}

fn report(
    facts: &Facts<'_>,
    rule: &Rule,
    used: &Use<'_>,
    (message, stage_words): (String, &str),
    (limit, stage): (Limit<'_>, &StageDate),
    judged: &Judged,
) -> Warning {
    let guard = facts.guard_days(used.block);
    let limit = limit.in_words(used);
    let last_safe = stage.last_safe(facts.tolerance(), guard);
    let why = format!(
        "{}. {stage_words} on {}: {}. Chance by {}: {}; with {guard} guard days: {}; tolerance {}. Last safe day {last_safe}.",
        capital(&limit.because),
        used.block.name,
        range(stage),
        used.task.date,
        percent(judged.chance),
        percent(judged.chance_guarded),
        percent(facts.tolerance()),
    );
    let todo = if last_safe >= facts.today {
        format!("Spray on or before {last_safe}, or look at the buds and enter what you see.")
    } else {
        "The last safe day has passed: look at the buds before anything else and enter what you see; if they are still tight the range moves later.".to_owned()
    };
    rule.warn(judged.level, message, why, todo)
        .task(used.task)
        .block(used.block)
        .material(used.material)
        .source(limit.source)
}

/// A use that wants bare wood must not fall where buds may already swell.
pub fn too_close_to_swell(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.open_uses() {
        let Some(estimate) = used.estimate else {
            continue;
        };
        let limit = Limit::of(facts, used);
        if limit.bbch() > 51 {
            continue;
        }
        let stage = &estimate.swell;
        if let Some(judged) = judge(facts, used.block, used.task.date, stage) {
            let close = if judged.level == Level::Stop {
                "too close to"
            } else {
                "close to"
            };
            let message = format!(
                "{} on {} falls {close} bud swell",
                used.material.name, used.block.name
            );
            out.push(report(
                facts,
                rule,
                used,
                (message, "First swell"),
                (limit, stage),
                &judged,
            ));
        }
    }
}

/// A use allowed beyond swell must still be over by its own last stage.
pub fn past_stage_limit(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let mut stages: HashMap<(usize, u8), StageDate> = HashMap::new();
    for used in facts.open_uses() {
        let Some(estimate) = used.estimate else {
            continue;
        };
        let limit = Limit::of(facts, used);
        let bbch = limit.bbch();
        if bbch <= 51 {
            continue;
        }
        // A stage is never likelier reached than the one before it, so most uses end here
        // without its distribution being made.
        let before = match bbch {
            52 | 53 => &estimate.swell,
            54..=60 => &estimate.burst,
            _ => &estimate.bloom,
        };
        let latest = guarded(facts, used.block, used.task.date);
        if !exceeds(before.chance_by(latest), facts.tolerance()) {
            continue;
        }
        let stage = stages
            .entry((used.block_ix, bbch))
            .or_insert_with(|| estimate.at_bbch(bbch));
        if let Some(judged) = judge(facts, used.block, used.task.date, stage) {
            let words = if judged.level == Level::Stop {
                "may be past"
            } else {
                "comes close to"
            };
            let message = format!(
                "{} on {} {words} its last stage, BBCH {bbch}",
                used.material.name, used.block.name
            );
            out.push(report(
                facts,
                rule,
                used,
                (message, &format!("BBCH {bbch}")),
                (limit, stage),
                &judged,
            ));
        }
    }
}

/// A dormant spray waits until the leaves are down.
pub fn before_leaf_drop(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.open_uses() {
        // BBCH 97 is "all leaves fallen"; a label with an earlier first stage allows leaves on.
        let leaves_on = used
            .material
            .label
            .first_stage
            .is_some_and(|s| (91..97).contains(&s));
        let (drop, seen) = facts.season.leaf_drop(used.block);
        if leaves_on || used.task.date >= drop {
            continue;
        }
        let early = (drop - used.task.date).num_days();
        out.push(
            rule.warn(
                if seen { Level::Stop } else { Level::Caution },
                format!(
                    "{} on {} comes before the leaves are down",
                    used.material.name, used.block.name
                ),
                format!(
                    "Planned {}, leaf drop {} {drop}: {early} days early.",
                    used.task.date,
                    if seen { "seen" } else { "expected" }
                ),
                format!("Move it to {drop} or later, or enter when the leaves were down."),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}
