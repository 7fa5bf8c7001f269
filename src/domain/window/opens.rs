//! What opens a window.

use super::closes::before;
use super::edge::{By, Edge, EdgeKind};
use crate::domain::hours::job::Job;
use crate::domain::mix::safety;
use crate::domain::season::{Lane, Material};
use crate::domain::targets::TargetView;
use crate::domain::uses::{Event, Use, Uses, distance};
use chrono::{Days, NaiveDate};
use std::ptr;

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
    decisive(a, b, None)
}

/// The later of two edges; but one that leaves no day before a last safe day goes first.
pub(super) fn decisive<'a>(
    a: Option<Edge<'a>>,
    b: Option<Edge<'a>>,
    last_safe: Option<NaiveDate>,
) -> Option<Edge<'a>> {
    let rank = |e: &Edge<'_>| {
        let leaves_none = e.kind.is_firm() && last_safe.is_some_and(|last| e.day > last);
        (leaves_none, e.day)
    };
    match (a, b) {
        (Some(a), Some(b)) => Some(if rank(&b) > rank(&a) { b } else { a }),
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

/// The place of an open use on the timeline of its block.
fn place(uses: &Uses<'_>, used: &Use<'_>) -> Option<usize> {
    let this = |e: &Event<'_>| {
        e.used
            .is_some_and(|u| ptr::eq(u.part, used.part) && u.is_open())
    };
    uses.timeline(used.block_ix).iter().position(this)
}

fn days_after(day: NaiveDate, days: i64) -> Option<NaiveDate> {
    day.checked_add_days(Days::new(days.unsigned_abs()))
}

/// What opens a window, with the distances to what was sprayed before on the same trees: the
/// label's interval, days kept apart from another active, re-entry. The latest of them counts.
pub(super) fn with_distances<'a>(
    uses: &Uses<'a>,
    used: &Use<'a>,
    opening: Option<Edge<'a>>,
    last_safe: Option<NaiveDate>,
) -> Option<Edge<'a>> {
    let Some((at, own)) =
        place(uses, used).and_then(|i| Some((i, *uses.timeline(used.block_ix).get(i)?)))
    else {
        return opening;
    };
    let before = uses.timeline(used.block_ix).get(..at).unwrap_or_default();
    let longest = uses.longest_distance_days();
    let mut latest = None;
    let mut asked: Vec<(NaiveDate, &Material)> = Vec::new();
    for event in before.iter().rev() {
        // Of what lies so far back nothing reaches beyond what is known.
        let known = decisive(opening, latest, last_safe);
        let floor = known.map(|e| last_safe.map_or(e.day, |last| e.day.min(last)));
        if floor.is_some_and(|f| days_after(event.day, longest).is_some_and(|d| d < f)) {
            break;
        }
        if distance::same_task(event, &own) {
            continue;
        }
        // Of several uses alike the latest is asked; of two edges on one day the earlier use's is
        // told, and of one use its interval before its re-entry.
        let alike = event.used.map(|u| (event.day, u.material));
        let is_asked = alike.is_some_and(|a| asked.iter().any(|b| a.0 == b.0 && ptr::eq(a.1, b.1)));
        if is_asked {
            latest = decisive(reentry(uses, event), latest, last_safe);
            continue;
        }
        asked.extend(alike);
        let edges = distances_to(uses, event, &own, used.block_ix);
        for edge in edges.into_iter().rev() {
            latest = decisive(edge, latest, last_safe);
        }
    }
    decisive(opening, latest, last_safe)
}

fn distances_to<'a>(
    uses: &Uses<'a>,
    earlier: &Event<'a>,
    own: &Event<'a>,
    block_ix: usize,
) -> [Option<Edge<'a>>; 3] {
    [
        interval(uses, earlier, own),
        apart(uses, earlier, own, block_ix),
        reentry(uses, earlier),
    ]
}

fn interval<'a>(uses: &Uses<'a>, earlier: &Event<'a>, own: &Event<'a>) -> Option<Edge<'a>> {
    let days = distance::interval(uses, earlier, own)?.0.whole_days();
    Some(Edge {
        day: days_after(earlier.day, days)?,
        kind: EdgeKind::Interval {
            name: earlier.name,
            on: earlier.day,
            days,
        },
    })
}

fn apart<'a>(
    uses: &Uses<'a>,
    earlier: &Event<'a>,
    own: &Event<'a>,
    block_ix: usize,
) -> Option<Edge<'a>> {
    if earlier.material == own.material {
        return None;
    }
    let asked = distance::keep_apart(uses, earlier, own, uses.estimate_at(block_ix))?;
    Some(Edge {
        day: days_after(earlier.day, asked.days)?,
        kind: EdgeKind::Apart {
            name: earlier.name,
            on: earlier.day,
            days: asked.days,
            source: asked.source,
            by_label: asked.by_label,
        },
    })
}

/// The day on which re-entry after another spray ends; one without its hours may have ended as
/// late as midnight.
fn reentry<'a>(uses: &Uses<'a>, earlier: &Event<'a>) -> Option<Edge<'a>> {
    let used = earlier.used?;
    let spray = uses.all_sprays().get(used.spray_ix)?;
    let wait_h = safety::reentry_h(spray.parts.iter().map(|p| p.1))?;
    let start = used.task.hour.filter(|_| used.is_open());
    let ends_h = match start {
        Some(hour) => f64::from(hour) + Job::of(uses.season, used.task).hours + wait_h,
        None => 24.0 + wait_h,
    };
    Some(Edge {
        day: days_after(earlier.day, (ends_h / 24.0).floor().min(36_600.0) as i64)?,
        kind: EdgeKind::ReEntry {
            title: &used.task.title,
            on: earlier.day,
        },
    })
}

/// The same counted from what was done alone.
pub(super) fn after_what_was_done<'a>(uses: &Uses<'a>, used: &Use<'a>) -> Option<NaiveDate> {
    let own = *uses.timeline(used.block_ix).get(place(uses, used)?)?;
    uses.timeline(used.block_ix)
        .iter()
        .filter(|e| !e.is_open() && !distance::same_task(e, &own))
        .flat_map(|e| distances_to(uses, e, &own, used.block_ix))
        .flatten()
        .map(|edge| edge.day)
        .max()
}

/// Late winter: so many days before the last safe day.
pub(super) fn late_winter<'a>(last_safe: NaiveDate) -> Edge<'a> {
    Edge {
        day: before(last_safe, LATE_WINTER_DAYS),
        kind: EdgeKind::LateWinter,
    }
}
