//! What stands against a spray as it was done: judged on the day written, with the amounts
//! written, by the same rules that judge a plan. It is asked about once and kept in the record.

use super::over_label::rate_used;
use crate::domain::hours::fits::Fits;
use crate::domain::hours::limits::{Limits, Look, Weight};
use crate::domain::mix::dose::{self, Ground};
use crate::domain::outlook::{Estimates, outlook_with};
use crate::domain::rules::{Level, Warning, rule};
use crate::domain::season::{Block, BlockId, Judgement, MixPart, Record, Season, Task, TaskState};
use crate::domain::units::{Temperature, TemperatureUnit};
use chrono::{NaiveTime, TimeZone, Timelike, Utc};

/// An amount that is off the plan's by less is the same: it was weighed and rounded (common
/// practice, no source).
const ROUNDED: f64 = 0.01;
/// The rule on the air temperature of the hours.
const TEMPERATURE: &str = "temperature-out-of-range";

/// Every stop that stands against an application on its day; none where it belongs to no task.
///
/// The task is judged as if it were still to do, on that day, for the blocks of the record and
/// with what was used: a fact goes before what was planned.
pub fn stops(
    season: &Season,
    estimates: &Estimates,
    fits: Option<&Fits>,
    record: &Record,
) -> Vec<Warning> {
    let Some(task) = record.task.as_ref().and_then(|id| season.task(id)) else {
        return Vec::new();
    };
    let judged = as_done(season, task, record);
    let mut aside = season.clone();
    // The record itself, where it is written already, is no other use of the material.
    aside.records.retain(|r| !is_same_work(r, record));
    for t in aside.tasks.iter_mut().filter(|t| t.id == task.id) {
        *t = judged.clone();
    }
    let zone = season.orchard.time_zone;
    let begun = record.started.or(record.ended).unwrap_or_else(|| {
        record
            .date
            .and_time(NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default())
    });
    let moment = zone
        .from_local_datetime(&begun)
        .earliest()
        .map(|at| at.with_timezone(&Utc));
    let alone = Season {
        tasks: vec![judged],
        ..aside.clone()
    };
    let fits = fits.zip(moment).map(|(f, at)| f.renewed(&alone, at));
    let outlook = outlook_with(&aside, estimates, fits.as_ref(), record.date);
    let mut stops: Vec<Warning> = outlook
        .warnings_of(&task.id)
        .filter(|w| w.level == Level::Stop)
        .cloned()
        .collect();
    if let Some(read) = record.temperature {
        stops.retain(|w| w.rule != TEMPERATURE);
        stops.extend(too_cold_or_hot(&alone, read));
    }
    stops
}

/// The stop that a thermometer in the orchard makes: it goes before the hours of weather.
fn too_cold_or_hot(alone: &Season, read: Temperature) -> Option<Warning> {
    let task = alone.tasks.first()?;
    let limits = Limits::of(alone, task);
    let missed = limits
        .all
        .iter()
        .filter(|l| l.weight == Weight::Stop)
        .find_map(|limit| match limit.look {
            Look::AirBelow(c) if read.c() < c => Some(("below", c)),
            Look::AirAbove(c) if read.c() > c => Some(("above", c)),
            _ => None,
        });
    let (side, limit_c) = missed?;
    let limit = Temperature::new(limit_c, TemperatureUnit::C).to(read.unit);
    let limit = Temperature::new((limit.value * 10.0).round() / 10.0, limit.unit);
    let warning = rule(TEMPERATURE)?.warn(
        Level::Stop,
        format!("the thermometer showed {read}, {side} the limit of {limit}"),
        "What was read in the orchard goes before the hours of weather.".to_owned(),
        "Look whether it did harm or has to be done again; next time wait for hours inside the limit.".to_owned(),
    );
    Some(warning.task(task))
}

/// The same in the form a record keeps it.
pub fn judgements(stops: &[Warning]) -> Vec<Judgement> {
    stops
        .iter()
        .map(|w| Judgement {
            level: w.level.words().to_owned(),
            rule: w.rule.to_owned(),
            reason: w.message.clone(),
        })
        .collect()
}

/// The task as it was done by a record.
fn as_done(season: &Season, task: &Task, record: &Record) -> Task {
    let mut done = task.clone();
    done.state = TaskState::Planned;
    done.date = record.date;
    done.hour = record.started.map(|at| at.hour());
    if !record.blocks.is_empty() {
        done.blocks.clone_from(&record.blocks);
    }
    done.volume = record.volume.or(task.volume);
    done.sprayer.clone_from(&record.sprayer);
    done.mix = record
        .materials
        .iter()
        .map(|used| {
            let plan = task.mix.iter().find(|p| p.material == used.material);
            let planned = plan.and_then(|p| p.rate);
            let material = season.material(&used.material);
            let planned = material.map_or(planned, |m| dose::rate_of(planned, m));
            let rate = rate_used(record, used, planned);
            let same = rate.zip(planned).is_some_and(|(a, b)| {
                let density = material.and_then(|m| m.density_kg_per_l);
                dose::rate_ratio(a, b, ground(season, record), density)
                    .is_some_and(|share| (share - 1.0).abs() <= ROUNDED)
            });
            MixPart {
                material: used.material.clone(),
                rate: if same { planned } else { rate.or(planned) },
            }
        })
        .collect();
    done
}

fn ground(season: &Season, record: &Record) -> Ground {
    let blocks: Vec<&Block> = season
        .blocks
        .iter()
        .filter(|b| record.blocks.contains(&b.id))
        .collect();
    let trees: u32 = blocks.iter().map(|b| b.trees).sum();
    Ground {
        water_l: record.volume.map(|v| v.l()),
        area_ha: record.area.map(|a| a.ha()),
        trees: record.trees.or(Some(trees)).map(f64::from),
    }
}

fn is_same_work(held: &Record, record: &Record) -> bool {
    let both = |block: &BlockId| record.blocks.is_empty() || record.blocks.contains(block);
    held.task == record.task && (held.blocks.is_empty() || held.blocks.iter().any(both))
}
