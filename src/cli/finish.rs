//! `finish`: a task is done or left out.

use super::args::FinishArgs;
use super::season_at::{At, edit_failure};
use super::{Exit, Failure};
use crate::domain::season::{TaskState, edit};
use std::io::Write;

/// Marks a task as done, skipped, or open again.
pub fn run(at: &At, args: &FinishArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let id = opened.task_id(&args.task)?;
    let day = args
        .date
        .as_deref()
        .map_or(Ok(opened.today), |text| opened.day(text))?;
    if day > opened.today && !args.reopen {
        return Err(Failure::Input(format!(
            "{day} is still to come (today is {}); give the day it was done",
            opened.today
        )));
    }
    let (state, words) = if args.reopen {
        (TaskState::Planned, "open again".to_owned())
    } else if args.skipped {
        (TaskState::Skipped(day), format!("skipped {day}"))
    } else {
        (TaskState::Done(day), format!("done {day}"))
    };
    let after = edit::set_state(&opened.season, &id, state).map_err(edit_failure)?;
    opened.save(after)?;
    writeln!(out, "{id}: {words}")?;
    Ok(Exit::Fine)
}
