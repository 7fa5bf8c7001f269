//! Days that two actives must be kept apart on the same trees.

use super::facts::Event;
use super::partners::in_one_tank;
use super::words::days;
use super::{Facts, Level, Rule, Warning};
use crate::domain::materials::Actives;
use crate::domain::outlook::BlockEstimate;
use crate::domain::season::TaskId;
use crate::domain::sources::Source;
use crate::domain::uses::distance::{self, same_task};
use chrono::Days;

/// Two actives that burn one after the other are kept apart, whichever task
/// or record they belong to. A label's own figure takes the place of the
/// common one, shorter or longer.
pub fn keep_apart(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let longest = facts
        .season
        .materials
        .iter()
        .flat_map(|m| m.label.keep_apart.iter().map(|k| i64::from(k.days)))
        .max()
        .unwrap_or(0)
        .max(30);
    for (block_ix, (block, events)) in facts.timelines().enumerate() {
        let estimate = facts.estimate_at(block_ix);
        for (i, later) in events.iter().enumerate() {
            let near = events
                .iter()
                .take(i)
                .rev()
                .take_while(|e| (later.day - e.day).num_days() < longest);
            let mut told: Vec<&Event<'_>> = Vec::new();
            for earlier in near {
                if earlier.material == later.material || same_task(earlier, later) {
                    continue;
                }
                // Once for each material: the nearest use of it asks the most.
                let is_nearer = |e: &&Event<'_>| {
                    let at_once = e.day == earlier.day && task_of(e) == task_of(earlier);
                    e.material == earlier.material && !at_once
                };
                if later.is_open() && told.iter().any(is_nearer) {
                    continue;
                }
                let Some(open) = later
                    .used
                    .filter(|u| u.is_open())
                    .or(earlier.used.filter(|u| u.is_open()))
                else {
                    continue;
                };
                let gap = (later.day - earlier.day).num_days();
                let Some((wanted, level, source)) =
                    wanted(facts, earlier, later, estimate).filter(|w| gap < w.0)
                else {
                    continue;
                };
                told.push(earlier);
                let free = earlier
                    .day
                    .checked_add_days(Days::new(wanted.unsigned_abs()));
                out.push(
                    rule.warn(
                        level,
                        format!(
                            "{} {} after {} on {}; {wanted} wanted",
                            later.name,
                            days(gap),
                            earlier.name,
                            block.name
                        ),
                        format!(
                            "'{}' on {} ({}) and '{}' on {} ({}).{}",
                            earlier.title(),
                            earlier.day,
                            earlier.active,
                            later.title(),
                            later.day,
                            later.active,
                            dissent(earlier.kinds | later.kinds, wanted)
                        ),
                        free.map_or_else(String::new, |d| {
                            format!("Move the later one to {d} or after; the label's own figure counts where it gives one.")
                        }),
                    )
                    .task(open.task)
                    .block(block)
                    .material(open.material)
                    .source(source),
                );
            }
        }
    }
}

fn task_of<'a>(event: &Event<'a>) -> Option<&'a TaskId> {
    event.used.map(|u| &u.task.id)
}

/// Where two sources differ on oil and sulfur, what the other one says.
fn dissent(kinds: Actives, wanted: i64) -> &'static str {
    if !(kinds.any(Actives::OIL) && kinds.any(Actives::ANY_SULFUR)) {
        return "";
    }
    match wanted {
        30 => {
            " 30 days by the University of California and in growth, 14 by the University of Georgia; the longer one holds in the West and where the place is not known."
        }
        14 => " 14 days by the University of Georgia; the University of California asks for 30.",
        _ => "",
    }
}

/// Days wanted between two uses, how grave too few are, and who says so. The second is the
/// later one.
pub(crate) fn wanted(
    facts: &Facts<'_>,
    a: &Event<'_>,
    b: &Event<'_>,
    estimate: Option<&BlockEstimate>,
) -> Option<(i64, Level, &'static Source)> {
    let apart = distance::keep_apart(facts, a, b, estimate)?;
    if apart.by_label {
        return Some((apart.days, Level::Stop, apart.source));
    }
    // On one day the second meets the first still wet: as in one tank.
    let met = (a.day == b.day)
        .then(|| in_one_tank(a.kinds, b.kinds))
        .flatten()
        .filter(|(level, _)| *level == Level::Stop);
    Some(match met {
        Some((level, source)) => (apart.days, level, source),
        None => (apart.days, Level::Caution, apart.source),
    })
}
