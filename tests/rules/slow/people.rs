//! Re-entry and the sprayer.

use super::{Found, Plan, found};
use barewood::domain::rules::Level;
use barewood::domain::season::{Reentry, Sprayer, Task, TaskKind, TaskState};

pub fn tell(plan: &Plan<'_>, all: &mut Vec<Found>) {
    for task in plan.open() {
        sprayer(plan, task, all);
    }
    twice(plan, all);
    for spray in plan.live() {
        for other in &plan.season.tasks {
            let on_foot = matches!(
                other.kind,
                TaskKind::Prune | TaskKind::CleanUp | TaskKind::Scout | TaskKind::Other
            );
            if on_foot && matches!(other.state, TaskState::Planned) {
                reentry(plan, spray, other, all);
            }
        }
    }
}

/// Minutes of a spray, where volume, output and refill are known, its tanks shared with others; else
/// an hour.
fn minutes(plan: &Plan<'_>, task: &Task, sprayer: &Sprayer) -> f64 {
    let latest = sprayer.calibration.iter().max_by_key(|c| c.date);
    let output = latest.and_then(|c| c.l_per_min).filter(|o| *o > 0.0);
    let litres = super::amounts::of_task(plan, task)
        .0
        .map(|gal| gal * 3.785_411_784);
    match (litres, output, sprayer.refill_minutes) {
        (Some(l), Some(o), Some(refill)) => l / o + l / sprayer.tank.l() * refill,
        _ => 60.0,
    }
}

fn twice(plan: &Plan<'_>, all: &mut Vec<Found>) {
    let mut booked = Vec::new();
    for task in plan.open() {
        let sprayers = &plan.season.sprayers;
        let own = sprayers
            .iter()
            .find(|s| Some(&s.id) == task.sprayer.as_ref());
        if let (Some(hour), Some(own)) = (task.hour, own) {
            let from =
                (task.date - chrono::NaiveDate::default()).num_days() * 1440 + i64::from(hour) * 60;
            let length = (minutes(plan, task, own) - 1e-6).ceil().max(1.0) as i64;
            booked.push((
                from,
                task.id.to_string(),
                from + length,
                own.id.clone(),
                task,
            ));
        }
    }
    // What begins in one hour goes one after the other, the longest last; each begins once all
    // before it are done. Which cannot begin within its own hour any more?
    booked.sort_by(|a, b| (a.0, a.2, &a.1).cmp(&(b.0, b.2, &b.1)));
    for (i, later) in booked.iter().enumerate() {
        let own: Vec<_> = booked[..i].iter().filter(|b| b.3 == later.3).collect();
        let begins = (0..own.len())
            .map(|k| own[k].0 + own[k..].iter().map(|b| b.2 - b.0).sum::<i64>())
            .max();
        if begins.is_some_and(|b| b >= later.0 + 60) {
            all.push(found(
                "sprayer-twice",
                Level::Caution,
                Some(later.4),
                None,
                None,
            ));
        }
    }
}

fn sprayer(plan: &Plan<'_>, task: &Task, all: &mut Vec<Found>) {
    let sprayer = plan
        .season
        .sprayers
        .iter()
        .find(|s| Some(&s.id) == task.sprayer.as_ref());
    let Some(sprayer) = sprayer else {
        all.push(found(
            "sprayer-not-calibrated",
            Level::Note,
            Some(task),
            None,
            None,
        ));
        return;
    };
    let fresh = sprayer.calibration.iter().any(|c| c.date >= plan.start());
    if !fresh {
        all.push(found(
            "sprayer-not-calibrated",
            Level::Caution,
            Some(task),
            None,
            None,
        ));
    }
    let last = sprayer.calibration.iter().max_by_key(|c| c.date);
    if last
        .and_then(|c| c.worst_nozzle_percent)
        .is_some_and(|p| !(-10.0..=10.0).contains(&p))
    {
        all.push(found("nozzle-worn", Level::Caution, Some(task), None, None));
    }
}

/// In hours counted from midnight of the spray's day.
fn reentry(plan: &Plan<'_>, spray: &Task, other: &Task, all: &mut Vec<Found>) {
    let wants: Vec<Reentry> = plan
        .parts(spray)
        .iter()
        .filter_map(|p| p.1.label.reentry)
        .collect();
    if wants.is_empty() {
        return;
    }
    let hours = wants
        .iter()
        .filter_map(|r| match r {
            Reentry::After(s) => Some(s.hours()),
            Reentry::UntilDry => None,
        })
        .fold(None, |a: Option<f64>, h| Some(a.map_or(h, |a| a.max(h))));
    let dry = wants.contains(&Reentry::UntilDry);
    let (day, hour) = match spray.state {
        TaskState::Done(d) => (d, None),
        _ => (spray.date, spray.hour),
    };
    let days = (other.date - day).num_days();
    if days < 0 {
        return;
    }
    if let (0, Some(o), Some(s)) = (days, other.hour, hour)
        && o < s
    {
        return;
    }
    let begins = days as f64 * 24.0 + f64::from(other.hour.unwrap_or(0));
    let job = hour.map_or(0.0, |_| super::amounts::job_hours(plan, spray));
    let until = f64::from(hour.unwrap_or(24)) + job + hours.unwrap_or(0.0);
    if begins < until || (days == 0 && dry) {
        let shared = plan
            .blocks(spray)
            .into_iter()
            .find(|b| plan.blocks(other).iter().any(|x| x.id == b.id));
        if let Some(block) = shared {
            let level = if hours.is_some() {
                Level::Caution
            } else {
                Level::Note
            };
            all.push(found(
                "reentry-clash",
                level,
                Some(other),
                Some(block),
                None,
            ));
        }
    }
}
