//! Block × target × lane: what is covered, and what would close a gap.
//!
//! A spray counts for a target when its active works on it, its lane is one in
//! which the target can be hit, and its day is not too late for it. What no
//! dormant spray controls is never shown as covered.

mod grid;
mod proposals;

pub use grid::{Cover, Grid, GridRow, grid};
pub use proposals::{Proposal, proposals};

use super::phenology::distribution::exceeds;
use super::rules::Facts;
use super::season::{Block, Lane, TargetSeen};
use super::targets::{Control, TargetView};
use super::window;
use chrono::NaiveDate;

/// A window that closes within so many days is named as closing.
pub const CLOSING_DAYS: i64 = 21;

/// What was seen on a block: of several sightings of one target the one that
/// weighs most, a counted one of this season before any other.
pub fn sightings<'a>(block: &'a Block, season: &str) -> Vec<&'a TargetSeen> {
    let mut kept: Vec<&TargetSeen> = Vec::new();
    for seen in &block.seen {
        let weight = |s: &TargetSeen| (s.season == season && s.count.is_some(), s.season == season);
        match kept.iter_mut().find(|k| k.target == seen.target) {
            Some(k) if weight(seen) > weight(k) => *k = seen,
            Some(_) => {}
            None => kept.push(seen),
        }
    }
    kept
}

/// Is a day too late for a target, by its own last stage?
pub(crate) fn too_late(
    facts: &Facts<'_>,
    block_ix: usize,
    view: &TargetView<'_>,
    day: NaiveDate,
) -> bool {
    view.last_stage()
        .and_then(|(bbch, _)| facts.stage(block_ix, bbch))
        .is_some_and(|stage| exceeds(stage.chance_by(day), facts.tolerance()))
}

/// Is there a spray that works on this target in a lane that counts: done in time, or planned
/// inside its window?
pub(crate) fn is_covered<'a>(facts: &Facts<'a>, block_ix: usize, view: &TargetView<'a>) -> bool {
    view.control() != Control::None
        && facts.timeline(block_ix).iter().any(|e| {
            e.used.is_some_and(|u| {
                view.lane(u.task.lane) == Some(true)
                    && facts.works(view, u.material_ix)
                    && if u.task.state.is_open() {
                        window::for_target(facts, &u, *view).state(e.day).is_open()
                    } else {
                        !too_late(facts, block_ix, view, e.day)
                    }
            })
        })
}

/// The last safe day against a target on a block: by its last stage, the
/// grower's guard days and tolerance.
pub(crate) fn closes<'a>(
    facts: &Facts<'a>,
    block_ix: usize,
    view: &TargetView<'a>,
) -> Option<NaiveDate> {
    window::against(facts, block_ix, *view, Lane::BeforeSwell)
        .closes
        .map(|e| e.day)
}

/// Has the lane's window passed for this target on this block? The lanes after
/// leaf drop and in mid-winter pass with swell at the latest.
pub(crate) fn lane_passed(
    facts: &Facts<'_>,
    block_ix: usize,
    view: &TargetView<'_>,
    lane: Lane,
) -> bool {
    if too_late(facts, block_ix, view, facts.today) {
        return true;
    }
    lane != Lane::BeforeSwell
        && facts
            .estimate_at(block_ix)
            .is_some_and(|e| exceeds(e.swell.chance_by(facts.today), facts.tolerance()))
}
