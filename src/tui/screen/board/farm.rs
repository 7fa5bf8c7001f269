//! The farm in one table: a row a block, the most pressing first.

use super::standing::Mark;
use crate::domain::hours::job::Job;
use crate::domain::season::{Block, BlockId, Task, TaskId, TaskKind, TaskState};
use crate::tui::model::Model;
use crate::tui::words;
use chrono::NaiveDate;

/// One block and the spray that presses most on it.
#[derive(Debug, Clone)]
pub struct FarmRow {
    /// Which block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// Its kind of tree.
    pub kind: &'static str,
    /// The first and last likely day of swell.
    pub swell: Option<(NaiveDate, NaiveDate)>,
    /// The last safe day of the spray that presses, else that of bare wood.
    pub safe: Option<NaiveDate>,
    /// The spray that presses most, or the last that was done.
    pub task: Option<TaskId>,
    /// What stands against it.
    pub mark: Mark,
    /// When it is planned, or was done.
    pub planned: String,
    /// How long it takes.
    pub hours: Option<f64>,
}

/// Does a task reach a block?
pub fn reaches(task: &Task, block: &Block) -> bool {
    task.blocks.is_empty() || task.blocks.contains(&block.id)
}

/// A row a block, by danger: stop, caution, closing, open by last safe day, done.
pub fn rows(model: &Model) -> Vec<FarmRow> {
    let mut rows: Vec<FarmRow> = model.season.blocks.iter().map(|b| row(model, b)).collect();
    rows.sort_by(|a, b| {
        (a.mark.rank(), a.safe.is_none(), a.safe)
            .cmp(&(b.mark.rank(), b.safe.is_none(), b.safe))
            .then_with(|| a.name.cmp(&b.name))
    });
    rows
}

fn row(model: &Model, block: &Block) -> FarmRow {
    let orchard = &model.season.orchard;
    let sprays = || {
        model
            .season
            .tasks
            .iter()
            .filter(|t| t.kind == TaskKind::Spray && reaches(t, block))
    };
    let open = sprays().filter(|t| t.state.is_open()).min_by_key(|t| {
        let mark = Mark::of(t, model.standings.get(&t.id));
        (mark.rank(), t.date, t.id.clone())
    });
    let done = sprays()
        .filter(|t| matches!(t.state, TaskState::Done(_)))
        .max_by_key(|t| t.day());
    let task = open.or(done);
    let estimate = model.estimates.as_ref().and_then(|e| e.of(&block.id));
    let guard = block.guard_days.unwrap_or(orchard.guard_days);
    let bare = estimate.map(|e| e.swell.last_safe(orchard.tolerance.fraction(), guard));
    let own = open.and_then(|t| model.standings.get(&t.id)?.last_safe);
    let planned = match task {
        None => "none planned".to_owned(),
        Some(t) => {
            let day = words::weekday_day(t.day());
            match t.hour.filter(|_| t.state.is_open()) {
                Some(hour) => format!("{day} {hour:02}:00"),
                None => day,
            }
        }
    };
    FarmRow {
        block: block.id.clone(),
        name: block.name.clone(),
        kind: block.species.words(),
        swell: estimate.map(|e| (e.swell.p10(), e.swell.p90())),
        safe: own.or(bare),
        task: task.map(|t| t.id.clone()),
        mark: match task {
            Some(t) => Mark::of(t, model.standings.get(&t.id)),
            None => Mark::NotYet,
        },
        planned,
        hours: open.map(|t| Job::of(&model.season, t).hours),
    }
}
