//! The purposes of every spray, and the window of each.

use super::best;
use super::closes::{self, Limit};
use super::edge::{Edge, EdgeKind};
use super::opens::{self, later};
use super::task::TaskWindow;
use super::{Window, WindowState};
use super::{spent, start};
use crate::domain::look_up::LookUp;
use crate::domain::season::{Lane, TaskId};
use crate::domain::targets::{Control, TargetView};
use crate::domain::uses::{Spray, Use, Uses};
use chrono::NaiveDate;

/// One purpose of a spray on a block: a material and what it is for there.
#[derive(Clone)]
pub struct Purpose<'a> {
    /// The task, block and material.
    pub used: Use<'a>,
    /// Its last stage.
    pub limit: Limit<'a>,
    /// Its window.
    pub window: Window<'a>,
    /// Leaf drop, or the part of it that label or target ask for: whatever opens it later.
    pub leaves: Option<Edge<'a>>,
    /// The day it is judged on.
    pub judged_on: NaiveDate,
    /// Its state on that day.
    pub state: WindowState,
    /// The days on which it does most good, where some are better than others.
    pub best: Option<(NaiveDate, NaiveDate)>,
    /// Common practice ends it earlier than its target: the last safe day by that.
    pub practice_until: Option<NaiveDate>,
}

/// The windows of every spray that counts.
pub struct Windows<'a> {
    purposes: Vec<Purpose<'a>>,
    tasks: LookUp<&'a str, TaskWindow<'a>>,
}

impl<'a> Windows<'a> {
    /// Works out the window of every open use.
    pub fn new(uses: &Uses<'a>) -> Self {
        let purposes: Vec<Purpose<'a>> = uses.open_uses().map(|u| purpose(uses, u)).collect();
        // The uses of one spray stand together, in the order of the sprays.
        let mut each = purposes.chunk_by(|a, b| a.used.spray_ix == b.used.spray_ix);
        let mut of_uses = each.next();
        let mut tasks = LookUp::default();
        for (spray_ix, spray) in uses.all_sprays().iter().enumerate() {
            if !spray.is_open() {
                continue;
            }
            let own =
                of_uses.filter(|all| all.first().is_some_and(|p| p.used.spray_ix == spray_ix));
            let window = match own {
                Some(all) => {
                    of_uses = each.next();
                    narrowest(all)
                }
                None if spray.parts.is_empty() => bare(uses, spray),
                None => None,
            };
            let Some(mut window) = window else { continue };
            window.start_by = window
                .last_safe()
                .and_then(|last| start::last_start(uses.season, spray, last));
            tasks.insert(spray.task.id.as_str(), window);
        }
        Self { purposes, tasks }
    }

    /// Every purpose of every open spray.
    pub fn purposes(&self) -> &[Purpose<'a>] {
        &self.purposes
    }

    /// The window of an open spray: the narrowest over its blocks and purposes.
    pub fn of(&self, task: &TaskId) -> Option<&TaskWindow<'a>> {
        self.tasks.get(task.as_str())
    }
}

/// The window that all purposes of a spray share.
fn narrowest<'a>(purposes: &[Purpose<'a>]) -> Option<TaskWindow<'a>> {
    let (first, others) = purposes.split_first()?;
    let mut window = TaskWindow::new(first.judged_on, first.used.block_ix, &first.window);
    window.narrow_best(first.best);
    for purpose in others {
        window.narrow(purpose.used.block_ix, &purpose.window);
        window.narrow_best(purpose.best);
    }
    Some(window)
}

/// What a material of a spray is for: the targets it works on, else all of them.
fn targets_of<'a>(uses: &Uses<'a>, used: &Use<'a>) -> Vec<TargetView<'a>> {
    let named: Vec<TargetView<'a>> = uses
        .targets_of(used)
        .iter()
        .copied()
        .filter(|v| v.control() != Control::None && v.lives_on(used.block.species))
        .collect();
    let works: Vec<TargetView<'a>> = named
        .iter()
        .copied()
        .filter(|v| uses.works(v, used.material_ix))
        .collect();
    if works.is_empty() { named } else { works }
}

/// The last stage of a use, and who says so.
pub fn limit_of<'a>(uses: &Uses<'a>, used: &Use<'a>) -> Limit<'a> {
    Limit::of(
        used.material,
        used.kinds,
        used.block,
        &targets_of(uses, used),
    )
}

/// The limit and the window of a use against some targets.
fn of_targets<'a>(
    uses: &Uses<'a>,
    used: &Use<'a>,
    targets: &[TargetView<'a>],
) -> (Limit<'a>, Window<'a>) {
    let limit = Limit::of(used.material, used.kinds, used.block, targets);
    let closes = closes::edge(uses, used.block_ix, &limit);
    let label = opens::by_label(uses, used.block_ix, used.material);
    let lane = used.task.lane;
    let against = opens::against(uses, used.block_ix, targets, lane);
    // A label that allows leaves on the tree opens before leaf drop; one that asks for a stage
    // opens there.
    let mut opening = match label {
        Some(Edge {
            kind: EdgeKind::Leaves { .. },
            ..
        }) if !matches!(against.map(|e| e.kind), Some(EdgeKind::Stage { .. })) => label,
        _ => later(label, against),
    };
    if lane == Lane::BeforeSwell && limit.is_before_swell() {
        opening = later(opening, closes.map(|c| opens::late_winter(c.day)));
    }
    let last_safe = closes.map(|c| c.day);
    let window = Window {
        opens: opens::with_distances(uses, used, opening, last_safe),
        opens_alone: opening,
        closes,
        spent: spent::spent(uses, used).filter(|_| used.is_open()),
    };
    (limit, window)
}

fn purpose<'a>(uses: &Uses<'a>, used: &Use<'a>) -> Purpose<'a> {
    let targets = targets_of(uses, used);
    let (limit, window) = of_targets(uses, used, &targets);
    let leaves = opens::leaves_of(uses, used, &targets);
    let judged_on = uses.judged_on(used.task);
    Purpose {
        used: *used,
        limit,
        window,
        leaves,
        judged_on,
        state: window.state(judged_on),
        best: best::best(uses, used, &limit, &window),
        practice_until: limit
            .practice
            .and_then(|bbch| closes::last_safe(uses, used.block_ix, bbch)),
    }
}

/// The window of a spray whose tank is not chosen yet: that of its targets.
fn bare<'a>(uses: &Uses<'a>, spray: &Spray<'a>) -> Option<TaskWindow<'a>> {
    let judged_on = uses.judged_on(spray.task);
    let mut found: Option<TaskWindow<'a>> = None;
    for &block_ix in &spray.blocks {
        for window in of_targets_alone(uses, spray, block_ix) {
            match &mut found {
                Some(known) => known.narrow(block_ix, &window),
                None => found = Some(TaskWindow::new(judged_on, block_ix, &window)),
            }
        }
    }
    found
}

/// The windows of a spray on a block by each target that lives there, whatever is sprayed.
pub(crate) fn of_targets_alone<'a>(
    uses: &Uses<'a>,
    spray: &Spray<'a>,
    block_ix: usize,
) -> impl Iterator<Item = Window<'a>> {
    let block = uses.season.blocks.get(block_ix);
    spray
        .targets
        .iter()
        .filter(move |v| {
            v.control() != Control::None && block.is_some_and(|b| v.lives_on(b.species))
        })
        .map(move |view| super::against(uses, block_ix, *view, spray.task.lane))
}

/// The window of a use against one target alone.
pub(crate) fn for_target<'a>(uses: &Uses<'a>, used: &Use<'a>, view: TargetView<'a>) -> Window<'a> {
    of_targets(uses, used, &[view]).1
}

/// The last safe day of a use against one target alone, where the target lives on the block and
/// the material works on it.
pub(crate) fn last_safe_against<'a>(
    uses: &Uses<'a>,
    used: &Use<'a>,
    view: TargetView<'a>,
) -> Option<NaiveDate> {
    if !view.lives_on(used.block.species) || !uses.works(&view, used.material_ix) {
        return None;
    }
    let limit = Limit::of(used.material, used.kinds, used.block, &[view]);
    closes::edge(uses, used.block_ix, &limit).map(|e| e.day)
}
