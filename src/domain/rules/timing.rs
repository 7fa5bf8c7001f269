//! Rules on when in the dormant year a spray falls: its window.

use super::words::{capital, day, days, percent, range};
use super::{Facts, Level, Rule, Warning};
use crate::domain::phenology::distribution::{StageDate, exceeds};
use crate::domain::season::TargetId;
use crate::domain::targets::TargetView;
use crate::domain::uses::Spray;
use crate::domain::window::{self, last_safe_against};
use crate::domain::window::{
    By, Edge, EdgeKind, Purpose, WindowState, closes_because, stage_words,
};
use chrono::NaiveDate;

/// What is planned, or how late it is.
fn planned(facts: &Facts<'_>, purpose: &Purpose<'_>) -> String {
    let date = purpose.used.task.date;
    match (facts.today - date).num_days() {
        late if late > 0 => format!("{} late", days(late)),
        _ => format!("planned {}", day(date)),
    }
}

/// Stage, range, chances and what is accepted.
fn numbers(facts: &Facts<'_>, purpose: &Purpose<'_>, edge: &Edge<'_>, stage: &StageDate) -> String {
    let on = purpose.judged_on;
    let used = &purpose.used;
    let guard = facts.guard_days(used.block);
    let guarded = on
        .checked_add_days(chrono::Days::new(u64::from(guard)))
        .unwrap_or(on);
    let with_guard = if purpose.limit.is_before_swell() {
        format!(
            "; within {guard} guard days after it: {}",
            against(stage.chance_by(guarded), facts.tolerance())
        )
    } else {
        String::new()
    };
    format!(
        "{}. {} on {}: {}. Chance by {}: {}{with_guard}; you accept {}. Last safe day {}.",
        capital(&closes_because(edge, Some(used.material))),
        capital(&stage_words(purpose.limit.bbch)),
        used.block.name,
        range(stage),
        day(on),
        against(stage.chance_by(on), facts.tolerance()),
        percent(facts.tolerance()),
        day(edge.day),
    )
}

/// A chance beside the one that is accepted: what is over it never reads as equal to it.
fn against(chance: f64, accepted: f64) -> String {
    let text = percent(chance);
    if exceeds(chance, accepted) && text == percent(accepted) {
        format!("just over {text}")
    } else {
        text
    }
}

/// What else the material may still be sprayed against on this block today.
fn still_open<'a>(facts: &Facts<'a>, purpose: &Purpose<'a>) -> Option<(&'a str, NaiveDate)> {
    let used = &purpose.used;
    let seen = used.block.seen.iter().map(|s| &s.target);
    let named = used.task.targets.iter();
    named
        .chain(seen)
        .filter_map(|id: &TargetId| facts.target(id.as_str()))
        .filter_map(|view: TargetView<'a>| {
            let last = last_safe_against(facts, used, view)?;
            (last >= facts.today).then_some((view.name(), last))
        })
        .max_by_key(|(_, last)| *last)
}

fn cure(facts: &Facts<'_>, purpose: &Purpose<'_>, last_safe: NaiveDate) -> String {
    if last_safe >= facts.today {
        return format!(
            "Spray by {}, or look at the buds and add what you see.",
            day(last_safe)
        );
    }
    let now = match still_open(facts, purpose) {
        Some((name, last)) => format!(
            "Too late for this. Against {name} alone it may still go on until {}: change the targets",
            day(last)
        ),
        None => "Skip it and say why: the plan of next season keeps the reason".to_owned(),
    };
    format!("{now}. If the buds are still tight, add that look: the range moves later.")
}

/// One purpose whose window a stage has closed.
fn closed(
    rule: &Rule,
    facts: &Facts<'_>,
    purpose: &Purpose<'_>,
    what: impl Fn(&Edge<'_>) -> String,
) -> Option<Warning> {
    let edge = purpose.window.closes?;
    if purpose.judged_on <= edge.day || purpose.state != WindowState::Closed {
        return None;
    }
    let used = &purpose.used;
    let stage = facts.stage(used.block_ix, purpose.limit.bbch)?;
    Some(
        rule.warn(
            Level::Stop,
            what(&edge),
            numbers(facts, purpose, &edge, stage),
            cure(facts, purpose, edge.day),
        )
        .task(used.task)
        .block(used.block)
        .material(used.material)
        .source(edge.source()),
    )
}

/// A use that needs bare wood must be on by the last safe day before swell.
pub fn too_close_to_swell(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for purpose in facts.windows().purposes() {
        if !purpose.limit.is_before_swell() {
            continue;
        }
        out.extend(closed(rule, facts, purpose, |edge| {
            format!(
                "Too late before swell: {} on {}, {}, last safe day {}",
                purpose.used.material.name,
                purpose.used.block.name,
                planned(facts, purpose),
                day(edge.day)
            )
        }));
    }
    no_tank_in_time(rule, facts, true, out);
}

/// A use allowed beyond swell must still be over by its own last stage.
pub fn past_stage_limit(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for purpose in facts.windows().purposes() {
        if purpose.limit.is_before_swell() {
            continue;
        }
        let used = &purpose.used;
        let stop = closed(rule, facts, purpose, |edge| {
            format!(
                "Too late: {} on {}, {}, last safe day {}",
                used.material.name,
                used.block.name,
                planned(facts, purpose),
                day(edge.day)
            )
        });
        if stop.is_some() {
            out.extend(stop);
            continue;
        }
        out.extend(disputed(rule, facts, purpose));
    }
    no_tank_in_time(rule, facts, false, out);
}

/// A spray whose tank is not chosen yet has the windows of its targets: too late is too late.
fn no_tank_in_time(rule: &Rule, facts: &Facts<'_>, swell: bool, out: &mut Vec<Warning>) {
    let open = |s: &&Spray<'_>| s.task.state.is_open() && s.parts.is_empty();
    for spray in facts.all_sprays().iter().filter(open) {
        let judged_on = facts.judged_on(spray.task);
        for &block_ix in &spray.blocks {
            let Some(block) = facts.season.blocks.get(block_ix) else {
                continue;
            };
            let first = window::of_targets_alone(facts, spray, block_ix)
                .filter_map(|w| w.closes)
                .filter_map(|edge| match edge.kind {
                    EdgeKind::Stage { bbch, .. } => Some((edge, bbch)),
                    _ => None,
                })
                .min_by_key(|(edge, bbch)| (edge.day, *bbch));
            let Some((edge, bbch)) = first else { continue };
            if judged_on <= edge.day || (bbch <= 51) != swell {
                continue;
            }
            out.push(
                rule.warn(
                    Level::Stop,
                    format!(
                        "Too late: {} on {}, last safe day {}",
                        spray.task.title,
                        block.name,
                        day(edge.day)
                    ),
                    format!("{}.", capital(&closes_because(&edge, None))),
                    "Choose what its label still allows at this stage, or skip it and say why: the plan of next season keeps the reason.".to_owned(),
                )
                .task(spray.task)
                .block(block)
                .source(edge.source()),
            );
        }
    }
}

/// Common practice ends earlier than the target's own row: both are said.
fn disputed(rule: &Rule, facts: &Facts<'_>, purpose: &Purpose<'_>) -> Option<Warning> {
    let until = purpose.practice_until.filter(|d| purpose.judged_on > *d)?;
    let stage = purpose.limit.practice?;
    let used = &purpose.used;
    let edge = purpose.window.closes?;
    let by = match edge.kind {
        EdgeKind::Stage {
            by: By::Target(view, _),
            ..
        } => format!("Against {}", view.name()),
        _ => format!("On {}", used.block.species.words()),
    };
    Some(
        rule.warn(
            Level::Caution,
            format!(
                "Handbooks differ: {} on {} after {}, {}",
                used.material.name,
                used.block.name,
                stage_words(stage),
                planned(facts, purpose)
            ),
            format!(
                "{by} it may go on until {} ({}). Other handbooks end it before {}: last safe day {}. Your label gives no last stage.",
                day(edge.day),
                edge.source().line(),
                stage_words(stage),
                day(until)
            ),
            "Read the label: its last stage decides. Enter it with the label.".to_owned(),
        )
        .task(used.task)
        .block(used.block)
        .material(used.material)
        .source(&crate::domain::sources::OIL_LAST_STAGE_STRICT),
    )
}

/// A dormant spray waits until the leaves are down, or as far down as its label or target asks.
pub fn before_leaf_drop(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for purpose in facts.windows().purposes() {
        let Some(edge) = purpose.leaves.filter(|e| purpose.judged_on < e.day) else {
            continue;
        };
        let (level, what) = match edge.kind {
            EdgeKind::LeafDrop { seen: true } => (Level::Stop, "leaf drop, seen".to_owned()),
            EdgeKind::LeafDrop { seen: false } => {
                (Level::Caution, "leaf drop, expected".to_owned())
            }
            EdgeKind::Leaves { bbch } => {
                (Level::Caution, format!("{}, expected", stage_words(bbch)))
            }
            _ => continue,
        };
        let used = &purpose.used;
        let early = (edge.day - purpose.judged_on).num_days();
        out.push(
            rule.warn(
                level,
                format!(
                    "Too early: {} on {} {} before {}",
                    used.material.name,
                    used.block.name,
                    days(early),
                    what.split(',').next().unwrap_or_default()
                ),
                format!("Planned {}; {what} {}.", day(used.task.date), day(edge.day)),
                format!(
                    "Move it to {} or later, or add the day of leaf drop.",
                    day(edge.day)
                ),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material)
            .source(edge.source()),
        );
    }
}

/// A spray that works only from a stage on, or better the later it comes, is not wasted early.
pub fn too_early(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for purpose in facts.windows().purposes() {
        let Some(edge) = purpose.window.opens.filter(|_| {
            let leaves_on = purpose.leaves.is_some_and(|l| purpose.judged_on < l.day);
            purpose.state == WindowState::NotYet && !leaves_on
        }) else {
            continue;
        };
        let used = &purpose.used;
        let (level, because) = match edge.kind {
            EdgeKind::Stage {
                bbch,
                by: By::Label,
            } => (
                Level::Stop,
                format!(
                    "The label allows {} from {}",
                    used.material.name,
                    stage_words(bbch)
                ),
            ),
            EdgeKind::Stage {
                bbch,
                by: By::Target(view, _),
            } => (
                Level::Caution,
                format!(
                    "Against {} it works from {} on",
                    view.name(),
                    stage_words(bbch)
                ),
            ),
            EdgeKind::LateWinter => (
                Level::Caution,
                "Before swell, the later the better, with days in hand for weather".to_owned(),
            ),
            EdgeKind::ReEntry { title, on } => (
                Level::Caution,
                format!("Re-entry after '{title}' of {} is not over", day(on)),
            ),
            _ => continue,
        };
        // Said once a block: the opening is never later than the last safe day.
        let opens = purpose
            .window
            .closes
            .map_or(edge.day, |c| edge.day.min(c.day));
        let early = (opens - purpose.judged_on).num_days();
        let likely = match edge.kind {
            EdgeKind::Stage { bbch, .. } => {
                facts
                    .stage(used.block_ix, bbch)
                    .map_or_else(String::new, |s| {
                        format!(
                            " {} on {}: {}.",
                            capital(&stage_words(bbch)),
                            used.block.name,
                            range(s)
                        )
                    })
            }
            _ => String::new(),
        };
        let last = purpose
            .window
            .closes
            .map_or_else(String::new, |c| format!(" Last safe day {}.", day(c.day)));
        out.push(
            rule.warn(
                level,
                format!(
                    "Too early: {} on {}, planned {}, window opens {}",
                    used.material.name,
                    used.block.name,
                    day(used.task.date),
                    day(opens)
                ),
                format!("{because}: {} early.{likely}{last}", days(early)),
                format!("Move it to {} or later.", day(opens)),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material)
            .source(edge.source()),
        );
    }
}

/// An interval that ends behind the last safe day leaves no day for a spray.
pub fn no_day_left(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for purpose in facts.windows().purposes() {
        let (Some(opens), Some(closes)) = (purpose.window.opens, purpose.window.closes) else {
            continue;
        };
        if !opens.kind.is_firm() || opens.day <= closes.day || purpose.judged_on > closes.day {
            continue;
        }
        let used = &purpose.used;
        let why = match opens.kind {
            EdgeKind::Interval {
                name,
                on,
                days: asked,
            } => format!(
                "After {name} on {} the label asks for {} between, so not before {}. Last safe day {}.",
                day(on),
                days(asked),
                day(opens.day),
                day(closes.day)
            ),
            EdgeKind::Apart {
                name,
                on,
                days: asked,
                ..
            } => format!(
                "After {name} on {} the label keeps {} between, so not before {}. Last safe day {}.",
                day(on),
                days(asked),
                day(opens.day),
                day(closes.day)
            ),
            _ => format!(
                "It opens {}; last safe day {}.",
                day(opens.day),
                day(closes.day)
            ),
        };
        out.push(
            rule.warn(
                Level::Stop,
                format!(
                    "No day is left for {} on {}: opens {}, last safe day {}",
                    used.material.name,
                    used.block.name,
                    day(opens.day),
                    day(closes.day)
                ),
                why,
                "Move the earlier spray forward if it is still to do, or skip this one and say why."
                    .to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material)
            .source(opens.source()),
        );
    }
}

/// A job of several days that begins too late ends after the last safe day.
pub fn starts_too_late(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for task in facts.open_sprays() {
        let Some(window) = facts.windows().of(&task.id) else {
            continue;
        };
        let (Some(start), Some((closes, block_ix))) = (window.start_by, window.closes) else {
            continue;
        };
        let judged = window.judged_on;
        if judged <= start.day || judged > closes.day {
            continue;
        }
        let warning = rule.warn(
            Level::Caution,
            format!(
                "Starts too late: {} days of work, begin by {}, last safe day {}",
                start.work_days,
                day(start.day),
                day(closes.day)
            ),
            format!(
                "Begun {} it would end after the last safe day. Counted by its hours of work and the hours and days you work.",
                day(judged)
            ),
            format!(
                "Begin by {}, or share it: a second sprayer, longer days, the most endangered blocks first.",
                day(start.day)
            ),
        );
        let block = facts.season.blocks.get(block_ix);
        out.push(match block {
            Some(block) => warning.task(task).block(block),
            None => warning.task(task),
        });
    }
}
