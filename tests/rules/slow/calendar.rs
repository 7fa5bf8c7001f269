//! Swell, stages, leaf drop, intervals, days apart, overdue, the critical lane.

use super::{Found, Hit, Plan, found, in_the_east, is, means};
use barewood::domain::rules::Level;
use barewood::domain::season::{Lane, Material, TaskKind, TaskState};
use chrono::TimeDelta;

pub fn tell(plan: &Plan<'_>, all: &mut Vec<Found>) {
    for task in plan.open() {
        if task.kind == TaskKind::Spray && plan.parts(task).is_empty() {
            super::window::tell_without_tank(plan, task, all);
        }
        if task.kind == TaskKind::Spray {
            super::window::tell_of_start(plan, task, all);
        }
    }
    for block in &plan.season.blocks {
        let hits = plan.on(block);
        for hit in hits.iter().filter(|h| h.open()) {
            super::window::tell(plan, hit, all);
            many(plan, hit, &hits, all);
        }
        for later in &hits {
            interval(plan, later, &hits, all);
            for earlier in hits.iter().filter(|h| h.place() < later.place()) {
                let is_nearer = |h: &&Hit<'_>| {
                    let same = h.material_id == earlier.material_id;
                    same && earlier.place() < h.place() && h.place() < later.place()
                };
                // Once for each material: the nearest use of it asks the most.
                let nearer = hits.iter().filter(is_nearer);
                let mut nearer = nearer.filter_map(|h| too_near(plan, h, later));
                if !later.open() || nearer.next().is_none() {
                    apart(plan, earlier, later, all);
                }
            }
        }
        let lane = plan.live().iter().any(|t| {
            t.lane == Lane::BeforeSwell && plan.blocks(t).iter().any(|b| b.id == block.id)
        });
        if let (false, Some(e)) = (lane, plan.estimate(block)) {
            let guard = block.guard_days.unwrap_or(plan.season.orchard.guard_days);
            let last = last_quiet_day(plan, &e.swell, guard);
            let level = if last >= plan.today {
                Level::Caution
            } else {
                Level::Note
            };
            all.push(found("critical-lane-empty", level, None, Some(block), None));
        }
    }
    for task in &plan.season.tasks {
        let late = matches!(task.state, TaskState::Planned) && task.date < plan.today;
        if late && !super::window::is_closed(plan, task) {
            let level = if task.lane == Lane::MidWinter {
                Level::Note
            } else {
                Level::Caution
            };
            all.push(found("overdue", level, Some(task), None, None));
        }
    }
}

/// The last day whose chance `guard` days on stays within the tolerance,
/// found by walking forward day by day.
pub fn last_quiet_day(
    plan: &Plan<'_>,
    stage: &barewood::domain::phenology::distribution::StageDate,
    guard: u32,
) -> chrono::NaiveDate {
    let mut day = stage.first_day() - TimeDelta::days(400);
    while stage.chance_by(day + TimeDelta::days(i64::from(guard) + 1)) <= plan.tolerance() {
        day += TimeDelta::days(1);
    }
    day
}

/// Days that labels want between two uses, and whose label wants them.
pub fn interval_days<'a>(
    plan: &Plan<'a>,
    before: &Hit<'_>,
    later: &Hit<'_>,
) -> Option<(&'a Material, i64)> {
    let of = |h: &Hit<'_>| {
        let m = plan
            .season
            .materials
            .iter()
            .find(|m| m.id.to_string() == h.material_id)?;
        Some((m, (m.label.interval?.hours() / 24.0).ceil() as i64))
    };
    if before.task.is_some() && before.task_id() == later.task_id() {
        return None;
    }
    if before.material_id == later.material_id {
        return of(later);
    }
    if !(is(&before.active, "copper") && is(&later.active, "copper")) {
        return None;
    }
    match (of(later), of(before)) {
        (Some(l), Some(b)) => Some(if l.1 > b.1 { l } else { b }),
        (l, b) => l.or(b),
    }
}

fn interval(plan: &Plan<'_>, later: &Hit<'_>, hits: &[Hit<'_>], all: &mut Vec<Found>) {
    // The use that wants the latest day of this one.
    let mut worst: Option<(i64, _, _)> = None;
    let mut earlier: Vec<&Hit<'_>> = hits.iter().filter(|h| h.place() < later.place()).collect();
    earlier.sort_by_key(|h| h.place());
    for before in earlier {
        let Some((material, days)) = interval_days(plan, before, later) else {
            continue;
        };
        let short = days - (later.day - before.day).num_days();
        let Some(told) = [later, before].into_iter().find(|h| h.open()) else {
            continue;
        };
        if short > 0 && worst.is_none_or(|w| short >= w.0) {
            worst = Some((short, told, material));
        }
    }
    if let Some((_, told, material)) = worst {
        all.push(found(
            "interval-too-short",
            Level::Stop,
            told.task,
            Some(told.block),
            Some(material),
        ));
    }
}

/// Is a use one more than its label's number?
pub fn is_one_too_many(plan: &Plan<'_>, hit: &Hit<'_>, hits: &[Hit<'_>]) -> bool {
    let Some(most) = hit.material.unwrap().label.max_uses else {
        return false;
    };
    let uses = hits
        .iter()
        .filter(|h| h.material_id == hit.material_id)
        .filter(|h| h.day >= plan.start() && h.place() <= hit.place())
        .count();
    hit.day >= plan.start() && uses > most as usize
}

fn many(plan: &Plan<'_>, hit: &Hit<'_>, hits: &[Hit<'_>], all: &mut Vec<Found>) {
    if is_one_too_many(plan, hit, hits) {
        all.push(found(
            "too-many-uses",
            Level::Stop,
            hit.task,
            Some(hit.block),
            hit.material,
        ));
    }
}

/// Days by label between two uses that are kept apart.
pub fn apart_by_label(a: &Hit<'_>, b: &Hit<'_>) -> Option<u32> {
    let own = |x: &Hit<'_>, y: &Hit<'_>| -> Vec<u32> {
        x.material.map_or(Vec::new(), |m| {
            m.label
                .keep_apart
                .iter()
                .filter(|k| means(&k.active, &y.active))
                .map(|k| k.days)
                .collect()
        })
    };
    own(a, b).into_iter().chain(own(b, a)).max()
}

/// Are two uses of different things, by different tasks?
pub fn are_two(a: &Hit<'_>, b: &Hit<'_>) -> bool {
    a.material_id != b.material_id && (a.task.is_none() || a.task_id() != b.task_id())
}

fn apart(plan: &Plan<'_>, a: &Hit<'_>, b: &Hit<'_>, all: &mut Vec<Found>) {
    let Some(told) = [b, a].into_iter().find(|h| h.open()) else {
        return;
    };
    if let Some(level) = too_near(plan, a, b) {
        all.push(found(
            "keep-apart",
            level,
            told.task,
            Some(told.block),
            told.material,
        ));
    }
}

/// How grave it is that two uses lie so near.
fn too_near(plan: &Plan<'_>, a: &Hit<'_>, b: &Hit<'_>) -> Option<Level> {
    if !are_two(a, b) {
        return None;
    }
    let (wanted, level) = match apart_by_label(a, b) {
        Some(days) => (days, Level::Stop),
        None if a.day == b.day && super::tank::burns_at_once(&a.active, &b.active) => {
            (common_days(plan, a, b), Level::Stop)
        }
        None => (common_days(plan, a, b), Level::Caution),
    };
    ((b.day - a.day).num_days() < i64::from(wanted)).then_some(level)
}

pub fn common_days(plan: &Plan<'_>, a: &Hit<'_>, b: &Hit<'_>) -> u32 {
    let pair = |x: &str, y: &str| {
        (is(&a.active, x) && is(&b.active, y)) || (is(&a.active, y) && is(&b.active, x))
    };
    let e = plan.estimate(a.block);
    let growth = e.is_some_and(|e| e.swell.chance_by(b.day) > plan.tolerance());
    let green = e.is_some_and(|e| e.burst.chance_by(b.day) > plan.tolerance());
    let mut days = vec![0];
    if pair("oil", "lime sulfur") {
        days.push(if growth || !in_the_east(plan) { 30 } else { 14 });
    }
    if pair("oil", "sulfur") {
        days.push(if in_the_east(plan) { 14 } else { 30 });
    }
    if pair("captan", "lime sulfur") {
        days.push(7);
    }
    if pair("oil", "captan") || pair("copper", "sulfur") || pair("copper", "lime sulfur") {
        days.push(14);
    }
    if pair("oil", "chlorothalonil") {
        days.push(12);
    }
    if green
        && ["oil", "copper", "sulfur", "lime sulfur", "captan"]
            .iter()
            .any(|k| pair("urea", k))
    {
        days.push(7);
    }
    days.into_iter().max().unwrap()
}
