//! Targets whose window closes soon.

use super::swell::stage_date;
use crate::domain::outlook::Estimates;
use crate::domain::phenology::stage::Stage;
use crate::domain::season::{Block, BlockId, Lane, Season, TargetId, Task, TaskKind, TaskState};
use crate::domain::sources::Source;
use crate::domain::targets;
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

/// Targets seen on a block or aimed at by its sprays, whose last safe day
/// falls within three weeks (or fell within the last two), and against which
/// nothing was sprayed there since mid-winter.
pub fn closing(season: &Season, estimates: &Estimates, today: NaiveDate) -> Vec<Closing> {
    let mut found = Vec::new();
    for block in &season.blocks {
        for target in targets_of(season, block) {
            let lives_here =
                targets::find(season, &target).is_some_and(|t| t.lives_on(block.species));
            if !lives_here || is_sprayed(season, block, &target) {
                continue;
            }
            let Some((name, stage, source)) = targets::last_stage(season, &target) else {
                continue;
            };
            let Some(date) = date_of(estimates, block, stage) else {
                continue;
            };
            let guard = block.guard_days.unwrap_or(season.orchard.guard_days);
            let last_safe = date.last_safe(season.orchard.tolerance.fraction(), guard);
            let days_left = (last_safe - today).num_days();
            if !(-CLOSED_DAYS..=AHEAD_DAYS).contains(&days_left) {
                continue;
            }
            let open = || {
                sprays_against(season, block, &target)
                    .filter(|t| t.state.is_open())
                    .map(|t| t.date)
            };
            // The next one counts; one that is overdue only where there is no other.
            let planned = open()
                .filter(|d| *d >= today)
                .min()
                .or_else(|| open().max());
            found.push(Closing {
                target,
                name,
                block: block.id.clone(),
                block_name: block.name.clone(),
                last_safe,
                days_left,
                planned,
                source,
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

fn date_of(
    estimates: &Estimates,
    block: &Block,
    bbch: u8,
) -> Option<crate::domain::phenology::distribution::StageDate> {
    if bbch <= Stage::Swell.bbch() {
        return stage_date(estimates, &block.id, Stage::Swell).cloned();
    }
    estimates.of(&block.id).map(|e| e.at_bbch(bbch))
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

fn sprays_against<'a>(
    season: &'a Season,
    block: &'a Block,
    target: &'a TargetId,
) -> impl Iterator<Item = &'a Task> {
    season
        .tasks
        .iter()
        .filter(move |t| is_on(t, block) && t.targets.contains(target))
}

fn is_sprayed(season: &Season, block: &Block, target: &TargetId) -> bool {
    sprays_against(season, block, target)
        .any(|t| t.lane == Lane::BeforeSwell && matches!(t.state, TaskState::Done(_)))
}
