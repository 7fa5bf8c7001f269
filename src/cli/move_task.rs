//! `move`: another day for a task.

use super::args::MoveArgs;
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::season::edit;
use std::io::Write;

/// Moves a task and says what that does to the warnings.
pub fn run(at: &At, args: &MoveArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let id = opened.task_id(&args.task)?;
    let before = opened.outlook();
    let from = opened.season.task(&id).map_or(opened.today, |t| t.date);
    let to = opened.day_from(&args.to, from)?;
    let after = edit::move_task(&opened.season, &id, to, opened.today, &args.why)
        .map_err(super::season_at::edit_failure)?;
    opened.save(after)?;
    writeln!(out, "{id}: {from} -> {to}")?;
    super::delay::write_changes(&before, &opened.outlook(), &[id], out)?;
    Ok(Exit::Fine)
}
