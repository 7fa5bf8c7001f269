//! Pure edits: each takes a season and gives the season after it.

mod blocks;
mod parts;
mod shed;
mod spray;

pub use blocks::{
    add_block, put_person, put_sprayer, replace_block, retire_block, retire_person, retire_sprayer,
    split_block,
};
pub use parts::{PartPlan, join_parts, plan_part, split_off};
pub use shed::{count, receive};
pub use spray::{
    add_calibration, add_material, delete_material, free_material_id, replace_material, see_target,
    toggle_quiet_here, unsee_target,
};

use super::{
    BlockId, Lane, MaterialId, Move, Quiet, Reading, Season, Task, TaskId, TaskKind, TaskState,
};
use chrono::{NaiveDate, TimeDelta};
use thiserror::Error;

/// Why an edit cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum EditError {
    /// The task is not in this season.
    #[error("there is no task '{0}' in this season")]
    NoTask(String),
    /// The task is done or skipped.
    #[error("'{0}' is already done or skipped; open it again before moving it")]
    NotOpen(String),
    /// Another task has this id.
    #[error("there is already a task '{0}'")]
    TaskExists(String),
    /// The material is not in this season.
    #[error("there is no material '{0}' in this season")]
    NoMaterial(String),
    /// A block is not to do in this task.
    #[error("'{1}' is not a block that is still to do in '{0}'")]
    NotToDo(String, String),
    /// Another block has this id.
    #[error("there is already a block '{0}'")]
    BlockExists(String),
    /// A season needs a block.
    #[error("'{0}' is the last block: a season needs one")]
    LastBlock(String),
    /// A split that leaves nothing.
    #[error("'{0}' has {1} trees: name from 1 to one less for the new block")]
    NoSplit(String, u32),
    /// The person is not in this season.
    #[error("there is no person '{0}' in this season")]
    NoPerson(String),
    /// Volume and mass, and no density.
    #[error(
        "'{0}' is in stock by the other measure, volume or mass; set its density, or count it anew"
    )]
    OtherUnit(String),
    /// The date leaves the calendar.
    #[error("that day is outside the calendar")]
    OutOfCalendar,
    /// The block is not in this season.
    #[error("there is no block '{0}' in this season")]
    NoBlock(String),
    /// The sprayer is not in this season.
    #[error("there is no sprayer '{0}' in this season")]
    NoSprayer(String),
    /// A task uses the material.
    #[error("'{0}' is used by '{1}'; take it off that task first")]
    MaterialUsed(String, String),
    /// There is no such reading.
    #[error("there is no reading number {0}")]
    NoReading(usize),
}

/// How far a rain delay reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DelayScope {
    /// The chosen task alone.
    One,
    /// The chosen task and every later open task on the same blocks.
    AllThatFollow,
}

/// A rain delay, not yet made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Delay {
    /// The task that cannot be done as planned.
    pub task: TaskId,
    /// By how many days.
    pub days: i64,
    /// How far it reaches.
    pub scope: DelayScope,
}

/// One task's date before and after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shift {
    /// Which task.
    pub task: TaskId,
    /// The date before.
    pub from: NaiveDate,
    /// The date after.
    pub to: NaiveDate,
}

fn find<'a>(season: &'a mut Season, id: &TaskId) -> Result<&'a mut Task, EditError> {
    season
        .tasks
        .iter_mut()
        .find(|t| &t.id == id)
        .ok_or_else(|| EditError::NoTask(id.to_string()))
}

fn plus(date: NaiveDate, days: i64) -> Result<NaiveDate, EditError> {
    TimeDelta::try_days(days)
        .and_then(|d| date.checked_add_signed(d))
        .ok_or(EditError::OutOfCalendar)
}

/// Moves an open task to a day, keeping the move on record.
pub fn move_task(
    season: &Season,
    id: &TaskId,
    to: NaiveDate,
    on: NaiveDate,
    why: &str,
) -> Result<Season, EditError> {
    let mut after = season.clone();
    let task = find(&mut after, id)?;
    if !task.state.is_open() {
        return Err(EditError::NotOpen(task.title.clone()));
    }
    if task.date != to {
        let from = task.date;
        task.date = to;
        // Moves of one sitting are one move: a card walked along key by key, or there and back.
        let sitting = task
            .moved
            .last_mut()
            .filter(|last| last.on == on && last.to == from && last.why == why);
        if let Some(last) = sitting {
            last.to = to;
            if last.from == to {
                task.moved.pop();
            }
        } else {
            task.moved.push(Move {
                on,
                from,
                to,
                why: why.to_owned(),
            });
        }
    }
    Ok(after)
}

/// Moves an open task to a day and an hour, keeping the move on record.
pub fn plan_task(
    season: &Season,
    id: &TaskId,
    to: NaiveDate,
    hour: Option<u32>,
    on: NaiveDate,
    why: &str,
) -> Result<Season, EditError> {
    let mut after = move_task(season, id, to, on, why)?;
    find(&mut after, id)?.hour = hour;
    Ok(after)
}

/// Which tasks a delay shifts, and where to: the preview that the grower accepts or drops.
///
/// Later tasks are those planned on or after the chosen one's day, still open,
/// on at least one of its blocks, and done outdoors (ordering and sprayer care
/// do not wait for the weather).
pub fn delay_shifts(season: &Season, delay: &Delay) -> Result<Vec<Shift>, EditError> {
    let chosen = season
        .task(&delay.task)
        .ok_or_else(|| EditError::NoTask(delay.task.to_string()))?;
    if !chosen.state.is_open() {
        return Err(EditError::NotOpen(chosen.title.clone()));
    }
    let shares = |t: &Task| {
        t.blocks.is_empty()
            || chosen.blocks.is_empty()
            || t.blocks.iter().any(|b| chosen.blocks.contains(b))
    };
    let follows = |t: &Task| {
        t.state.is_open()
            && t.date >= chosen.date
            && !matches!(t.kind, TaskKind::Order | TaskKind::SprayerCare)
            && shares(t)
    };
    let mut shifts = Vec::new();
    for task in &season.tasks {
        let taken =
            task.id == chosen.id || (delay.scope == DelayScope::AllThatFollow && follows(task));
        if taken {
            shifts.push(Shift {
                task: task.id.clone(),
                from: task.date,
                to: plus(task.date, delay.days)?,
            });
        }
    }
    shifts.sort_by(|a, b| a.from.cmp(&b.from).then_with(|| a.task.cmp(&b.task)));
    Ok(shifts)
}

/// Makes the shifts of a delay.
pub fn shift_tasks(
    season: &Season,
    shifts: &[Shift],
    on: NaiveDate,
    why: &str,
) -> Result<Season, EditError> {
    shifts.iter().try_fold(season.clone(), |s, shift| {
        move_task(&s, &shift.task, shift.to, on, why)
    })
}

/// Sets how far a task is: done, skipped, or open again.
pub fn set_state(season: &Season, id: &TaskId, state: TaskState) -> Result<Season, EditError> {
    set_state_because(season, id, state, None)
}

/// The same with the reason: why it was skipped, or done against a stop. Next season's plan reads
/// it.
pub fn set_state_because(
    season: &Season,
    id: &TaskId,
    state: TaskState,
    why: Option<&str>,
) -> Result<Season, EditError> {
    let mut after = season.clone();
    let task = find(&mut after, id)?;
    task.state = state;
    let why = why.map(str::trim).filter(|w| !w.is_empty());
    task.why = why.map(str::to_owned);
    Ok(after)
}

/// Moves a task to another lane.
pub fn set_lane(season: &Season, id: &TaskId, lane: Lane) -> Result<Season, EditError> {
    let mut after = season.clone();
    find(&mut after, id)?.lane = lane;
    Ok(after)
}

/// Adds a task.
pub fn add_task(season: &Season, task: Task) -> Result<Season, EditError> {
    if season.task(&task.id).is_some() {
        return Err(EditError::TaskExists(task.id.to_string()));
    }
    let mut after = season.clone();
    after.tasks.push(task);
    Ok(after)
}

/// Puts a changed task in the place of the one with its id.
pub fn replace_task(season: &Season, task: Task) -> Result<Season, EditError> {
    let mut after = season.clone();
    let id = task.id.clone();
    *find(&mut after, &id)? = task;
    Ok(after)
}

/// A copy of a task, open, with a free id and no past; returns its id.
pub fn copy_task(season: &Season, id: &TaskId) -> Result<(Season, TaskId), EditError> {
    let mut copy = season
        .task(id)
        .cloned()
        .ok_or_else(|| EditError::NoTask(id.to_string()))?;
    copy.id = season.free_task_id(&copy.title);
    copy.state = TaskState::Planned;
    copy.moved.clear();
    copy.quiet.clear();
    let new_id = copy.id.clone();
    Ok((add_task(season, copy)?, new_id))
}

/// Takes a task away.
pub fn delete_task(season: &Season, id: &TaskId) -> Result<Season, EditError> {
    let mut after = season.clone();
    find(&mut after, id)?;
    after.tasks.retain(|t| &t.id != id);
    Ok(after)
}

/// Adds a reading.
pub fn add_reading(season: &Season, reading: Reading) -> Season {
    let mut after = season.clone();
    after.readings.push(reading);
    after
}

/// Takes a reading away, by its place in the list.
pub fn delete_reading(season: &Season, index: usize) -> Result<Season, EditError> {
    if index >= season.readings.len() {
        return Err(EditError::NoReading(index));
    }
    let mut after = season.clone();
    after.readings.remove(index);
    Ok(after)
}

/// Quietens a rule for one task, with the reason; saying it again lifts it.
pub fn toggle_quiet(
    season: &Season,
    id: &TaskId,
    rule: &str,
    why: &str,
    on: NaiveDate,
) -> Result<Season, EditError> {
    let mut after = season.clone();
    let task = find(&mut after, id)?;
    if task.quiet.iter().any(|q| q.rule == rule) {
        task.quiet.retain(|q| q.rule != rule);
    } else {
        task.quiet.push(Quiet {
            rule: rule.to_owned(),
            why: why.to_owned(),
            on,
        });
    }
    Ok(after)
}

/// Notes that a material's label was read on a day.
pub fn label_read(season: &Season, id: &MaterialId, on: NaiveDate) -> Result<Season, EditError> {
    let mut after = season.clone();
    let material = after
        .materials
        .iter_mut()
        .find(|m| &m.id == id)
        .ok_or_else(|| EditError::NoMaterial(id.to_string()))?;
    material.label.read_on = Some(on);
    Ok(after)
}

/// Notes the day the leaves were seen down, on some blocks or (no block named)
/// in the whole orchard.
pub fn leaf_drop_seen(season: &Season, blocks: &[BlockId], on: Option<NaiveDate>) -> Season {
    let mut after = season.clone();
    if blocks.is_empty() {
        after.dates.leaf_drop_seen = on;
    }
    for block in after.blocks.iter_mut().filter(|b| blocks.contains(&b.id)) {
        block.leaf_drop_seen = on;
    }
    after
}
