//! Many tasks at once: marked, then moved, put into fit hours, finished, skipped in one act that
//! one key takes back. In the farm's table a mark is of one block of a spray, so that a part of it
//! goes and the rest stays.

use super::{BoardView, chosen, order};
use crate::domain::outlook::Estimates;
use crate::domain::records::{self, Conditions};
use crate::domain::rules::Warning;
use crate::domain::run_sheet::{self, Ask, Standing};
use crate::domain::season::edit::{self, EditError, PartPlan, plan_part, split_off};
use crate::domain::season::{
    BlockId, Record, Season, SprayerId, Task, TaskId, TaskKind, TaskState,
};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;
use crate::tui::text;
use chrono::{NaiveDate, TimeDelta};

/// A marked task, or one block of it.
pub type Marked = (TaskId, Option<BlockId>);

/// What the marks stand for: each task with its marked blocks, or all that it still has to do.
pub fn groups(model: &Model) -> Vec<(TaskId, Vec<BlockId>)> {
    let mut groups: Vec<(TaskId, Vec<BlockId>)> = Vec::new();
    for (id, block) in &model.board.marks {
        let Some(task) = model.season.task(id).filter(|t| t.state.is_open()) else {
            continue;
        };
        let open: Vec<BlockId> = model
            .season
            .open_blocks(task)
            .iter()
            .map(|b| b.id.clone())
            .collect();
        let blocks = match block {
            None => open,
            Some(block) => open.into_iter().filter(|b| b == block).collect(),
        };
        if blocks.is_empty() && block.is_some() {
            continue;
        }
        match groups.iter_mut().find(|g| &g.0 == id) {
            Some(group) => {
                for block in blocks {
                    if !group.1.contains(&block) {
                        group.1.push(block);
                    }
                }
            }
            None => groups.push((id.clone(), blocks)),
        }
    }
    groups
}

/// What can be marked where the mark is: a block's spray in the table, else a task with those
/// folded into its line.
fn here(model: &Model) -> Vec<Marked> {
    if model.board.view == BoardView::Farm {
        let row = model.board.table.rows.get(model.board.farm_row);
        return row.map_or_else(Vec::new, of_row);
    }
    let Some(task) = chosen(model).filter(|t| t.state.is_open()) else {
        return Vec::new();
    };
    let by_urgency = model.board.view == BoardView::Urgency && !model.board.unfolded;
    let folded = model.folds.of(&task.id).filter(|_| by_urgency);
    let ids = folded.map_or_else(|| vec![task.id.clone()], |f| f.tasks.clone());
    let open = |id: &TaskId| model.season.task(id).is_some_and(|t| t.state.is_open());
    ids.into_iter().filter(open).map(|id| (id, None)).collect()
}

/// The spray that presses most in a row, where it is still to do.
fn of_row(row: &super::farm::FarmRow) -> Vec<Marked> {
    let worst = row.purposes.iter().find(|p| p.state.is_open());
    worst
        .map(|p| vec![(p.task.clone(), Some(row.block.clone()))])
        .unwrap_or_default()
}

/// Everything in view that can be marked.
fn shown(model: &Model) -> Vec<Marked> {
    if model.board.view == BoardView::Farm {
        return model.board.table.rows.iter().flat_map(of_row).collect();
    }
    order(model)
        .into_iter()
        .filter(|(_, id)| model.season.task(id).is_some_and(|t| t.state.is_open()))
        .map(|(_, id)| (id, None))
        .collect()
}

/// Is there a mark on a task, or on a block of it?
pub fn is_marked(model: &Model, task: &TaskId, block: Option<&BlockId>) -> bool {
    model
        .board
        .marks
        .iter()
        .any(|(t, b)| t == task && (b.is_none() || block.is_none() || b.as_ref() == block))
}

/// Puts a mark, or takes it away.
pub fn toggle(model: &mut Model) {
    let here = here(model);
    if here.is_empty() {
        model.say("Nothing is to do here, so nothing is marked.");
        return;
    }
    let all = here.iter().all(|m| model.board.marks.contains(m));
    model.board.marks.retain(|m| !here.contains(m));
    if !all {
        model.board.marks.extend(here);
    }
    said(model);
}

/// Marks all that is in view; where all of it is, takes every mark away.
pub fn toggle_all(model: &mut Model) {
    let shown = shown(model);
    if shown.iter().all(|m| model.board.marks.contains(m)) {
        model.board.marks.clear();
    } else {
        for mark in shown {
            if !model.board.marks.contains(&mark) {
                model.board.marks.push(mark);
            }
        }
    }
    said(model);
}

fn said(model: &mut Model) {
    let n = model.board.marks.len() as i64;
    if n == 0 {
        model.say("No marks.");
        return;
    }
    let key = |c| model.keymap.first(c);
    let words = format!(
        "{} marked: {} into fit hours, {} to a day or sprayer, {} done, {} skips them",
        text::count(n, "spray or task", "sprays and tasks"),
        key(Command::IntoFit),
        key(Command::MoveTo),
        key(Command::Finish),
        key(Command::Skip),
    );
    model.say(words);
}

/// Answers a command for all that is marked; `None` where it is not one for many.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    if model.board.marks.is_empty() {
        return None;
    }
    let groups = groups(model);
    if groups.is_empty() {
        model.board.marks.clear();
        return None;
    }
    let count = i64::from(model.count.unwrap_or(1));
    let shift = |model: &mut Model, days: i64| {
        model.take_count();
        shifted(model, &groups, days)
    };
    Some(match command {
        Command::Later => shift(model, count),
        Command::Earlier => shift(model, -count),
        Command::WeekLater => shift(model, 7 * count),
        Command::WeekEarlier => shift(model, -7 * count),
        Command::IntoFit => into_fit(model),
        Command::Skip => skip(model, groups),
        Command::MoveTo | Command::Delay | Command::Edit => {
            model.overlay = Some(Overlay::Form(Form::move_marked(model, groups.len())));
            Vec::new()
        }
        Command::Finish => {
            model.overlay = Some(Overlay::Form(Form::finish_marked(model, groups.len())));
            Vec::new()
        }
        Command::Back => {
            model.board.marks.clear();
            model.say("No marks.");
            Vec::new()
        }
        _ => return None,
    })
}

/// Takes over what was done to all that is marked, and says what it does to the warnings.
fn done(model: &mut Model, after: Result<Season, String>, words: &str) -> Vec<Effect> {
    let after = match after {
        Ok(after) => after,
        Err(fault) => {
            model.alert(fault);
            return Vec::new();
        }
    };
    model.board.marks.clear();
    let effects = model.edit(after, words);
    let undo = model.keymap.first(Command::Undo);
    model.say_change(&format!("{words}; {undo} puts them back."));
    effects
}

fn counted(n: usize) -> String {
    text::count(n as i64, "task or part", "tasks and parts")
}

fn shifted(model: &mut Model, groups: &[(TaskId, Vec<BlockId>)], days: i64) -> Vec<Effect> {
    let to = |date: NaiveDate| {
        TimeDelta::try_days(days)
            .and_then(|d| date.checked_add_signed(d))
            .ok_or_else(|| "That day is outside the calendar.".to_owned())
    };
    let mut marks: Vec<Marked> = Vec::new();
    let mut shift = || -> Result<Season, String> {
        let mut after = model.season.clone();
        for (id, blocks) in groups {
            let task = after
                .task(id)
                .ok_or_else(|| EditError::NoTask(id.to_string()).to_string())?;
            let plan = PartPlan {
                day: to(task.date)?,
                hour: task.hour,
                sprayer: None,
            };
            let (next, part) = plan_part(&after, id, blocks, &plan, (model.today, ""))
                .map_err(|fault| fault.to_string())?;
            after = next;
            marks.push((part, None));
        }
        Ok(after)
    };
    let after = shift();
    let is_done = after.is_ok();
    let way = if days < 0 { "earlier" } else { "later" };
    let by = text::count(days.abs(), "day", "days");
    let words = format!("{} moved {by} {way}", counted(groups.len()));
    let effects = done(model, after, &words);
    // They stay marked, so that the same key goes on.
    if is_done {
        model.board.marks = marks;
    }
    effects
}

/// Goes through the groups with one season after the other.
fn each(
    season: &Season,
    groups: &[(TaskId, Vec<BlockId>)],
    act: impl Fn(&Season, &TaskId, &[BlockId]) -> Result<Season, String>,
) -> Result<Season, String> {
    let mut after = season.clone();
    for (id, blocks) in groups {
        after = act(&after, id, blocks)?;
    }
    Ok(after)
}

fn planned(
    season: &Season,
    id: &TaskId,
    blocks: &[BlockId],
    plan: &PartPlan,
    today: NaiveDate,
) -> Result<Season, String> {
    plan_part(season, id, blocks, plan, (today, ""))
        .map(|(after, _)| after)
        .map_err(|fault| fault.to_string())
}

/// To a day, an hour and a sprayer; what is left open stays as it is.
pub fn move_all(
    model: &mut Model,
    day: Option<NaiveDate>,
    hour: Option<u32>,
    sprayer: Option<&SprayerId>,
) -> Result<Vec<Effect>, String> {
    let groups = groups(model);
    let after = each(&model.season, &groups, |season, id, blocks| {
        let task = season
            .task(id)
            .ok_or_else(|| EditError::NoTask(id.to_string()).to_string())?;
        let plan = PartPlan {
            day: day.unwrap_or(task.date),
            hour: if day.is_some() {
                hour
            } else {
                hour.or(task.hour)
            },
            sprayer: sprayer.filter(|_| task.kind == TaskKind::Spray).cloned(),
        };
        planned(season, id, blocks, &plan, model.today)
    })?;
    let words = format!("{} changed", counted(groups.len()));
    Ok(done(model, Ok(after), &words))
}

/// Into the fit hours there are, each by its last safe day, no two on one sprayer or driver.
fn into_fit(model: &mut Model) -> Vec<Effect> {
    let none = Estimates::default();
    let Some(fits) = &model.fits else {
        model.say("There are no hours of weather yet, so no hours can be fit.");
        return Vec::new();
    };
    let ask = Ask {
        only: Some(model.board.marks.clone()),
        ..model.run.ask().clone()
    };
    let estimates = model.estimates.as_ref().unwrap_or(&none);
    let sheet = run_sheet::run_sheet(&model.season, estimates, fits, model.today, &ask);
    let Some(sheet) = sheet else {
        model.say("No hours of weather reach from now on.");
        return Vec::new();
    };
    if sheet.stints.is_empty() {
        let key = model.keymap.first(Command::ShowRunSheet);
        model.say(format!(
            "No fit hours for them in the forecast. {key} shows the run sheet and what would help."
        ));
        return Vec::new();
    }
    let (put, of) = (sheet.standing(Standing::Planned).count(), sheet.jobs.len());
    let after = run_sheet::take_over(&model.season, &sheet, model.today)
        .map(|(after, _)| after)
        .map_err(|fault| fault.to_string());
    let rest = if put < of {
        format!(", {} found none", of - put)
    } else {
        String::new()
    };
    done(
        model,
        after,
        &format!("{put} of {of} put into fit hours{rest}"),
    )
}

fn skip(model: &mut Model, groups: Vec<(TaskId, Vec<BlockId>)>) -> Vec<Effect> {
    let title = format!("what is marked ({})", groups.len());
    model.overlay = Some(Overlay::Form(Form::skip(model, &title, groups)));
    Vec::new()
}

/// Skips tasks, or some blocks of them, on a day, with the reason.
pub fn skip_all(
    model: &mut Model,
    groups: &[(TaskId, Vec<BlockId>)],
    day: NaiveDate,
    why: Option<&str>,
) -> Result<Vec<Effect>, String> {
    let after = each(&model.season, groups, |season, id, blocks| {
        let (after, part) = split_off(season, id, blocks).map_err(|f| f.to_string())?;
        edit::set_state_because(&after, &part, TaskState::Skipped(day), why)
            .map_err(|f| f.to_string())
    })?;
    let words = match groups {
        [(id, _)] => {
            let title = model.season.task(id).map_or("", |t| t.title.as_str());
            format!("Skipped: {title}")
        }
        _ => format!("{} skipped", counted(groups.len())),
    };
    if model.board.marks.is_empty() {
        let undo = model.keymap.first(Command::Undo);
        let effects = model.edit(after, &words);
        model.say_change(&format!("Skipped; {undo} undoes it."));
        return Ok(effects);
    }
    Ok(done(model, Ok(after), &words))
}

/// The record of a marked spray, as far as anything is known of it.
fn record_of(
    model: &Model,
    season: &Season,
    (task, blocks): (&Task, &[BlockId]),
    day: NaiveDate,
) -> Result<Record, String> {
    let part = records::part(season, task, blocks).map_err(|f| f.to_string())?;
    let amounts = records::amounts(season, &part, model.estimates.as_ref(), model.today);
    let air = Conditions::default();
    let mut record = records::prefill(season, &part, day, model.now, &amounts, &air);
    // Counted from the end of the day: no hour of it is known.
    (record.reentry_until, record.reentry_until_dry) = (None, false);
    Ok(record)
}

/// Every stop against the marked sprays on a day, each named by its task.
pub fn stops(model: &Model, day: NaiveDate) -> Vec<Warning> {
    let season = &model.season;
    let mut found = Vec::new();
    for (id, blocks) in groups(model) {
        let Some(task) = season.task(&id).filter(|t| t.kind == TaskKind::Spray) else {
            continue;
        };
        let Ok(record) = record_of(model, season, (task, &blocks), day) else {
            continue;
        };
        for mut stop in stops_against(model, season, &record) {
            stop.message = format!("{}: {}", task.title, stop.message);
            found.push(stop);
        }
    }
    found
}

fn stops_against(model: &Model, season: &Season, record: &Record) -> Vec<Warning> {
    let none = Estimates::default();
    let estimates = model.estimates.as_ref().unwrap_or(&none);
    records::stops(season, estimates, model.fits.as_ref(), record)
}

/// Done on a day by somebody: a spray with its record, other work as it is. Where something stood
/// against a spray, its record keeps that and the reason.
pub fn finish_all(
    model: &mut Model,
    day: NaiveDate,
    who: Option<&str>,
    anyway: Option<String>,
) -> Result<Vec<Effect>, String> {
    let groups = groups(model);
    let after = each(&model.season, &groups, |season, id, blocks| {
        let task = season
            .task(id)
            .ok_or_else(|| EditError::NoTask(id.to_string()).to_string())?;
        if task.kind != TaskKind::Spray {
            return edit::set_state(season, id, TaskState::Done(day)).map_err(|f| f.to_string());
        }
        let mut record = record_of(model, season, (task, blocks), day)?;
        record.who = who.map(str::to_owned).or(record.who);
        let stops = stops_against(model, season, &record);
        record.judged = records::judgements(&stops);
        record.anyway = anyway.clone().filter(|_| !stops.is_empty());
        records::finish(season, record, model.today)
            .map(|kept| kept.season)
            .map_err(|f| f.to_string())
    })?;
    let words = format!("{} done, each spray with its record", counted(groups.len()));
    Ok(done(model, Ok(after), &words))
}
