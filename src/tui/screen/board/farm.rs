//! The farm in one table: a row a block, the most pressing first; and the words that narrow it
//! and every list of the board.

use super::BoardView;
use super::standing::Mark;
pub use crate::domain::farm::{FarmRow, Group, Purpose, State};
use crate::domain::farm::{filtered, grouped, table};
use crate::domain::outlook::Estimates;
use crate::domain::season::{BlockId, TaskId, TaskKind};
use crate::tui::model::Model;
use std::collections::HashSet;

/// The table as it was last made.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Table {
    /// What it was made for: the revision of the model, the words, the order.
    made: Option<(u64, String, Group)>,
    /// The rows shown.
    pub rows: Vec<FarmRow>,
    /// The tasks that the words leave; `None` where no words are written.
    pub only: Option<HashSet<TaskId>>,
}

/// Makes the table anew where it is in view, or narrows the lists, and anything has changed.
pub fn refresh(model: &mut Model) {
    let board = &model.board;
    if board.view != BoardView::Farm && board.words.is_empty() {
        model.board.table = Table::default();
        return;
    }
    let key = (model.revision, board.words.clone(), board.order_by);
    if board.table.made.as_ref() == Some(&key) {
        return;
    }
    let marked = board
        .table
        .rows
        .get(board.farm_row)
        .map(|r| r.block.clone());
    let none = Estimates::default();
    let all = table(
        &model.season,
        model.estimates.as_ref().unwrap_or(&none),
        &model.outlook,
        model.fits.as_ref(),
        model.now,
    );
    let rows = filtered(&model.season, &all, &key.1);
    let only = (!key.1.is_empty()).then(|| tasks_of(model, &rows, &key.1));
    let rows: Vec<FarmRow> = grouped(&model.season, &rows, key.2)
        .into_iter()
        .flat_map(|(_, rows)| rows)
        .collect();
    let place = rows.iter().position(|r| Some(&r.block) == marked.as_ref());
    let last = rows.len().saturating_sub(1);
    let board = &mut model.board;
    board.farm_row = place.unwrap_or(board.farm_row).min(last);
    board.table = Table {
        made: Some(key),
        rows,
        only,
    };
}

/// The tasks that the words leave: the sprays of the rows, and other work that they name.
fn tasks_of(model: &Model, rows: &[FarmRow], words: &str) -> HashSet<TaskId> {
    let words = words.to_lowercase();
    let names_it = |title: &str| {
        let title = title.to_lowercase();
        words.split_whitespace().all(|w| title.contains(w))
    };
    let named = model
        .season
        .tasks
        .iter()
        .filter(|t| names_it(&t.title))
        .map(|t| t.id.clone());
    rows.iter()
        .flat_map(|r| r.purposes.iter().map(|p| p.task.clone()))
        .chain(named)
        .collect()
}

/// The sign, the word and the look of a state.
pub fn mark(state: State) -> Mark {
    match state {
        State::Stop => Mark::Stop,
        State::Closing => Mark::Closing,
        State::Caution => Mark::Caution,
        State::Late => Mark::Late(false),
        State::Open => Mark::Open,
        State::NotYet => Mark::NotYet,
        State::Done => Mark::Done,
        State::Skipped | State::NoUse => Mark::Skipped,
    }
}

/// The blocks by what presses on them: the sign of their gravest spray, then its day.
pub fn by_danger(model: &Model) -> Vec<(BlockId, String)> {
    let mut rows: Vec<_> = model
        .season
        .blocks
        .iter()
        .map(|block| {
            let pressing = model
                .season
                .tasks
                .iter()
                .filter(|t| t.kind == TaskKind::Spray && t.state.is_open())
                .filter(|t| t.blocks.is_empty() || t.blocks.contains(&block.id))
                .map(|t| {
                    let standing = model.standings.get(&t.id);
                    let safe = standing.and_then(|s| s.last_safe);
                    (Mark::of(t, standing).rank(), safe.is_none(), safe, t.date)
                })
                .min();
            (
                pressing.is_none(),
                pressing,
                block.name.clone(),
                block.id.clone(),
            )
        })
        .collect();
    rows.sort();
    rows.into_iter()
        .map(|(_, _, name, id)| (id, name))
        .collect()
}
