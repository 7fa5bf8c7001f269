//! Rules on repeated use: intervals and season limits of a label.

use super::facts::Event;
use super::words::{days, over, two};
use super::{Facts, Level, Rule, Warning};
use crate::domain::mix::dose;
use crate::domain::season::{Material, TaskId};
use chrono::Days;
use std::collections::HashMap;

/// Two uses of a material on a block keep the interval of its label.
pub fn interval_too_short(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for (block, events) in facts.timelines() {
        for (i, later) in events.iter().enumerate() {
            let Some((interval, material)) = wanted(facts, later) else {
                continue;
            };
            let earlier = events
                .iter()
                .take(i)
                .rev()
                .find(|e| e.material == later.material && !same_task(e, later));
            let Some(earlier) = earlier else { continue };
            let Some(open) = later
                .used
                .filter(|u| u.is_open())
                .or(earlier.used.filter(|u| u.is_open()))
            else {
                continue;
            };
            let gap = (later.day - earlier.day).num_days();
            let least = interval.whole_days();
            if gap >= least {
                continue;
            }
            let free = earlier
                .day
                .checked_add_days(Days::new(least.unsigned_abs()));
            out.push(
                rule.warn(
                    Level::Stop,
                    format!(
                        "{} again on {} after {}; its label wants {interval}",
                        material.name,
                        block.name,
                        days(gap)
                    ),
                    format!(
                        "'{}' on {} and '{}' on {}: {} between, {least} wanted.",
                        earlier.title(),
                        earlier.day,
                        later.title(),
                        later.day,
                        days(gap)
                    ),
                    free.map_or_else(String::new, |d| {
                        format!("Move the later one to {d} or after.")
                    }),
                )
                .task(open.task)
                .block(block)
                .material(material),
            );
        }
    }
}

fn wanted<'a>(
    facts: &Facts<'a>,
    event: &Event<'a>,
) -> Option<(crate::domain::units::Span, &'a Material)> {
    let material = event.used.map(|u| u.material).or_else(|| {
        facts
            .season
            .materials
            .iter()
            .find(|m| m.id.as_str() == event.material)
    })?;
    Some((material.label.interval?, material))
}

pub(super) fn same_task(a: &Event<'_>, b: &Event<'_>) -> bool {
    match (a.used, b.used) {
        (Some(a), Some(b)) => a.task.id == b.task.id,
        _ => false,
    }
}

/// A material is not used more often in a season than its label allows.
pub fn too_many_uses(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let start = facts.season.starts();
    let mut counts: HashMap<&str, (usize, Option<&TaskId>)> = HashMap::new();
    for (block, events) in facts.timelines() {
        counts.clear();
        for event in events.iter().filter(|e| e.day >= start) {
            let task = event.used.map(|u| &u.task.id);
            let (count, last) = counts.entry(event.material).or_default();
            // A task that names a material twice uses it once.
            if task.is_some() && *last == task {
                continue;
            }
            *count += 1;
            *last = task;
            let n = *count;
            let Some(used) = event.used.filter(|u| u.is_open()) else {
                continue;
            };
            let Some(most) = used.material.label.max_uses.filter(|m| n > *m as usize) else {
                continue;
            };
            out.push(
                rule.warn(
                    Level::Stop,
                    format!(
                        "{} on {}: use {n} of this season; its label allows {most}",
                        used.material.name, block.name
                    ),
                    format!(
                        "Uses since {start}, done and planned, up to {}: {n}; most {most}.",
                        event.day
                    ),
                    "Skip it, or take another material that controls the same.".to_owned(),
                )
                .task(used.task)
                .block(block)
                .material(used.material),
            );
        }
    }
}

/// A block does not get more of a product in a season than its label allows.
pub fn too_much_product(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let start = facts.season.starts();
    for (block, events) in facts.timelines() {
        for (i, event) in events.iter().enumerate() {
            let Some(used) = event.used.filter(|u| u.is_open()) else {
                continue;
            };
            let Some(most) = used.material.label.max_per_season else {
                continue;
            };
            // Shares of the limit, so that rates counted in any way can be added.
            let sum: Option<f64> = events
                .iter()
                .take(i + 1)
                .filter(|e| e.day >= start && e.material == event.material)
                .filter_map(|e| e.used)
                .map(|u| {
                    let rate = dose::rate_of(u.part.rate, u.material)?;
                    dose::rate_ratio(rate, most, u.ground, u.material.density_kg_per_l)
                })
                .sum();
            let Some(share) = sum else {
                continue;
            };
            if !over(share, 1.0) {
                continue;
            }
            out.push(
                rule.warn(
                    Level::Stop,
                    format!(
                        "{} on {} comes to {} % of what its label allows in a season",
                        used.material.name,
                        block.name,
                        two(share * 100.0)
                    ),
                    format!(
                        "Most in a season: {most}. Sum since {start} up to {}: {} % of it.",
                        event.day,
                        two(share * 100.0)
                    ),
                    "Lower the rate, skip a use, or take another material.".to_owned(),
                )
                .task(used.task)
                .block(block)
                .material(used.material),
            );
        }
    }
}
