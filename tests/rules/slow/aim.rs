//! Targets: the few rows that the generator uses, written out again.

use super::calendar::last_quiet_day;
use super::{Found, Plan, found, is};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{Block, Lane, TargetSeen};

pub struct Row {
    pub works: &'static [&'static str],
    pub lives: fn(Species) -> bool,
    pub lanes: &'static [Lane],
    pub stage: Option<u8>,
    pub first: Option<u8>,
    pub from: Option<(Lane, u8)>,
    pub spur_sample: bool,
}

pub fn row(id: &str) -> Option<Row> {
    Some(match id {
        "leaf-curl" => Row {
            works: &["copper", "lime sulfur", "chlorothalonil"],
            lives: |s| s == Species::Peach,
            lanes: &[Lane::AfterLeafDrop, Lane::BeforeSwell],
            stage: Some(51),
            first: None,
            from: None,
            spur_sample: false,
        },
        "scale" => Row {
            works: &["oil", "lime sulfur"],
            lives: |_| true,
            lanes: &[Lane::MidWinter, Lane::BeforeSwell],
            stage: Some(56),
            first: None,
            from: None,
            spur_sample: true,
        },
        "apple-scab" => Row {
            works: &["urea", "copper", "lime sulfur"],
            lives: |s| s == Species::Apple,
            lanes: &[Lane::AfterLeafDrop],
            stage: Some(54),
            first: Some(91),
            from: None,
            spur_sample: false,
        },
        "bacterial-canker" => Row {
            works: &["copper"],
            lives: |s| matches!(s, Species::Peach | Species::Apricot | Species::SweetCherry),
            lanes: &[Lane::AfterLeafDrop, Lane::BeforeSwell],
            stage: Some(51),
            first: Some(93),
            from: None,
            spur_sample: false,
        },
        "brown-rot" => Row {
            works: &[],
            lives: |s| matches!(s, Species::Peach | Species::Apricot | Species::SweetCherry),
            lanes: &[],
            stage: None,
            first: None,
            from: None,
            spur_sample: false,
        },
        "aphid-eggs" => Row {
            works: &["oil"],
            lives: |s| matches!(s, Species::Apple | Species::SweetCherry | Species::Peach),
            lanes: &[Lane::BeforeSwell],
            stage: Some(57),
            first: None,
            from: Some((Lane::BeforeSwell, 51)),
            spur_sample: false,
        },
        _ => return None,
    })
}

impl Row {
    pub fn hit_by(&self, active: &str) -> bool {
        self.works.iter().any(|k| is(active, k))
    }
}

pub fn tell(plan: &Plan<'_>, all: &mut Vec<Found>) {
    for task in plan.open() {
        for target in &task.targets {
            let Some(row) = row(target.as_str()) else {
                continue;
            };
            let parts = plan.parts(task);
            if row.works.is_empty() {
                all.push(found(
                    "not-controllable",
                    Level::Caution,
                    Some(task),
                    None,
                    None,
                ));
            } else if !parts.is_empty() && !parts.iter().any(|p| row.hit_by(&p.1.active)) {
                all.push(found(
                    "wrong-active",
                    Level::Caution,
                    Some(task),
                    None,
                    None,
                ));
            }
        }
    }
    for block in &plan.season.blocks {
        let mut told: Vec<String> = Vec::new();
        for seen in &block.seen {
            let id = seen.target.to_string();
            if told.contains(&id) {
                continue;
            }
            told.push(id.clone());
            // A counted sighting of this season weighs most, then any of this season, then the first.
            let same = || block.seen.iter().filter(|s| s.target == seen.target);
            let ours = |s: &&TargetSeen| s.season == plan.season.season;
            let best = same()
                .find(|s| ours(s) && s.count.is_some())
                .or_else(|| same().find(ours))
                .unwrap_or(seen);
            if let Some(level) = uncovered(plan, block, best) {
                all.push(found("target-uncovered", level, None, Some(block), None));
            }
        }
    }
}

fn uncovered(plan: &Plan<'_>, block: &Block, seen: &TargetSeen) -> Option<Level> {
    let row = row(seen.target.as_str())?;
    if row.works.is_empty() || !(row.lives)(block.species) {
        return None;
    }
    let mut look = false;
    if row.spur_sample && seen.season == plan.season.season {
        match (seen.count, seen.of) {
            (Some(n), Some(of)) if n >= 4.0 && n / of >= 0.2 => {}
            (Some(n), Some(of)) if n == 0.0 && of >= 20.0 => return None,
            (Some(_), _) => look = true,
            _ => {}
        }
    }
    let e = plan.estimate(block);
    let stage = e.map(|e| e.at_bbch(row.stage.unwrap()));
    let covered = plan.on(block).iter().any(|h| {
        h.task.is_some_and(|t| row.lanes.contains(&t.lane))
            && row.hit_by(&h.active)
            && if h.open() {
                let days = super::window::days(plan, h, std::slice::from_ref(&row));
                !days.is_closed(h.day) && !days.is_too_early(h.day)
            } else {
                stage
                    .as_ref()
                    .is_none_or(|s| s.chance_by(h.day) <= plan.tolerance())
            }
    });
    if covered {
        return None;
    }
    let guard = block.guard_days.unwrap_or(plan.season.orchard.guard_days);
    let guard = if row.stage.unwrap() <= 51 { guard } else { 0 };
    let closed = stage.is_some_and(|s| last_quiet_day(plan, &s, guard) < plan.today);
    Some(if closed || look {
        Level::Note
    } else {
        Level::Caution
    })
}
