//! Rules on what a spray is against, and on what nothing is done about.

use super::words::days;
use super::{Facts, Level, Rule, Warning};
use crate::domain::coverage;
use crate::domain::targets::{self, Control, Need};

/// A spray carries something that works on its targets.
pub fn wrong_active(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        for view in spray
            .targets
            .iter()
            .filter(|v| v.control() != Control::None)
        {
            if spray.parts.is_empty() || spray.parts.iter().any(|p| facts.works(view, p.3)) {
                continue;
            }
            out.push(
                rule.warn(
                    Level::Caution,
                    format!("nothing in '{}' works on {}", spray.task.title, view.name()),
                    format!("What works when dormant: {}.", view.actives().join(", ")),
                    "Add or change a material, or take the target off the task.".to_owned(),
                )
                .task(spray.task)
                .source(view.source()),
            );
        }
    }
}

/// No dormant spray is wasted on what it does not control.
pub fn not_controllable(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        for view in spray
            .targets
            .iter()
            .filter(|v| v.control() == Control::None)
        {
            let other = view.sanitation().first().map_or("", |s| s.words);
            out.push(
                rule.warn(
                    Level::Caution,
                    format!("a dormant spray does not control {}", view.name()),
                    view.caveat().to_owned(),
                    format!("Take it off the task. {other}")
                        .trim_end()
                        .to_owned(),
                )
                .task(spray.task)
                .source(view.source()),
            );
        }
    }
}

/// What was seen on a block has an effective spray in its window.
pub fn target_uncovered(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let season = facts.season;
    for (ix, block) in season.blocks.iter().enumerate() {
        for seen in coverage::sightings(block, &season.season) {
            let Some(view) = facts.target(seen.target.as_str()) else {
                continue;
            };
            let need = targets::need_on(&view, seen, &season.season, block.species);
            if view.control() == Control::None
                || need == Need::NotNeeded
                || !view.lives_on(block.species)
                || coverage::is_covered(facts, ix, &view)
            {
                continue;
            }
            let closes = coverage::closes(facts, ix, &view);
            let left = closes.map(|d| (d - facts.today).num_days());
            let before_swell = view.last_stage().is_some_and(|(s, _)| s <= 51);
            let level = match left {
                Some(n) if n < 0 => Level::Note,
                _ if need == Need::LookAgain => Level::Note,
                _ => Level::Caution,
            };
            let window = match (closes, left) {
                (Some(d), Some(n)) if n < 0 => format!("its window closed on {d}"),
                (Some(d), Some(n)) if n <= coverage::CLOSING_DAYS => {
                    format!("its window is closing: last safe day {d}, in {}", days(n))
                }
                (Some(d), _) => format!("last safe day {d}"),
                _ => "no estimate tells when its window closes".to_owned(),
            };
            let only = if before_swell {
                " can only be stopped before swell;"
            } else {
                ":"
            };
            out.push(
                rule.warn(
                    level,
                    format!(
                        "{} on {}{only} nothing effective is planned",
                        view.name(),
                        block.name
                    ),
                    format!(
                        "Seen {} ({}). What works: {}; {window}.",
                        seen.season,
                        need.words(),
                        view.actives().join(", ")
                    ),
                    match level {
                        Level::Note if left.is_some_and(|n| n < 0) => {
                            "Too late for this season: look at the buds, and note it for the next."
                        }
                        _ if need == Need::LookAgain => "Look at more before deciding.",
                        _ => "Plan a spray that works, or quieten this with your reason if it is left alone.",
                    }
                    .to_owned(),
                )
                .block(block)
                .target(&seen.target)
                .source(view.source()),
            );
        }
    }
}
