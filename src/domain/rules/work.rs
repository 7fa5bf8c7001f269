//! Rules on people, the shed and the sprayer.

use super::facts::Spray;
use super::words::{over, two};
use super::{Facts, Level, Rule, Warning};
use crate::domain::hours::job::Job;
use crate::domain::mix::{dose, safety};
use crate::domain::season::{Task, TaskKind};
use crate::domain::units::Amount;
use chrono::{NaiveDateTime, NaiveTime, TimeDelta};
use std::collections::BTreeMap;

/// Other work on a block does not fall into the re-entry time of a spray.
///
/// Where hours are not entered the stricter reading holds: the spray ends with
/// its day, the other work begins with its own.
pub fn reentry_clash(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let on_foot: Vec<&Task> = facts
        .season
        .tasks
        .iter()
        .filter(|t| {
            t.state.is_open()
                && matches!(
                    t.kind,
                    TaskKind::Prune | TaskKind::CleanUp | TaskKind::Scout | TaskKind::Other
                )
        })
        .collect();
    if on_foot.is_empty() {
        return;
    }
    for spray in facts.all_sprays() {
        let reentry = safety::reentry(spray.parts.iter().map(|p| p.1));
        if spray.parts.is_empty() || (reentry.hours.is_none() && !reentry.until_dry) {
            continue;
        }
        let day = spray.day();
        let hours = reentry.hours.unwrap_or(0.0);
        let start = spray.task.hour.filter(|_| spray.is_open());
        // Re-entry counts from the end of the work. A spray without an hour may end as late as
        // midnight.
        let job_h = start.map_or(0.0, |_| Job::of(facts.season, spray.task).hours);
        let ends = at(day, start.unwrap_or(24))
            .and_then(|t| t.checked_add_signed(TimeDelta::minutes((job_h * 60.0).ceil() as i64)));
        let ends = ends.and_then(|t| {
            t.checked_add_signed(TimeDelta::minutes(
                (hours.min(24.0 * 365.0) * 60.0).ceil() as i64
            ))
        });
        let Some(until) = ends else { continue };
        for other in &on_foot {
            let same_day = other.date == day;
            let before_it = match (other.hour, start) {
                (Some(o), Some(s)) => same_day && o < s,
                _ => false,
            };
            let begins = at(other.date, other.hour.unwrap_or(0));
            let within = begins.is_some_and(|t| t < until) || (same_day && reentry.until_dry);
            if before_it || other.date < day || !within {
                continue;
            }
            if let Some(ix) = shared_block(facts, spray, other) {
                out.extend(clash(rule, facts, spray, other, (ix, reentry.hours)));
            }
        }
    }
}

fn at(day: chrono::NaiveDate, hour: u32) -> Option<NaiveDateTime> {
    day.and_time(NaiveTime::MIN)
        .checked_add_signed(TimeDelta::hours(i64::from(hour.min(24))))
}

fn shared_block(facts: &Facts<'_>, spray: &Spray<'_>, other: &Task) -> Option<usize> {
    spray.blocks.iter().copied().find(|ix| {
        facts
            .season
            .blocks
            .get(*ix)
            .is_some_and(|b| other.blocks.is_empty() || other.blocks.contains(&b.id))
    })
}

fn clash(
    rule: &Rule,
    facts: &Facts<'_>,
    spray: &Spray<'_>,
    other: &Task,
    (block_ix, hours): (usize, Option<f64>),
) -> Option<Warning> {
    let block = facts.season.blocks.get(block_ix)?;
    let wait = hours.map_or_else(
        || "until the spray has dried".to_owned(),
        |h| format!("{} h", two(h)),
    );
    Some(
        rule.warn(
            if hours.is_some() { Level::Caution } else { Level::Note },
            format!("'{}' falls into the re-entry time of '{}' on {}", other.title, spray.task.title, block.name),
            format!("Spray {}, other work {}; re-entry {wait}. Hours that are not entered are taken the stricter way.", spray.day(), other.date),
            "Do that work before the spray, or wait until re-entry ends and the wood is dry, whichever is later.".to_owned(),
        )
        .task(other)
        .block(block),
    )
}

/// No two sprays have one sprayer at one time, as they are planned.
pub fn sprayer_twice(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    struct Booked<'a> {
        task: &'a Task,
        sprayer: &'a str,
        from_min: i64,
        minutes: i64,
    }
    let mut booked: Vec<Booked<'_>> = facts
        .all_sprays()
        .iter()
        .filter(|s| s.is_open())
        .filter_map(|s| {
            let hour = i64::from(s.task.hour?);
            let sprayer = s.sprayer?;
            let day = i64::from(chrono::Datelike::num_days_from_ce(&s.task.date));
            let from_min = (day * 24 + hour) * 60;
            let job = Job::of(facts.season, s.task);
            let minutes = if job.is_assumed() {
                // Nothing is known of its length: only the same hour is a clash.
                60
            } else {
                // Sprays of one mix that follow on each other share their tanks.
                (job.joined_h * 60.0 - 1e-6).ceil().max(1.0) as i64
            };
            Some(Booked {
                task: s.task,
                sprayer: sprayer.id.as_str(),
                from_min,
                minutes,
            })
        })
        .collect();
    // A plan says the hour, not the minute: what begins in one hour goes one after the other, the
    // longest last. Only what cannot begin within its own hour any more is a clash.
    booked.sort_by_key(|b| (b.from_min, b.minutes, b.task.id.as_str()));
    let mut ends: Vec<(&str, i64, &Booked<'_>)> = Vec::new();
    for later in &booked {
        let place = ends.iter().position(|e| e.0 == later.sprayer);
        let before = place.and_then(|p| ends.get(p)).copied();
        let from = before.map_or(later.from_min, |(_, end, _)| end.max(later.from_min));
        let end = (later.sprayer, from + later.minutes, later);
        match place.and_then(|p| ends.get_mut(p)) {
            Some(slot) => *slot = end,
            None => ends.push(end),
        }
        let Some((_, first_end, first)) = before.filter(|_| from >= later.from_min + 60) else {
            continue;
        };
        let name = facts
            .season
            .sprayers
            .iter()
            .find(|s| s.id.as_str() == later.sprayer)
            .map_or(later.sprayer, |s| s.name.as_str());
        let clock = |min: i64| format!("{:02}:{:02}", min / 60 % 24, min % 60);
        out.push(
            rule.warn(
                Level::Caution,
                format!("{name} is still at '{}'", first.task.title),
                format!(
                    "Planned {}: '{}' from {} to {}, this one from {}.",
                    later.task.date,
                    first.task.title,
                    clock(first.from_min),
                    clock(first_end),
                    clock(later.from_min)
                ),
                "Begin later, take another sprayer, or let the run sheet put them in order."
                    .to_owned(),
            )
            .task(later.task),
        );
    }
}

/// What is planned is in the shed.
pub fn stock_short(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let mut open: Vec<&Spray<'_>> = facts.all_sprays().iter().filter(|s| s.is_open()).collect();
    open.sort_by(|a, b| {
        a.task
            .date
            .cmp(&b.task.date)
            .then_with(|| a.task.id.cmp(&b.task.id))
    });
    let mut needed: BTreeMap<usize, f64> = BTreeMap::new();
    for spray in open {
        for (part, material, _, ix) in &spray.parts {
            let Some(stock) = material.stock else {
                continue;
            };
            let need = dose::rate_of(part.rate, material)
                .and_then(|rate| dose::amount(rate, spray.ground))
                .and_then(|need| in_unit_of(need, stock, material.density_kg_per_l));
            let Some(need) = need else { continue };
            let sum = needed.entry(*ix).or_insert(0.0);
            let was_short = over(*sum, held(stock));
            *sum += need;
            if was_short || !over(*sum, held(stock)) {
                continue;
            }
            out.push(
                rule.warn(
                    Level::Caution,
                    format!(
                        "{} runs out with '{}': {stock} in the shed",
                        material.name, spray.task.title
                    ),
                    format!(
                        "Needed up to {}: {}; in the shed {stock}.",
                        spray.task.date,
                        match stock {
                            Amount::Volume(_) => format!("{} L", two(*sum)),
                            Amount::Mass(_) => format!("{} kg", two(*sum)),
                        }
                    ),
                    "Buy more, or count the shed again.".to_owned(),
                )
                .task(spray.task)
                .material(material),
            );
        }
    }
}

fn held(stock: Amount) -> f64 {
    match stock {
        Amount::Volume(v) => v.l(),
        Amount::Mass(m) => m.kg(),
    }
}

fn in_unit_of(need: Amount, stock: Amount, density_kg_per_l: Option<f64>) -> Option<f64> {
    match (need, stock) {
        (Amount::Volume(v), Amount::Volume(_)) => Some(v.l()),
        (Amount::Mass(m), Amount::Mass(_)) => Some(m.kg()),
        (Amount::Volume(v), Amount::Mass(_)) => density_kg_per_l.map(|d| v.l() * d),
        (Amount::Mass(m), Amount::Volume(_)) => {
            density_kg_per_l.filter(|d| *d > 0.0).map(|d| m.kg() / d)
        }
    }
}

/// The sprayer was calibrated this season, and its nozzles are not worn.
pub fn sprayer_not_calibrated(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let start = facts.season.starts();
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let Some(sprayer) = spray.sprayer else {
            out.push(
                rule.warn(
                    Level::Note,
                    "no sprayer is chosen".to_owned(),
                    "Tanks and calibration cannot be looked at.".to_owned(),
                    "Choose the sprayer.".to_owned(),
                )
                .task(spray.task),
            );
            continue;
        };
        let last = sprayer.calibration.iter().map(|c| c.date).max();
        if last.is_some_and(|d| d >= start) {
            continue;
        }
        out.push(
            rule.warn(
                Level::Caution,
                format!("{} was not calibrated this season", sprayer.name),
                last.map_or_else(
                    || "No calibration is on record.".to_owned(),
                    |d| format!("Last on {d}; this season counts from {start}."),
                ),
                "Catch and measure its output with plain water before the first spray.".to_owned(),
            )
            .task(spray.task),
        );
    }
}

/// No nozzle is more than a tenth off its nominal output.
pub fn nozzle_worn(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let latest = spray
            .sprayer
            .and_then(|s| s.calibration.iter().max_by_key(|c| c.date).map(|c| (s, c)));
        let Some((sprayer, calibration)) = latest else {
            continue;
        };
        let Some(off) = calibration
            .worst_nozzle_percent
            .filter(|p| over(p.abs(), 10.0))
        else {
            continue;
        };
        out.push(
            rule.warn(
                Level::Caution,
                format!("a nozzle of {} is {} % off", sprayer.name, two(off)),
                format!(
                    "Measured {}; more than 10 % either way means a new nozzle.",
                    calibration.date
                ),
                "Replace it and measure again.".to_owned(),
            )
            .task(spray.task),
        );
    }
}
