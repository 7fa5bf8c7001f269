//! Rules on the weather of the day a spray is planned for: as far as the hours reach.
//!
//! They read the verdicts of `hours`: the same limits, the same reasons. A spray with an hour is
//! judged in the hours of its job; one without, in the best hours of its day.

use super::facts::Spray;
use super::{Facts, Level, Rule, Warning};
use crate::domain::hours::air::Air;
use crate::domain::hours::fits::TaskFit;
use crate::domain::hours::limits::{Look, Weight};
use crate::domain::hours::verdict::{Fit, Grid, Reason};
use crate::domain::hours::washoff;
use crate::domain::outlook::{gauge_against, gauge_mm, gauge_words, reckoned_mm};
use crate::domain::season::Task;
use chrono::{DateTime, NaiveDate, NaiveTime, TimeDelta, TimeZone, Timelike, Utc};
use std::collections::BTreeMap;
use std::ops::Range;

/// Air temperature outside what label or practice allows.
pub fn temperature_out_of_range(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    about(rule, facts, out, |look| {
        matches!(look, Look::AirBelow(_) | Look::AirAbove(_))
    });
}

/// Frost, or cold, in the hours before and after.
pub fn frost_before_or_after(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    about(rule, facts, out, |look| {
        matches!(look, Look::ColdAfter { .. } | Look::ColdBefore { .. })
    });
}

/// Rain before it is dry, or within the hours wanted without.
pub fn rain_before_dry(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    about(rule, facts, out, |look| {
        matches!(
            look,
            Look::RainAfter(_) | Look::RainBefore(_) | Look::RainChance { .. } | Look::DriesTooLate
        )
    });
}

/// Too much wind, or dead calm under a clear sky at low sun.
pub fn wind_or_layered_air(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    about(rule, facts, out, |look| {
        matches!(
            look,
            Look::WindAbove(_) | Look::GustAbove(_) | Look::WindBelow(_) | Look::LayeredAir
        )
    });
}

/// Bark wet or wood frozen.
pub fn wet_or_frozen_trees(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    about(rule, facts, out, |look| {
        matches!(look, Look::WetBark | Look::FrozenWood)
    });
}

/// Warns of every open spray whose hours miss limits of some kinds.
fn about(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>, is_meant: impl Fn(Look) -> bool) {
    let Some(fits) = facts.fits() else { return };
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let Some(fit) = fits.of(&spray.task.id) else {
            continue;
        };
        let Some(hours) = hours_of(fits.air(), fit, spray.task) else {
            continue;
        };
        let grid = &fit.grid;
        let found = hours
            .flat_map(|hour| grid.missed(fits.air(), hour, &is_meant))
            .filter(|r| r.weight >= Weight::Doubt)
            .max_by_key(|r| r.weight);
        if let Some(reason) = found {
            out.push(warning(rule, facts, (fits.air(), fit), spray, &reason));
        }
    }
}

/// The hours a spray is judged in, if the hours ahead cover its day.
fn hours_of(air: &Air, fit: &TaskFit, task: &Task) -> Option<Range<usize>> {
    let day = air.day(task.date);
    if day.is_empty() || day.start < fit.grid.hours().start {
        return None;
    }
    let whole = fit.job.whole_hours();
    let start = match task.hour {
        Some(clock) => day.clone().find(|&h| air.local(h).hour() == clock)?,
        None => best_start(&fit.grid, &day, whole)?,
    };
    Some(start..(start + whole).min(day.end))
}

/// The hour to begin at which the fewest limits are missed.
fn best_start(grid: &Grid, day: &Range<usize>, whole: usize) -> Option<usize> {
    let last = day
        .end
        .checked_sub(whole)
        .filter(|l| *l >= day.start)
        .unwrap_or(day.start);
    (day.start..=last).min_by_key(|&start| {
        let job = start..(start + whole).min(day.end);
        let of = |fit: Fit| job.clone().filter(|&h| grid.fit(h) == Some(fit)).count();
        let reasons: usize = job.clone().map(|h| grid.reason_count(h)).sum();
        (of(Fit::Unfit), of(Fit::Doubtful), reasons)
    })
}

fn warning(
    rule: &Rule,
    facts: &Facts<'_>,
    (air, fit): (&Air, &TaskFit),
    spray: &Spray<'_>,
    reason: &Reason,
) -> Warning {
    let units = facts.season.orchard.units;
    let level = if reason.weight == Weight::Stop {
        Level::Stop
    } else {
        Level::Caution
    };
    let when = match spray.task.hour {
        Some(hour) => format!("{} {hour:02}:00", spray.task.date),
        None => format!("the best hours of {}", spray.task.date),
    };
    let todo = fit.next().map_or_else(
        || {
            "No fit hours known hold it; look at the next forecast, or see what a delay proposes."
                .to_owned()
        },
        |w| format!("Next {} hours: {}.", w.grade.words(), w.words(air)),
    );
    let why = format!("Judged in {when}; job {}.", fit.job.words());
    let mut warning = rule
        .warn(level, reason.words(air, &fit.grid.limits, units), why, todo)
        .task(spray.task);
    if let crate::domain::hours::limits::LimitFrom::Published(source) = reason.limit.from {
        warning = warning.source(source);
    }
    warning
}

/// Rain of a day: by the gauge, else as it was reckoned.
fn day_rain(
    facts: &Facts<'_>,
    gauge: &BTreeMap<NaiveDate, f64>,
    day: NaiveDate,
) -> Option<washoff::DayRain> {
    if let Some(mm) = gauge.get(&day) {
        return Some((*mm, true));
    }
    reckoned_mm(facts.estimates, facts.air(), day).map(|mm| (mm, false))
}

/// Rain since a spray: by the hours where they are known and no gauge says better, else by days.
fn rain_after(
    facts: &Facts<'_>,
    gauge: &BTreeMap<NaiveDate, f64>,
    day: NaiveDate,
    ended: DateTime<Utc>,
    now: DateTime<Utc>,
) -> Option<washoff::RainSince> {
    let by_hours = facts
        .air()
        .filter(|air| air.index_of(ended).is_some())
        .map(|air| washoff::rain_since(air, ended, now));
    let has_gauge = gauge.range(day..=facts.today).next().is_some();
    let are_known = by_hours.is_some_and(|since| since.unknown_h * 10 <= since.hours);
    if are_known && !has_gauge {
        return by_hours;
    }
    let known = |d| day_rain(facts, gauge, d);
    if !day
        .iter_days()
        .take_while(|d| *d <= facts.today)
        .any(|d| known(d).is_some())
    {
        return by_hours;
    }
    // When the first rain came only hours tell; how much there was a gauge tells better.
    Some(washoff::RainSince {
        first_after_h: by_hours.and_then(|since| since.first_after_h),
        dry_after_h: by_hours.and_then(|since| since.dry_after_h),
        ..washoff::rain_by_days(known, day, facts.today)
    })
}

/// A spray that is done held against the rain since, or is worth a second look.
pub fn washed_off(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let zone = facts.season.orchard.time_zone;
    let local = |date: NaiveDate, clock: u32| {
        let naive = date.and_time(NaiveTime::MIN) + TimeDelta::hours(i64::from(clock));
        zone.from_local_datetime(&naive)
            .earliest()
            .map(|t| t.with_timezone(&Utc))
    };
    let gauge = gauge_mm(facts.season);
    for used in facts.uses() {
        let Some(day) = used.done else {
            continue;
        };
        let ended = used
            .record
            .and_then(|r| r.ended.or(r.started))
            .and_then(|t| zone.from_local_datetime(&t).earliest())
            .map(|t| t.with_timezone(&Utc))
            // Without a record the end of the working day is taken.
            .or_else(|| local(day, 18));
        let (Some(ended), Some(now)) = (ended, local(facts.today, 0)) else {
            continue;
        };
        if now <= ended {
            continue;
        }
        let Some(since) = rain_after(facts, &gauge, day, ended, now) else {
            continue;
        };
        let units = facts.season.orchard.units;
        let verdict = washoff::judge(used.material, &since, units);
        // A gauge goes before what was reckoned, and both are told.
        let reckoned = |d| reckoned_mm(facts.estimates, facts.air(), d);
        let both = gauge_against(&gauge, reckoned, day..=facts.today);
        let level = match verdict.held {
            washoff::Held::Yes | washoff::Held::Unknown if both.is_some() => Level::Note,
            washoff::Held::Yes | washoff::Held::Unknown => continue,
            washoff::Held::Partly => Level::Note,
            washoff::Held::Doubtful if verdict.is_hint => Level::Note,
            washoff::Held::Doubtful | washoff::Held::No => Level::Caution,
        };
        let todo = match washoff::repeat(facts, used) {
            _ if level == Level::Note && verdict.held <= washoff::Held::Unknown => {
                "Nothing: look at the gauge again if this surprises you.".to_owned()
            }
            washoff::Repeat::Offered {
                earliest,
                latest,
                uses_left,
            } => {
                let until = latest.map_or_else(
                    || "; no last safe day is known".to_owned(),
                    |l| format!(" and not after {l}"),
                );
                let left =
                    uses_left.map_or_else(String::new, |n| format!("; {n} uses left on the label"));
                format!("A repeat may go on from {earliest}{until}{left}, in fit hours.")
            }
            washoff::Repeat::Refused(why) => format!("No repeat: {why}."),
        };
        out.push(
            rule.warn(
                level,
                format!(
                    "{} on {}: {}",
                    used.material.name,
                    used.block.name,
                    verdict.held.words()
                ),
                match both {
                    Some(both) => format!("{}. {}.", verdict.because, gauge_words(both, units)),
                    None => format!("{}.", verdict.because),
                },
                todo,
            )
            .task(used.task)
            .block(used.block)
            .material(used.material)
            .source(verdict.source),
        );
    }
}

#[cfg(test)]
mod tests;
