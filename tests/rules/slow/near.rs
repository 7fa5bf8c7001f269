//! What stands around a spray: flowers, hardening, dry trees, winter cuts, signs, the region.

use super::{Found, Plan, found, is};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{Block, Reentry, Task, TaskKind, TaskState};
use chrono::{Datelike, TimeDelta};

pub fn tell(plan: &Plan<'_>, all: &mut Vec<Found>) {
    for task in plan.open() {
        flowers(plan, task, all);
        signs(plan, task, all);
        let is_beside = |what: &str| {
            let sites = plan
                .blocks(task)
                .into_iter()
                .filter_map(|b| b.site.as_ref());
            sites.into_iter().any(|s| s.contains(what))
        };
        for what in ["creek", "neighbour"] {
            if is_beside(what) {
                all.push(found(
                    "water-or-people-near",
                    Level::Note,
                    Some(task),
                    None,
                    None,
                ));
            }
        }
        for block in plan.blocks(task) {
            for (_, m) in plan.parts(task) {
                if is(&m.active, "oil") {
                    let dates = &plan.season.dates;
                    let drop = block
                        .leaf_drop_seen
                        .or(dates.leaf_drop_seen)
                        .unwrap_or(block.leaf_drop_expected.unwrap_or(dates.leaf_drop_expected));
                    let on = task.date.max(plan.today);
                    if on >= drop && on < drop + TimeDelta::days(14) {
                        let rule = "oil-before-hardening";
                        all.push(found(
                            rule,
                            Level::Caution,
                            Some(task),
                            Some(block),
                            Some(m),
                        ));
                    }
                    if block.site.as_deref().is_some_and(|s| s.contains("drought")) {
                        let rule = "oil-on-dry-trees";
                        all.push(found(
                            rule,
                            Level::Caution,
                            Some(task),
                            Some(block),
                            Some(m),
                        ));
                    }
                }
                let o = &plan.season.orchard;
                let california = o.time_zone.name() == "America/Los_Angeles"
                    && o.latitude < 42.0
                    && o.longitude < -115.0;
                let meant = task
                    .targets
                    .iter()
                    .any(|t| t.to_string() == "bacterial-canker")
                    && matches!(block.species, Species::SweetCherry | Species::Apricot);
                if california && meant && is(&m.active, "copper") {
                    let rule = "advice-differs-here";
                    all.push(found(rule, Level::Note, Some(task), Some(block), Some(m)));
                }
            }
        }
    }
    for block in &plan.season.blocks {
        if block.species == Species::Grape && plan.estimate(block).is_none() {
            all.push(found("no-estimate", Level::Note, None, Some(block), None));
        }
        let here: Vec<&Task> = plan
            .live()
            .into_iter()
            .filter(|t| plan.blocks(t).iter().any(|b| b.id == block.id))
            .collect();
        if here.len() > 3 && here.iter().any(|t| matches!(t.state, TaskState::Planned)) {
            all.push(found("many-sprays", Level::Note, None, Some(block), None));
        }
    }
    for task in &plan.season.tasks {
        let winter = !(6..=9).contains(&task.date.month());
        if task.kind != TaskKind::Prune || !matches!(task.state, TaskState::Planned) || !winter {
            continue;
        }
        let cut = plan
            .blocks(task)
            .into_iter()
            .find(|b| matches!(b.species, Species::SweetCherry | Species::Apricot));
        if let Some(block) = cut {
            all.push(found(
                "winter-pruning",
                Level::Caution,
                Some(task),
                Some(block),
                None,
            ));
        }
    }
}

/// The chance that a block's first flower opened in the three weeks up to a day.
fn open(plan: &Plan<'_>, block: &Block, task: &Task) -> f64 {
    plan.estimate(block).map_or(0.0, |e| {
        let on = task.date.max(plan.today);
        e.bloom.chance_by(on) - e.bloom.chance_by(on - TimeDelta::days(21))
    })
}

fn flowers(plan: &Plan<'_>, task: &Task, all: &mut Vec<Found>) {
    let mut beside: Option<(f64, &Block)> = None;
    for block in &plan.season.blocks {
        let chance = open(plan, block, task);
        if plan.blocks(task).iter().any(|b| b.id == block.id) {
            let level = match chance {
                c if c >= 0.5 => Level::Stop,
                c if c > plan.tolerance() => Level::Caution,
                _ => continue,
            };
            all.push(found("open-flowers", level, Some(task), Some(block), None));
        } else if chance >= 0.5 && beside.is_none_or(|(c, _)| chance > c) {
            beside = Some((chance, block));
        }
    }
    if let Some((_, block)) = beside {
        all.push(found(
            "open-flowers",
            Level::Caution,
            Some(task),
            Some(block),
            None,
        ));
    }
}

fn signs(plan: &Plan<'_>, task: &Task, all: &mut Vec<Found>) {
    if !plan.season.orchard.time_zone.name().starts_with("America/") {
        return;
    }
    let mut longest = None;
    for (_, m) in plan.parts(task) {
        if let Some(Reentry::After(span)) = m.label.reentry
            && longest.is_none_or(|(h, _)| span.hours() >= h)
        {
            longest = Some((span.hours(), m));
        }
    }
    if let Some((hours, m)) = longest
        && hours > 48.0
    {
        all.push(found(
            "signs-wanted",
            Level::Note,
            Some(task),
            None,
            Some(m),
        ));
    }
}
