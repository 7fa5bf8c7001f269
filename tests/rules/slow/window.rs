//! The window of a use, told a second time: day by day, from rows written out again.

use super::aim::{Row, row};
use super::calendar::last_quiet_day;
use super::{Found, Hit, Plan, found, is};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{Lane, Task};
use chrono::{NaiveDate, TimeDelta};

#[derive(Clone, Copy, PartialEq)]
enum Opening {
    LeafDrop { seen: bool },
    PartOfLeaves,
    StageOfLabel,
    StageOfTarget,
    LateWinter,
    Interval,
}

pub struct Days {
    opens: Option<(NaiveDate, Opening)>,
    closes: Option<NaiveDate>,
    limit: u8,
    disputed_from: Option<NaiveDate>,
}

impl Days {
    fn is_firm(&self) -> bool {
        matches!(
            self.opens,
            Some((_, Opening::LeafDrop { .. } | Opening::Interval))
        ) || matches!(self.opens, Some((_, Opening::StageOfLabel)))
    }

    fn leaves_no_day(&self) -> bool {
        match (self.opens, self.closes) {
            (Some((o, _)), Some(c)) => self.is_firm() && o > c,
            _ => false,
        }
    }

    pub fn is_closed(&self, day: NaiveDate) -> bool {
        self.leaves_no_day() || self.closes.is_some_and(|c| day > c)
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
    if let Some(interval) = label.interval {
        let judged = task.date.max(plan.today);
        let copper = |a: &str| is(a, "copper");
        let mut earlier: Vec<Hit<'_>> = plan
            .on(hit.block)
            .into_iter()
            .filter(|h| h.day <= judged && h.task.is_none_or(|t| t.id != task.id))
            .filter(|h| {
                h.material_id == hit.material_id || (copper(&h.active) && copper(&hit.active))
            })
            .collect();
        earlier.sort_by_key(Hit::place);
        if let Some(last) = earlier.last() {
            let day = last.day + TimeDelta::days(interval.whole_days());
            if day > opens.0 {
                opens = (day, Opening::Interval);
            }
        }
    }
    Days {
        opens: Some(opens),
        closes,
        limit,
        disputed_from: (by_label.is_none() && is(&material.active, "oil") && strict < limit)
            .then(|| safe(plan, hit, strict))
            .flatten(),
    }
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
        Some((_, Opening::StageOfTarget | Opening::LateWinter)) if days.is_too_early(judged) => {
            say("too-early", Level::Caution);
        }
        _ => {}
    }
}

/// An open spray whose tank is not chosen: too late for one of its targets is too late.
pub fn tell_without_tank(plan: &Plan<'_>, task: &Task, all: &mut Vec<Found>) {
    let judged = task.date.max(plan.today);
    for block in plan.blocks(task) {
        let Some(e) = plan.estimate(block) else {
            continue;
        };
        let guard = block.guard_days.unwrap_or(plan.season.orchard.guard_days);
        let first = task
            .targets
            .iter()
            .filter_map(|t| row(t.as_str()))
            .filter(|r| !r.works.is_empty() && (r.lives)(block.species))
            .filter_map(|r| r.stage)
            .map(|s| {
                let guard = if s <= 51 { guard } else { 0 };
                (last_quiet_day(plan, &e.at_bbch(s), guard), s)
            })
            .min();
        let rule = match first {
            Some((last, s)) if judged > last && s <= 51 => "too-close-to-swell",
            Some((last, _)) if judged > last => "past-stage-limit",
            _ => continue,
        };
        all.push(found(rule, Level::Stop, Some(task), Some(block), None));
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
            let Some(e) = plan.estimate(block) else {
                return false;
            };
            let guard = block.guard_days.unwrap_or(plan.season.orchard.guard_days);
            return task
                .targets
                .iter()
                .filter_map(|t| row(t.as_str()))
                .filter(|r| !r.works.is_empty() && (r.lives)(block.species))
                .filter_map(|r| r.stage)
                .any(|s| {
                    let guard = if s <= 51 { guard } else { 0 };
                    judged > last_quiet_day(plan, &e.at_bbch(s), guard)
                });
        }
        plan.on(block)
            .iter()
            .filter(|h| h.task.is_some_and(|t| t.id == task.id))
            .any(|h| days(plan, h, &aims(h)).is_closed(judged))
    })
}
