//! What opens a window.

use super::closes::before;
use super::edge::{By, Edge, EdgeKind};
use crate::domain::materials::Actives;
use crate::domain::season::{Lane, Material};
use crate::domain::targets::TargetView;
use crate::domain::uses::{Event, Use, Uses};
use chrono::{Days, NaiveDate};

/// Days before leaf drop on which part of the leaves are down (common practice, no source: leaf
/// fall takes some five weeks from first colour, the last half of it ten days).
const fn leaf_fall_days(bbch: u8) -> Option<u64> {
    match bbch {
        91 | 92 => Some(35),
        93 | 94 => Some(21),
        95 | 96 => Some(10),
        _ => None,
    }
}

/// Days before the last safe day from which the last spray before swell makes sense: the later
/// the better, but not so late that no fit hours are left (common practice, no source).
pub(super) const LATE_WINTER_DAYS: u64 = 42;

/// The later of two edges.
pub(super) fn later<'a>(a: Option<Edge<'a>>, b: Option<Edge<'a>>) -> Option<Edge<'a>> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if b.day > a.day { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// Leaf drop on a block, or the part of leaf fall from which label or target allows it.
fn leaves<'a>(uses: &Uses<'a>, block_ix: usize, first_stage: Option<u8>) -> Option<Edge<'a>> {
    let block = uses.season.blocks.get(block_ix)?;
    let (drop, seen) = uses.season.leaf_drop(block);
    Some(
        match first_stage.and_then(|s| Some((s, leaf_fall_days(s)?))) {
            Some((bbch, days)) => Edge {
                day: before(drop, days),
                kind: EdgeKind::Leaves { bbch },
            },
            None => Edge {
                day: drop,
                kind: EdgeKind::LeafDrop { seen },
            },
        },
    )
}

/// The same for a use: the label's word first, then the earliest its targets ask for.
pub(super) fn leaves_of<'a>(
    uses: &Uses<'a>,
    used: &Use<'a>,
    targets: &[TargetView<'a>],
) -> Option<Edge<'a>> {
    if used.task.lane != Lane::AfterLeafDrop {
        return leaves(uses, used.block_ix, used.material.label.first_stage);
    }
    let by_label = by_label(uses, used.block_ix, used.material);
    by_label
        .filter(|e| matches!(e.kind, EdgeKind::Leaves { .. }))
        .or_else(|| {
            let each = targets
                .iter()
                .filter_map(|v| leaves(uses, used.block_ix, v.first_stage()));
            each.min_by_key(|e| e.day)
        })
        .or_else(|| leaves(uses, used.block_ix, None))
}

/// The first likely day (1 in 10) of a stage.
fn stage<'a>(uses: &Uses<'a>, block_ix: usize, bbch: u8, by: By<'a>) -> Option<Edge<'a>> {
    Some(Edge {
        day: uses.stage(block_ix, bbch)?.p10(),
        kind: EdgeKind::Stage { bbch, by },
    })
}

/// What opens a window against targets in a lane: the first of them to open decides, since a spray
/// that is right for one of its targets is not too early.
pub(super) fn against<'a>(
    uses: &Uses<'a>,
    block_ix: usize,
    targets: &[TargetView<'a>],
    lane: Lane,
) -> Option<Edge<'a>> {
    let earliest = targets
        .iter()
        .filter_map(|view| {
            let leaves = leaves(
                uses,
                block_ix,
                view.first_stage().filter(|_| lane == Lane::AfterLeafDrop),
            );
            let stage = view
                .opens(lane)
                .and_then(|bbch| stage(uses, block_ix, bbch, By::Target(*view, view.source())));
            later(leaves, stage)
        })
        .min_by_key(|e| e.day);
    earliest.or_else(|| leaves(uses, block_ix, None))
}

/// What the label opens: a part of leaf fall, or a stage of the buds.
pub(super) fn by_label<'a>(
    uses: &Uses<'a>,
    block_ix: usize,
    material: &Material,
) -> Option<Edge<'a>> {
    let first = material.label.first_stage?;
    if (51..=69).contains(&first) {
        return stage(uses, block_ix, first, By::Label);
    }
    leaves(uses, block_ix, Some(first)).filter(|e| matches!(e.kind, EdgeKind::Leaves { .. }))
}

/// Are these uses of one active, as intervals count them? Copper counts by its metal, whatever it
/// is sold as.
pub(crate) fn same_active(used: &Use<'_>, event: &Event<'_>) -> bool {
    used.material.id.as_str() == event.material
        || (used.kinds.any(Actives::COPPER) && event.kinds.any(Actives::COPPER))
}

/// The end of the label's interval since the last use of the same active before a day.
pub(super) fn interval<'a>(uses: &Uses<'a>, used: &Use<'a>, day: NaiveDate) -> Option<Edge<'a>> {
    let days = used.material.label.interval?.whole_days();
    let last = uses
        .timeline(used.block_ix)
        .iter()
        .take_while(|e| e.day <= day)
        .filter(|e| e.used.is_none_or(|u| u.task.id != used.task.id) && same_active(used, e))
        .last()?;
    Some(Edge {
        day: last.day.checked_add_days(Days::new(days.unsigned_abs()))?,
        kind: EdgeKind::Interval {
            name: last.name,
            on: last.day,
            days,
        },
    })
}

/// The same counted from what was done alone: whoever puts several open sprays in order keeps their
/// distances himself.
pub(super) fn interval_since_done(uses: &Uses<'_>, used: &Use<'_>) -> Option<NaiveDate> {
    let days = used.material.label.interval?.whole_days();
    let last = uses
        .timeline(used.block_ix)
        .iter()
        .filter(|e| !e.is_open() && same_active(used, e))
        .map(|e| e.day)
        .max()?;
    last.checked_add_days(Days::new(days.unsigned_abs()))
}

/// Late winter: so many days before the last safe day.
pub(super) fn late_winter<'a>(last_safe: NaiveDate) -> Edge<'a> {
    Edge {
        day: before(last_safe, LATE_WINTER_DAYS),
        kind: EdgeKind::LateWinter,
    }
}
