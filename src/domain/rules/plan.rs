//! Rules on the plan itself.

use super::{Facts, Level, Rule, Warning};
use crate::domain::season::{Lane, Task};
use crate::domain::window::WindowState;

/// An open task past its day wants a decision.
pub fn overdue(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    // Where its window has closed that is said instead.
    let closed = |task: &Task| {
        facts
            .windows()
            .of(&task.id)
            .is_some_and(|w| w.standing(facts.today) == WindowState::Closed)
    };
    for task in facts
        .season
        .tasks
        .iter()
        .filter(|t| t.state.is_open() && t.date < facts.today && !closed(t))
    {
        let late = (facts.today - task.date).num_days();
        let optional = task.lane == Lane::MidWinter;
        out.push(Warning {
            rule: rule.id,
            level: if optional {
                Level::Note
            } else {
                Level::Caution
            },
            task: Some(task.id.clone()),
            block: None,
            material: None,
            target: None,
            message: format!(
                "overdue by {late} {}",
                if late == 1 { "day" } else { "days" }
            ),
            why: format!("Planned {}, today {}.", task.date, facts.today),
            todo: if optional {
                "Move it, or skip it: this lane is optional.".to_owned()
            } else {
                "Move it, mark it done, or skip it.".to_owned()
            },
            source: rule.source,
        });
    }
}

/// Every block has a spray before swell, or its owner should know that it has none.
pub fn critical_lane_empty(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let mut covered = vec![false; facts.season.blocks.len()];
    for spray in facts.all_sprays() {
        for ix in &spray.blocks {
            if let Some(c) = covered.get_mut(*ix) {
                *c |= spray.task.lane == Lane::BeforeSwell;
            }
        }
    }
    for (ix, block) in facts.season.blocks.iter().enumerate() {
        let Some(estimate) = facts.estimate_at(ix) else {
            continue;
        };
        if covered.get(ix) == Some(&true) {
            continue;
        }
        let last = estimate
            .swell
            .last_safe(facts.tolerance(), facts.guard_days(block));
        let open = last >= facts.today;
        out.push(Warning {
            rule: rule.id,
            level: if open { Level::Caution } else { Level::Note },
            task: None,
            block: Some(block.id.clone()),
            material: None,
            target: None,
            message: format!("no spray before swell is planned for {}", block.name),
            why: format!(
                "Swell {}, 80 % between {} and {}; last safe day {last}.",
                estimate.swell.p50(),
                estimate.swell.p10(),
                estimate.swell.p90()
            ),
            todo: if open {
                "Plan one, or quieten this if nothing overwintered here.".to_owned()
            } else {
                "Its last safe day has passed; look at the buds before planning anything."
                    .to_owned()
            },
            source: rule.source,
        });
    }
}

/// A spray names what goes into the tank.
pub fn spray_without_material(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for spray in facts.all_sprays() {
        if !spray.is_open() || !spray.parts.is_empty() {
            continue;
        }
        out.push(
            rule.warn(
                Level::Note,
                "no material is chosen".to_owned(),
                "Nothing can be checked or reckoned for this spray.".to_owned(),
                "Choose what goes into the tank.".to_owned(),
            )
            .task(spray.task),
        );
    }
}
