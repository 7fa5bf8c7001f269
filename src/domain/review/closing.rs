//! Targets whose window closes soon.

use crate::domain::outlook::Estimates;
use crate::domain::rules::{Facts, Use};
use crate::domain::season::{Block, BlockId, Lane, Season, TargetId, Task, TaskKind};
use crate::domain::sources::Source;
use crate::domain::targets::{self, Control, TargetView};
use crate::domain::window;
use chrono::NaiveDate;

/// How far ahead a closing window is shown.
const AHEAD_DAYS: i64 = 21;
/// How long a closed one stays on the list.
const CLOSED_DAYS: i64 = 14;

/// A target on a block whose window closes soon, not yet sprayed against.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Closing {
    /// Which target.
    pub target: TargetId,
    /// Its name.
    pub name: String,
    /// On which block.
    pub block: BlockId,
    /// The block's name.
    pub block_name: String,
    /// The last safe day, for the orchard's tolerance and guard days.
    pub last_safe: NaiveDate,
    /// Days left; negative where it is past.
    pub days_left: i64,
    /// The day an open spray against it is planned for.
    pub planned: Option<NaiveDate>,
    /// Where the last stage comes from.
    pub source: &'static Source,
}

/// Targets seen on a block or named by its sprays, whose last safe day falls within three weeks
/// (or fell within the last two), and against which nothing was sprayed there since mid-winter.
/// The last safe day is that of the spray planned against it, else of the target alone.
pub fn closing(season: &Season, estimates: &Estimates, today: NaiveDate) -> Vec<Closing> {
    let facts = Facts::new(season, estimates, today);
    let mut found = Vec::new();
    for (ix, block) in season.blocks.iter().enumerate() {
        for target in targets_of(season, block) {
            let Some(view) = targets::find(season, &target).filter(|v| v.lives_on(block.species))
            else {
                continue;
            };
            if view.control() == Control::None || is_sprayed(&facts, ix, &view) {
                continue;
            }
            let open: Vec<&Use<'_>> = facts
                .timeline(ix)
                .iter()
                .filter(|e| e.is_open())
                .filter_map(|e| e.used.as_ref())
                .filter(|u| u.task.targets.contains(&target) && facts.works(&view, u.material_ix))
                .collect();
            // The next one counts; one that is late only where there is no other.
            let next = open
                .iter()
                .filter(|u| u.task.date >= today)
                .min_by_key(|u| u.task.date)
                .or_else(|| open.iter().max_by_key(|u| u.task.date));
            let edge = match next {
                Some(used) => window::for_target(&facts, used, view).closes,
                None => window::against(&facts, ix, view, Lane::BeforeSwell).closes,
            };
            let Some(edge) = edge else { continue };
            let days_left = (edge.day - today).num_days();
            if !(-CLOSED_DAYS..=AHEAD_DAYS).contains(&days_left) {
                continue;
            }
            found.push(Closing {
                name: view.name().to_owned(),
                target,
                block: block.id.clone(),
                block_name: block.name.clone(),
                last_safe: edge.day,
                days_left,
                planned: next.map(|u| u.task.date),
                source: edge.source(),
            });
        }
    }
    found.sort_by(|a, b| {
        a.last_safe
            .cmp(&b.last_safe)
            .then_with(|| a.block.cmp(&b.block))
    });
    found
}

fn targets_of(season: &Season, block: &Block) -> Vec<TargetId> {
    let mut targets: Vec<TargetId> = block.seen.iter().map(|s| s.target.clone()).collect();
    for task in season.tasks.iter().filter(|t| is_on(t, block)) {
        targets.extend(task.targets.iter().cloned());
    }
    targets.sort();
    targets.dedup();
    targets
}

fn is_on(task: &Task, block: &Block) -> bool {
    task.kind == TaskKind::Spray && (task.blocks.is_empty() || task.blocks.contains(&block.id))
}

/// Was something that works on it sprayed there in the lane before swell?
fn is_sprayed(facts: &Facts<'_>, block_ix: usize, view: &TargetView<'_>) -> bool {
    facts.timeline(block_ix).iter().any(|e| {
        !e.is_open()
            && e.used.is_some_and(|u| {
                u.task.lane == Lane::BeforeSwell && facts.works(view, u.material_ix)
            })
    })
}
