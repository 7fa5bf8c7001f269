//! The coverage grid.

use super::{CLOSING_DAYS, closes, lane_passed, sightings, too_late};
use crate::domain::mix;
use crate::domain::outlook::Estimates;
use crate::domain::rules::{self, Facts, Use};
use crate::domain::season::{BlockId, Lane, Season, TargetId, TaskId};
use crate::domain::targets::{self, Control, Need, TargetView};
use crate::domain::window::{self, WindowState};
use chrono::NaiveDate;
use serde::Serialize;
use std::collections::BTreeSet;

/// How a target on a block stands in a lane.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cover {
    /// An effective spray was done in time.
    Done,
    /// An effective spray is planned in time.
    Covered,
    /// An effective spray is past its day and not done, and its window is still open.
    Late,
    /// An effective spray is planned before its window opens.
    TooEarly,
    /// An effective spray is planned or done, but too late for this target.
    TooLate,
    /// A spray is planned or done, but nothing in it works on this target.
    WrongActive,
    /// Nothing is planned, and the window is still open.
    NothingPlanned,
    /// Nothing was planned, and the window has passed.
    Passed,
    /// A treatment in this lane does not help against this target.
    OtherLane,
    /// The count is below the published threshold: no treatment needed.
    NotNeeded,
    /// No dormant spray controls it.
    NotControllable,
    /// This target does not live on this kind of tree.
    NotAHost,
}

impl Cover {
    /// In plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::Covered => "covered",
            Self::Late => "late, not done",
            Self::TooEarly => "too early",
            Self::TooLate => "too late",
            Self::WrongActive => "wrong active",
            Self::NothingPlanned => "nothing planned",
            Self::Passed => "window passed",
            Self::OtherLane => "not in this lane",
            Self::NotNeeded => "not needed",
            Self::NotControllable => "not by a dormant spray",
            Self::NotAHost => "not a host",
        }
    }

    /// A sign of one character, so that nothing rests on colour.
    pub fn sign(self) -> char {
        match self {
            Self::Done => '#',
            Self::Covered => '+',
            Self::TooLate | Self::Late | Self::TooEarly => '!',
            Self::WrongActive => 'x',
            Self::NothingPlanned => '?',
            Self::Passed => '-',
            Self::OtherLane => ' ',
            Self::NotNeeded => 'o',
            Self::NotControllable | Self::NotAHost => 'n',
        }
    }
}

/// One cell: a target on a block in a lane.
#[derive(Debug, Clone, PartialEq)]
pub struct GridRow {
    /// Which block.
    pub block: BlockId,
    /// Its name.
    pub block_name: String,
    /// Which target.
    pub target: TargetId,
    /// Its name.
    pub target_name: String,
    /// Which lane.
    pub lane: Lane,
    /// Does a treatment in this lane count (`true`), or only help (`false`)?
    pub key: bool,
    /// How it stands.
    pub state: Cover,
    /// Why, one sentence each.
    pub reasons: Vec<String>,
    /// The sprays that were looked at.
    pub tasks: Vec<TaskId>,
    /// Last safe day against this target on this block.
    pub last_safe: Option<NaiveDate>,
    /// Days until then where the window is closing and nothing covers it yet.
    pub closing_in_days: Option<i64>,
}

/// The grid: three rows, one a lane, for every target of every block.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grid {
    /// The cells, by block, then target, then lane.
    pub rows: Vec<GridRow>,
}

impl Grid {
    /// Targets of blocks that can be controlled, need it, and have no
    /// effective spray in any lane that counts.
    pub fn gaps(&self) -> Vec<(&BlockId, &TargetId)> {
        let mut gaps = Vec::new();
        for cells in self.rows.chunks(Lane::ALL.len()) {
            let Some(first) = cells.first() else { continue };
            let covered = cells
                .iter()
                .any(|c| c.key && matches!(c.state, Cover::Done | Cover::Covered | Cover::Late));
            let idle = cells.iter().any(|c| {
                matches!(
                    c.state,
                    Cover::NotControllable | Cover::NotNeeded | Cover::NotAHost
                )
            });
            if !covered && !idle {
                gaps.push((&first.block, &first.target));
            }
        }
        gaps
    }

    /// Cells whose window is closing with nothing to cover the target.
    pub fn closing(&self) -> impl Iterator<Item = &GridRow> {
        self.rows.iter().filter(|r| r.closing_in_days.is_some())
    }
}

/// The coverage grid of a season: for every block what was seen there, and
/// what its sprays name as targets.
pub fn grid(season: &Season, estimates: &Estimates, today: NaiveDate) -> Grid {
    let facts = Facts::new(season, estimates, today);
    let refused = refused(&facts);
    let mut rows = Vec::new();
    for (ix, block) in season.blocks.iter().enumerate() {
        let seen = sightings(block, &season.season);
        let mut ids: Vec<TargetId> = seen.iter().map(|s| s.target.clone()).collect();
        for spray in facts.all_sprays().iter().filter(|s| s.blocks.contains(&ix)) {
            for id in &spray.task.targets {
                if !ids.contains(id) {
                    ids.push(id.clone());
                }
            }
        }
        for id in ids {
            let Some(view) = targets::find(season, &id) else {
                continue;
            };
            let need = seen
                .iter()
                .find(|s| s.target == id)
                .map(|s| targets::need_on(&view, s, &season.season, block.species));
            // A target that only a spray names and that lives elsewhere is not this block's.
            if need.is_none() && !view.lives_on(block.species) {
                continue;
            }
            let start = rows.len();
            rows.extend(Lane::ALL.map(|lane| cell(&facts, &refused, ix, &view, need, lane)));
            name_closing(&facts, rows.get_mut(start..).unwrap_or_default());
        }
    }
    Grid { rows }
}

/// Marks the last open lane of a target that nothing covers, where its window
/// is closing.
fn name_closing(facts: &Facts<'_>, cells: &mut [GridRow]) {
    let covered = cells
        .iter()
        .any(|c| c.key && matches!(c.state, Cover::Done | Cover::Covered));
    if covered {
        return;
    }
    let open = cells.iter_mut().rev().find(|c| {
        c.key
            && matches!(
                c.state,
                Cover::NothingPlanned
                    | Cover::WrongActive
                    | Cover::TooLate
                    | Cover::TooEarly
                    | Cover::Late
            )
    });
    let Some(cell) = open else { return };
    let left = cell.last_safe.map(|d| (d - facts.today).num_days());
    if let Some(n) = left.filter(|n| (0..=CLOSING_DAYS).contains(n)) {
        cell.closing_in_days = Some(n);
        let day = cell.last_safe.map_or_else(String::new, |d| d.to_string());
        cell.reasons.push(format!(
            "The window is closing: last safe day {day}, in {}.",
            rules::days(n)
        ));
    }
}

/// The open sprays whose mix is refused as it is planned: they cover nothing.
fn refused(facts: &Facts<'_>) -> BTreeSet<TaskId> {
    rules::check(facts)
        .iter()
        .filter(|w| mix::refuses(w))
        .filter_map(|w| w.task.clone())
        .collect()
}

fn cell<'a>(
    facts: &Facts<'a>,
    refused: &BTreeSet<TaskId>,
    ix: usize,
    view: &TargetView<'a>,
    need: Option<Need>,
    lane: Lane,
) -> GridRow {
    let (block_id, block_name, species) = facts.season.blocks.get(ix).map_or_else(
        || (BlockId::from(""), String::new(), None),
        |b| (b.id.clone(), b.name.clone(), Some(b.species)),
    );
    let mut row = GridRow {
        block: block_id,
        block_name,
        target: view.id(),
        target_name: view.name().to_owned(),
        lane,
        key: view.lane(lane) == Some(true),
        state: Cover::OtherLane,
        reasons: Vec::new(),
        tasks: Vec::new(),
        last_safe: closes(facts, ix, view),
        closing_in_days: None,
    };
    if view.control() == Control::None {
        row.state = Cover::NotControllable;
        row.last_safe = None;
        row.reasons.push(format!(
            "No dormant spray controls {}. {}",
            view.name(),
            view.caveat()
        ));
        row.reasons
            .extend(view.sanitation().iter().map(|s| s.words.to_owned()));
        return row;
    }
    if species.is_some_and(|s| !view.lives_on(s)) {
        row.state = Cover::NotAHost;
        row.reasons.push(format!(
            "{} does not live on this kind of tree.",
            view.name()
        ));
        return row;
    }
    if need == Some(Need::NotNeeded) {
        row.state = Cover::NotNeeded;
        row.reasons.push(Need::NotNeeded.words().to_owned());
        return row;
    }
    if let Some(need) = need {
        row.reasons.push(need.words().to_owned());
    }
    if view.lane(lane).is_none() {
        row.reasons
            .push("A treatment in this lane does not help.".to_owned());
        return row;
    }
    if !view.lane_words(lane).is_empty() {
        row.reasons
            .push(format!("When: {}.", view.lane_words(lane)));
    }
    if view.control() == Control::Partial {
        row.reasons.push(view.caveat().to_owned());
    }
    judge(facts, refused, ix, view, &mut row);
    row
}

/// How one use stands against a target: done in time or not; open by its window.
fn standing<'a>(
    facts: &Facts<'a>,
    ix: usize,
    view: &TargetView<'a>,
    used: &Use<'a>,
) -> (Cover, String) {
    let task = used.task;
    let (name, title, day) = (&used.material.name, &task.title, used.day());
    if !used.is_open() {
        return if too_late(facts, ix, view, day) {
            (
                Cover::TooLate,
                format!("{name} in '{title}' on {day} was too late."),
            )
        } else {
            (Cover::Done, format!("{name} in '{title}' done {day}."))
        };
    }
    let window = window::for_target(facts, used, *view);
    match window.state(facts.judged_on(task)) {
        WindowState::Closed => (
            Cover::TooLate,
            format!("{name} in '{title}' on {day} is too late."),
        ),
        WindowState::NotYet => (
            Cover::TooEarly,
            format!(
                "{name} in '{title}' on {day} is too early{}.",
                window
                    .opens
                    .map_or_else(String::new, |e| format!(": its window opens {}", e.day))
            ),
        ),
        _ if day < facts.today => (
            Cover::Late,
            format!(
                "{name} in '{title}' was planned {day} and is not done; the window is still open."
            ),
        ),
        _ => (
            Cover::Covered,
            format!("{name} in '{title}' planned {day}."),
        ),
    }
}

/// The best of the lane's sprays decides the state.
fn judge<'a>(
    facts: &Facts<'a>,
    refused: &BTreeSet<TaskId>,
    ix: usize,
    view: &TargetView<'a>,
    row: &mut GridRow,
) {
    let rank = |c: Cover| match c {
        Cover::Done => 6,
        Cover::Covered => 5,
        Cover::Late => 4,
        Cover::TooEarly => 3,
        Cover::TooLate => 2,
        Cover::WrongActive => 1,
        _ => 0,
    };
    let mut best = if lane_passed(facts, ix, view, row.lane) {
        Cover::Passed
    } else {
        Cover::NothingPlanned
    };
    let sprays = facts
        .all_sprays()
        .iter()
        .filter(|s| s.task.lane == row.lane && s.blocks.contains(&ix) && !s.parts.is_empty());
    for spray in sprays {
        let task = spray.task;
        let works = facts
            .uses_of(spray, ix)
            .find(|u| facts.works(view, u.material_ix));
        let done = !spray.is_open();
        let (state, reason) = match works {
            None => (
                Cover::WrongActive,
                format!("Nothing in '{}' works on {}.", task.title, view.name()),
            ),
            Some(_) if !done && refused.contains(&task.id) => (
                Cover::WrongActive,
                format!("The mix of '{}' is refused as it is planned.", task.title),
            ),
            Some(used) => standing(facts, ix, view, used),
        };
        row.reasons.push(reason);
        row.tasks.push(task.id.clone());
        if rank(state) > rank(best) {
            best = state;
        }
    }
    row.state = best;
}
