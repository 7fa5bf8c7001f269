//! The window of a use, told a second time: day by day, from rows written out again.

use super::aim::{Row, row};
use super::calendar::{apart_by_label, are_two, common_days, interval_days, last_quiet_day};
use super::{Found, Hit, Plan, found, is};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{Block, Lane, Reentry, Task};
use chrono::{NaiveDate, TimeDelta};

#[derive(Clone, Copy, PartialEq)]
enum Opening {
    LeafDrop { seen: bool },
    PartOfLeaves,
    StageOfLabel,
    StageOfTarget,
    LateWinter,
    Interval,
    KeptApart { by_label: bool },
    Reentry,
}

pub struct Days {
    opens: Option<(NaiveDate, Opening)>,
    closes: Option<NaiveDate>,
    limit: u8,
    disputed_from: Option<NaiveDate>,
    spent: bool,
}

fn is_firm(opening: Opening) -> bool {
    matches!(
        opening,
        Opening::LeafDrop { .. }
            | Opening::Interval
            | Opening::StageOfLabel
            | Opening::KeptApart { by_label: true }
    )
}

impl Days {
    fn is_firm(&self) -> bool {
        self.opens.is_some_and(|(_, o)| is_firm(o))
    }

    fn leaves_no_day(&self) -> bool {
        match (self.opens, self.closes) {
            (Some((o, _)), Some(c)) => self.is_firm() && o > c,
            _ => false,
        }
    }

    pub fn is_closed(&self, day: NaiveDate) -> bool {
        self.spent || self.leaves_no_day() || self.closes.is_some_and(|c| day > c)
    }

    pub fn is_too_early(&self, day: NaiveDate) -> bool {
        let Some((opens, _)) = self.opens else {
            return false;
        };
        !self.is_closed(day) && day < self.closes.map_or(opens, |c| opens.min(c))
    }
}

fn safe(plan: &Plan<'_>, hit: &Hit<'_>, stage: u8) -> Option<NaiveDate> {
    let e = plan.estimate(hit.block)?;
    let guard = hit
        .block
        .guard_days
        .unwrap_or(plan.season.orchard.guard_days);
    let guard = if stage <= 51 { guard } else { 0 };
    Some(last_quiet_day(plan, &e.at_bbch(stage), guard))
}

fn leaves(plan: &Plan<'_>, hit: &Hit<'_>, first: Option<u8>) -> (NaiveDate, Opening) {
    let dates = &plan.season.dates;
    let seen = hit.block.leaf_drop_seen.or(dates.leaf_drop_seen);
    let expected = hit
        .block
        .leaf_drop_expected
        .unwrap_or(dates.leaf_drop_expected);
    let drop = seen.unwrap_or(expected);
    let before = match first {
        Some(91 | 92) => 35,
        Some(93 | 94) => 21,
        Some(95 | 96) => 10,
        _ => {
            return (
                drop,
                Opening::LeafDrop {
                    seen: seen.is_some(),
                },
            );
        }
    };
    (drop - TimeDelta::days(before), Opening::PartOfLeaves)
}

fn first_likely(plan: &Plan<'_>, hit: &Hit<'_>, stage: u8) -> Option<NaiveDate> {
    let date = plan.estimate(hit.block)?.at_bbch(stage);
    let mut day = date.first_day();
    while date.chance_by(day) < 0.1 - 1e-12 {
        day += TimeDelta::days(1);
    }
    Some(day)
}

/// What a use is for: the targets that live there and that it works on, else all that live there.
fn aims(hit: &Hit<'_>) -> Vec<Row> {
    let named = || {
        hit.task
            .unwrap()
            .targets
            .iter()
            .filter_map(|t| row(t.as_str()))
            .filter(|r| !r.works.is_empty() && (r.lives)(hit.block.species))
    };
    let hits: Vec<Row> = named().filter(|r| r.hit_by(&hit.active)).collect();
    if hits.is_empty() {
        named().collect()
    } else {
        hits
    }
}

/// The days of an open use against some targets.
pub fn days(plan: &Plan<'_>, hit: &Hit<'_>, rows: &[Row]) -> Days {
    let (task, material) = (hit.task.unwrap(), hit.material.unwrap());
    let label = &material.label;
    let by_label = label
        .last_stage_by_crop
        .get(hit.block.species.words())
        .copied()
        .or(label.last_stage)
        .map(|s| if s <= 51 { 51 } else { s + 1 });
    let (common, strict) = match (is(&material.active, "oil"), hit.block.species) {
        (true, Species::Apple) => (54, 54),
        (true, Species::SweetCherry) => (57, 57),
        (true, Species::Pear) => (55, 55),
        (true, Species::Peach) => (57, 51),
        (true, Species::Apricot) => (55, 51),
        _ => (51, 51),
    };
    let limit = rows
        .iter()
        .filter_map(|r| r.stage)
        .chain(by_label)
        .min()
        .unwrap_or(common);
    let closes = safe(plan, hit, limit);
    let aimed = rows
        .iter()
        .map(|r| {
            let first = r.first.filter(|_| task.lane == Lane::AfterLeafDrop);
            let by_leaves = leaves(plan, hit, first);
            let stage = r
                .from
                .filter(|(lane, _)| *lane == task.lane)
                .and_then(|(_, s)| first_likely(plan, hit, s));
            match stage {
                Some(day) if day > by_leaves.0 => (day, Opening::StageOfTarget),
                _ => by_leaves,
            }
        })
        .min_by_key(|o| o.0)
        .unwrap_or_else(|| leaves(plan, hit, None));
    let mut opens = match label.first_stage {
        Some(s @ 51..=69) => match first_likely(plan, hit, s) {
            Some(day) if day >= aimed.0 => (day, Opening::StageOfLabel),
            _ => aimed,
        },
        Some(s @ 91..=96) if aimed.1 != Opening::StageOfTarget => leaves(plan, hit, Some(s)),
        _ => aimed,
    };
    if let (Lane::BeforeSwell, true, Some(close)) = (task.lane, limit <= 51, closes) {
        let late = close - TimeDelta::days(42);
        if late > opens.0 {
            opens = (late, Opening::LateWinter);
        }
    }
    let hits = plan.on(hit.block);
    if hit.open() {
        let mut earlier: Vec<&Hit<'_>> = hits.iter().filter(|h| h.place() < hit.place()).collect();
        earlier.sort_by_key(|h| h.place());
        // One that leaves no day goes before one that is later; of two alike the first.
        let rank = |o: (NaiveDate, Opening)| {
            let leaves_none = is_firm(o.1) && closes.is_some_and(|c| o.0 > c);
            (leaves_none, o.0)
        };
        let distances = earlier
            .iter()
            .flat_map(|before| distances(plan, before, hit));
        let first_latest = |a, b| if rank(b) > rank(a) { b } else { a };
        if let Some(distance) = distances.reduce(first_latest) {
            opens = first_latest(opens, distance);
        }
    }
    Days {
        opens: Some(opens),
        closes,
        limit,
        disputed_from: (by_label.is_none() && is(&material.active, "oil") && strict < limit)
            .then(|| safe(plan, hit, strict))
            .flatten(),
        spent: hit.open() && super::amounts::is_spent(plan, hit, &hits),
    }
}

/// From when on a use may follow one that lies before it.
fn distances(plan: &Plan<'_>, before: &Hit<'_>, hit: &Hit<'_>) -> Vec<(NaiveDate, Opening)> {
    let mut found = Vec::new();
    let after = |days: i64| before.day + TimeDelta::days(days);
    if before.task.is_some() && before.task_id() == hit.task_id() {
        return found;
    }
    if let Some((_, days)) = interval_days(plan, before, hit) {
        found.push((after(days), Opening::Interval));
    }
    if are_two(before, hit) {
        let by_label = apart_by_label(before, hit);
        let days = by_label.unwrap_or_else(|| common_days(plan, before, hit));
        if days > 0 {
            let by_label = by_label.is_some();
            found.push((after(i64::from(days)), Opening::KeptApart { by_label }));
        }
    }
    let Some(task) = before.task else {
        return found;
    };
    let wait = plan
        .parts(task)
        .iter()
        .filter_map(|p| match p.1.label.reentry {
            Some(Reentry::After(span)) => Some(span.hours()),
            _ => None,
        })
        .max_by(f64::total_cmp);
    if let Some(wait) = wait {
        let ends = match task.hour.filter(|_| before.open()) {
            Some(hour) => f64::from(hour) + super::amounts::job_hours(plan, task),
            None => 24.0,
        };
        let days = ((ends + wait) / 24.0).floor() as i64;
        found.push((after(days), Opening::Reentry));
    }
    found
}

/// The leaves that must be down, whatever else it waits for.
fn waits_for_leaves(plan: &Plan<'_>, hit: &Hit<'_>) -> (NaiveDate, Opening) {
    let label = hit.material.unwrap().label.first_stage;
    if matches!(label, Some(91..=96)) || hit.task.unwrap().lane != Lane::AfterLeafDrop {
        return leaves(plan, hit, label);
    }
    aims(hit)
        .iter()
        .map(|r| leaves(plan, hit, r.first))
        .min_by_key(|l| l.0)
        .unwrap_or_else(|| leaves(plan, hit, None))
}

pub fn tell(plan: &Plan<'_>, hit: &Hit<'_>, all: &mut Vec<Found>) {
    let task = hit.task.unwrap();
    let days = days(plan, hit, &aims(hit));
    let judged = task.date.max(plan.today);
    let mut say = |rule: &str, level: Level| {
        all.push(found(
            rule,
            level,
            Some(task),
            Some(hit.block),
            hit.material,
        ));
    };
    let too_late = days.closes.is_some_and(|c| judged > c);
    let rule = if days.limit <= 51 {
        "too-close-to-swell"
    } else {
        "past-stage-limit"
    };
    if too_late {
        say(rule, Level::Stop);
    } else if days.limit > 51 && days.disputed_from.is_some_and(|d| judged > d) {
        say(rule, Level::Caution);
    }
    if !too_late && days.leaves_no_day() {
        say("no-day-left", Level::Stop);
    }
    let down = waits_for_leaves(plan, hit);
    match days.opens {
        _ if judged < down.0 => say(
            "before-leaf-drop",
            match down.1 {
                Opening::LeafDrop { seen: true } => Level::Stop,
                _ => Level::Caution,
            },
        ),
        Some((_, Opening::StageOfLabel)) if days.is_too_early(judged) => {
            say("too-early", Level::Stop);
        }
        Some((_, Opening::StageOfTarget | Opening::LateWinter | Opening::Reentry))
            if days.is_too_early(judged) =>
        {
            say("too-early", Level::Caution);
        }
        _ => {}
    }
}

/// The last safe day of the targets alone, and the stage behind it.
fn without_tank(plan: &Plan<'_>, task: &Task, block: &Block) -> Option<(NaiveDate, u8)> {
    let e = plan.estimate(block)?;
    let guard = block.guard_days.unwrap_or(plan.season.orchard.guard_days);
    task.targets
        .iter()
        .filter_map(|t| row(t.as_str()))
        .filter(|r| !r.works.is_empty() && (r.lives)(block.species))
        .filter_map(|r| r.stage)
        .map(|s| {
            let guard = if s <= 51 { guard } else { 0 };
            (last_quiet_day(plan, &e.at_bbch(s), guard), s)
        })
        .min()
}

/// An open spray whose tank is not chosen: too late for one of its targets is too late.
pub fn tell_without_tank(plan: &Plan<'_>, task: &Task, all: &mut Vec<Found>) {
    let judged = task.date.max(plan.today);
    for block in plan.blocks(task) {
        let first = without_tank(plan, task, block);
        let rule = match first {
            Some((last, s)) if judged > last && s <= 51 => "too-close-to-swell",
            Some((last, _)) if judged > last => "past-stage-limit",
            _ => continue,
        };
        all.push(found(rule, Level::Stop, Some(task), Some(block), None));
    }
}

/// The first last safe day of an open task, and the block that sets it.
fn first_to_close<'a>(plan: &Plan<'a>, task: &Task) -> Option<(NaiveDate, &'a Block)> {
    let mut first: Option<(NaiveDate, &Block)> = None;
    if plan.parts(task).is_empty() {
        for block in plan.blocks(task) {
            if let Some((day, _)) = without_tank(plan, task, block)
                && first.is_none_or(|(known, _)| day < known)
            {
                first = Some((day, block));
            }
        }
    }
    for (part, _) in plan.parts(task) {
        for block in plan.blocks(task) {
            let hits = plan.on(block);
            let hit = hits.iter().find(|h| {
                h.task.is_some_and(|t| t.id == task.id)
                    && h.material_id == part.material.to_string()
            });
            let closes = hit.and_then(|h| days(plan, h, &aims(h)).closes);
            if let Some(day) = closes
                && first.is_none_or(|(known, _)| day < known)
            {
                first = Some((day, block));
            }
        }
    }
    first
}

/// A job of several days begins so that its last one is the last safe day.
pub fn tell_of_start(plan: &Plan<'_>, task: &Task, all: &mut Vec<Found>) {
    let orchard = &plan.season.orchard;
    let day_h = match orchard.work_hours {
        Some([from, to]) => (to + 24 - from - 1) % 24 + 1,
        None => 8,
    };
    let Some((last, block)) = first_to_close(plan, task) else {
        return;
    };
    let Some(hours) = super::amounts::known_hours(plan, task) else {
        return;
    };
    let works = |day: NaiveDate| {
        let name = day.format("%a").to_string();
        orchard.work_days.is_empty() || orchard.work_days.contains(&name)
    };
    let judged = task.date.max(plan.today);
    // The hours of work that are left from the day it is judged on to the last safe day.
    let work_days = (hours / f64::from(day_h) - 1e-9).ceil();
    let left = judged
        .iter_days()
        .take_while(|d| *d <= last)
        .filter(|d| works(*d))
        .count();
    if judged <= last && work_days > 1.0 && (left as f64) < work_days {
        all.push(found(
            "starts-too-late",
            Level::Caution,
            Some(task),
            Some(block),
            None,
        ));
    }
}

/// Has the window of an open task closed on one of its blocks?
pub fn is_closed(plan: &Plan<'_>, task: &Task) -> bool {
    let judged = task.date.max(plan.today);
    if !plan.open().iter().any(|t| t.id == task.id) {
        return false;
    }
    plan.blocks(task).into_iter().any(|block| {
        if plan.parts(task).is_empty() {
            return without_tank(plan, task, block).is_some_and(|(last, _)| judged > last);
        }
        plan.on(block)
            .iter()
            .filter(|h| h.task.is_some_and(|t| t.id == task.id))
            .any(|h| days(plan, h, &aims(h)).is_closed(judged))
    })
}
