//! Rules on when in the dormant year a spray falls.

use super::deadline::deadline;
use super::{Facts, Level, Rule, Warning};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::season::{Block, Material, Task};
use chrono::{Days, NaiveDate};

/// Chance as people read it: whole percent, never a false 0 or 100.
fn percent(chance: f64) -> String {
    match (chance * 100.0).round() {
        p if p < 1.0 && chance > 0.0 => "under 1 %".to_owned(),
        p if p > 99.0 && chance < 1.0 => "over 99 %".to_owned(),
        p => format!("{p} %"),
    }
}

fn range(date: &StageDate) -> String {
    format!(
        "{}, 80 % between {} and {}",
        date.p50(),
        date.p10(),
        date.p90()
    )
}

/// One spray judged against the stage that ends its window.
struct Judged {
    level: Level,
    chance: f64,
    chance_guarded: f64,
    last_safe: NaiveDate,
}

fn judge(facts: &Facts<'_>, block: &Block, date: NaiveDate, stage: &StageDate) -> Option<Judged> {
    let guard = facts.guard_days(block);
    let tolerance = facts.tolerance();
    let chance = stage.chance_by(date);
    let guarded = date
        .checked_add_days(Days::new(u64::from(guard)))
        .unwrap_or(date);
    let chance_guarded = stage.chance_by(guarded);
    let level = if chance > tolerance {
        Level::Stop
    } else if chance_guarded > tolerance {
        Level::Caution
    } else {
        return None;
    };
    Some(Judged {
        level,
        chance,
        chance_guarded,
        last_safe: stage.last_safe(tolerance, guard),
    })
}

struct Finding<'a> {
    task: &'a Task,
    block: &'a Block,
    material: &'a Material,
    message: String,
    because: String,
    stage_words: String,
    stage: &'a StageDate,
    source: &'static crate::domain::sources::Source,
}

fn report(
    facts: &Facts<'_>,
    rule: &Rule,
    finding: Finding<'_>,
    judged: &Judged,
    out: &mut Vec<Warning>,
) {
    let Finding {
        task,
        block,
        material,
        message,
        because,
        stage_words,
        stage,
        source,
    } = finding;
    let guard = facts.guard_days(block);
    let why = format!(
        "{because}. {stage_words} on {}: {}. Chance by {}: {}; with {guard} guard days: {}; tolerance {}. Last safe day {}.",
        block.name,
        range(stage),
        task.date,
        percent(judged.chance),
        percent(judged.chance_guarded),
        percent(facts.tolerance()),
        judged.last_safe,
    );
    let todo = if judged.last_safe >= facts.today {
        format!(
            "Spray on or before {}, or look at the buds and enter what you see.",
            judged.last_safe
        )
    } else {
        "The last safe day has passed: look at the buds before anything else and enter what you see; if they are still tight the range moves later.".to_owned()
    };
    out.push(Warning {
        rule: rule.id,
        level: judged.level,
        task: Some(task.id.clone()),
        block: Some(block.id.clone()),
        material: Some(material.id.clone()),
        message,
        why,
        todo,
        source,
    });
}

/// A use that wants bare wood must not fall where buds may already swell.
pub fn too_close_to_swell(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.uses().into_iter().filter(|u| u.task.state.is_open()) {
        let limit = deadline(facts.season, used);
        let Some(estimate) = facts.estimate(used.block) else {
            continue;
        };
        if !limit.is_before_swell() {
            continue;
        }
        let stage = &estimate.swell;
        if let Some(judged) = judge(facts, used.block, used.task.date, stage) {
            let close = if judged.level == Level::Stop {
                "too close to"
            } else {
                "close to"
            };
            report(
                facts,
                rule,
                Finding {
                    task: used.task,
                    block: used.block,
                    material: used.material,
                    message: format!(
                        "{} on {} falls {close} bud swell",
                        used.material.name, used.block.name
                    ),
                    because: limit.because,
                    stage_words: "First swell".to_owned(),
                    stage,
                    source: limit.source,
                },
                &judged,
                out,
            );
        }
    }
}

/// A use allowed beyond swell must still be over by its own last stage.
pub fn past_stage_limit(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.uses().into_iter().filter(|u| u.task.state.is_open()) {
        let limit = deadline(facts.season, used);
        let Some(estimate) = facts.estimate(used.block) else {
            continue;
        };
        if limit.is_before_swell() {
            continue;
        }
        let stage = estimate.at_bbch(limit.bbch);
        if let Some(judged) = judge(facts, used.block, used.task.date, &stage) {
            let words = if judged.level == Level::Stop {
                "may be past"
            } else {
                "comes close to"
            };
            report(
                facts,
                rule,
                Finding {
                    task: used.task,
                    block: used.block,
                    material: used.material,
                    message: format!(
                        "{} on {} {words} its last stage, BBCH {}",
                        used.material.name, used.block.name, limit.bbch
                    ),
                    because: limit.because,
                    stage_words: format!("BBCH {}", limit.bbch),
                    stage: &stage,
                    source: limit.source,
                },
                &judged,
                out,
            );
        }
    }
}

/// A dormant spray waits until the leaves are down.
pub fn before_leaf_drop(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.uses().into_iter().filter(|u| u.task.state.is_open()) {
        // BBCH 97 is "all leaves fallen"; a label with an earlier first stage allows leaves on.
        if used
            .material
            .label
            .first_stage
            .is_some_and(|s| (91..97).contains(&s))
        {
            continue;
        }
        let (drop, seen) = facts.season.leaf_drop(used.block);
        if used.task.date >= drop {
            continue;
        }
        let early = (drop - used.task.date).num_days();
        out.push(Warning {
            rule: rule.id,
            level: if seen { Level::Stop } else { Level::Caution },
            task: Some(used.task.id.clone()),
            block: Some(used.block.id.clone()),
            material: Some(used.material.id.clone()),
            message: format!(
                "{} on {} comes before the leaves are down",
                used.material.name, used.block.name
            ),
            why: format!(
                "Planned {}, leaf drop {} {drop}: {early} days early.",
                used.task.date,
                if seen { "seen" } else { "expected" }
            ),
            todo: format!("Move it to {drop} or later, or enter when the leaves were down."),
            source: rule.source,
        });
    }
}
