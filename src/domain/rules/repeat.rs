//! Rules on repeated use: intervals and season limits of a label.

use super::words::{days, over, two};
use super::{Facts, Level, Rule, Warning};
use crate::domain::uses::count;
use crate::domain::uses::distance::{interval, same_task};
use crate::domain::uses::product::{self, Share};
use chrono::Days;
use std::cmp::Reverse;

/// Two uses of a material on a block keep the interval of its label; of two coppers, whatever
/// their products, the longer of their intervals, since it is the metal that the label spaces.
pub fn interval_too_short(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let longest = facts.longest_distance_days();
    for (block, events) in facts.timelines() {
        for (i, later) in events.iter().enumerate() {
            let before = events.iter().take(i).rev();
            let near = before.take_while(|e| (later.day - e.day).num_days() < longest);
            let too_close = near.filter_map(|earlier| {
                let (interval, material) = interval(facts, earlier, later)?;
                let open = later
                    .used
                    .filter(|u| u.is_open())
                    .or(earlier.used.filter(|u| u.is_open()))?;
                let gap = (later.day - earlier.day).num_days();
                let least = interval.whole_days();
                (gap < least).then_some((least - gap, earlier, interval, material, open))
            });
            let shortest = too_close.min_by_key(|t| Reverse(t.0));
            let Some((_, earlier, interval, material, open)) = shortest else {
                continue;
            };
            let gap = (later.day - earlier.day).num_days();
            let least = interval.whole_days();
            let free = earlier
                .day
                .checked_add_days(Days::new(least.unsigned_abs()));
            let message = if earlier.material == later.material {
                format!(
                    "{} again on {} after {}; its label wants {interval}",
                    material.name,
                    block.name,
                    days(gap)
                )
            } else {
                format!(
                    "{} on {} {} after {}; both are copper, and the label of {} wants {interval}",
                    later.name,
                    block.name,
                    days(gap),
                    earlier.name,
                    material.name
                )
            };
            out.push(
                rule.warn(
                    Level::Stop,
                    message,
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

/// A material is not used more often in a season than its label allows.
pub fn too_many_uses(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let start = facts.season.starts();
    for (block, events) in facts.timelines() {
        for (i, event) in events.iter().enumerate().filter(|(_, e)| e.day >= start) {
            // A task that names a material twice uses it once.
            let mut of_task = events
                .iter()
                .take(i)
                .rev()
                .take_while(|e| same_task(e, event));
            if of_task.any(|e| e.material == event.material) {
                continue;
            }
            let Some(used) = event.used.filter(|u| u.is_open()) else {
                continue;
            };
            let Some(most) = used.material.label.max_uses else {
                continue;
            };
            let n = count::nth_of_season(facts, &used);
            if n <= most as usize {
                continue;
            }
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

/// A block does not get more of a product in a season than its label allows. What was done
/// counts as recorded, whether the record belongs to a task of the plan or to none; a sum of
/// which a part cannot be worked out is said to be too low, never passed over.
pub fn too_much_product(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let start = facts.season.starts();
    for (block, events) in facts.timelines() {
        for event in events {
            let Some(used) = event.used.filter(|u| u.is_open()) else {
                continue;
            };
            let Some(most) = used.material.label.max_per_season else {
                continue;
            };
            // Shares of the limit, so that rates counted in any way can be added.
            let (
                _,
                Share {
                    sum: share,
                    unknown,
                },
            ) = product::of_season(facts, &used, most);
            let percent = two(share * 100.0);
            let why = format!(
                "Most in a season: {most}. Sum since {start} up to {}: {percent} % of it{}.",
                event.day,
                match unknown {
                    0 => String::new(),
                    n => format!(", without {n} uses that cannot be compared with it"),
                }
            );
            let warning = if over(share, 1.0) {
                rule.warn(
                    Level::Stop,
                    format!(
                        "{} on {} comes to {percent} % of what its label allows in a season",
                        used.material.name, block.name
                    ),
                    why,
                    "Lower the rate, skip a use, or take another material.".to_owned(),
                )
            } else if unknown > 0 {
                rule.warn(
                    Level::Note,
                    format!(
                        "what {} comes to on {} this season cannot be worked out",
                        used.material.name, block.name
                    ),
                    why,
                    "Enter the ground, the amounts used or the density, or write rates the way the label does.".to_owned(),
                )
            } else {
                continue;
            };
            out.push(warning.task(used.task).block(block).material(used.material));
        }
    }
}
