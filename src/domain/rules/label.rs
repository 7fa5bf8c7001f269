//! Rules on what labels say about repeated use and about being read.

use super::{Facts, Level, Rule, Warning};
use chrono::Days;
use std::collections::BTreeSet;

/// Two uses of a material on a block keep the interval of its label.
pub fn interval_too_short(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let mut uses = facts.uses();
    uses.sort_by(|a, b| {
        a.task
            .day()
            .cmp(&b.task.day())
            .then_with(|| a.task.id.cmp(&b.task.id))
    });
    for (i, later) in uses.iter().enumerate() {
        let Some(interval) = later.material.label.interval else {
            continue;
        };
        let earlier = uses.iter().take(i).rev().find(|u| {
            u.block.id == later.block.id
                && u.material.id == later.material.id
                && u.task.id != later.task.id
        });
        let Some(earlier) = earlier else { continue };
        let open = if later.task.state.is_open() {
            later.task
        } else if earlier.task.state.is_open() {
            earlier.task
        } else {
            continue;
        };
        let gap = (later.task.day() - earlier.task.day()).num_days();
        let wanted = interval.whole_days();
        if gap >= wanted {
            continue;
        }
        let free = earlier
            .task
            .day()
            .checked_add_days(Days::new(wanted.unsigned_abs()));
        out.push(Warning {
            rule: rule.id,
            level: Level::Stop,
            task: Some(open.id.clone()),
            block: Some(later.block.id.clone()),
            material: Some(later.material.id.clone()),
            message: format!(
                "{} again on {} after {gap} days; its label wants {interval}",
                later.material.name, later.block.name
            ),
            why: format!(
                "'{}' on {} and '{}' on {}: {gap} days between, {wanted} wanted.",
                earlier.task.title,
                earlier.task.day(),
                later.task.title,
                later.task.day()
            ),
            todo: free.map_or_else(String::new, |d| {
                format!("Move the later one to {d} or after.")
            }),
            source: rule.source,
        });
    }
}

/// A label is read in the season it is used in.
pub fn label_not_read(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let start = facts.season.starts();
    let mut told = BTreeSet::new();
    for task in facts.open_sprays() {
        for material in facts.materials_of(task) {
            let read = material.label.read_on;
            if read.is_some_and(|d| d >= start)
                || !told.insert((task.id.clone(), material.id.clone()))
            {
                continue;
            }
            out.push(Warning {
                rule: rule.id,
                level: Level::Caution,
                task: Some(task.id.clone()),
                block: None,
                material: Some(material.id.clone()),
                message: format!("the label of {} was not read this season", material.name),
                why: read.map_or_else(
                    || "No day is noted on which it was read.".to_owned(),
                    |d| format!("Last read {d}; this season counts from {start}."),
                ),
                todo: "Read it (crop, rates, limits, gear, re-entry), correct what differs here, and note the day.".to_owned(),
                source: rule.source,
            });
        }
    }
}
