//! `delay`: after rain, one task or all that follow.

use super::args::DelayArgs;
use super::season_at::{At, edit_failure};
use super::{Exit, Failure};
use crate::domain::outlook::Outlook;
use crate::domain::season::edit::{self, Delay, DelayScope};
use std::io::Write;

/// Shows dates before and after and every warning that appears or clears;
/// then saves, unless only a preview was asked for.
pub fn run(at: &At, args: &DelayArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = if args.preview {
        at.look()?
    } else {
        at.change()?
    };
    let scope = if args.following {
        DelayScope::AllThatFollow
    } else {
        DelayScope::One
    };
    let delay = Delay {
        task: opened.task_id(&args.task)?,
        days: args.days,
        scope,
    };
    let shifts = edit::delay_shifts(&opened.season, &delay).map_err(edit_failure)?;
    let after = edit::shift_tasks(&opened.season, &shifts, opened.today, &args.why)
        .map_err(edit_failure)?;
    let before = opened.outlook();
    for shift in &shifts {
        writeln!(out, "{}: {} -> {}", shift.task, shift.from, shift.to)?;
    }
    if args.preview {
        opened.season = after;
        write_changes(&before, &opened.outlook(), out)?;
        writeln!(out, "Preview only: nothing was changed.")?;
    } else {
        opened.save(after)?;
        write_changes(&before, &opened.outlook(), out)?;
    }
    Ok(Exit::Fine)
}

/// Writes which warnings appeared (+) and which cleared (-).
pub fn write_changes(
    before: &Outlook,
    after: &Outlook,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let changes = before.changes_to(after);
    for warning in &changes.appeared {
        writeln!(out, "+ {}", warning.line())?;
    }
    for warning in &changes.cleared {
        writeln!(out, "- {}", warning.line())?;
    }
    if changes.appeared.is_empty() && changes.cleared.is_empty() {
        writeln!(out, "No warning appears or clears.")?;
    }
    Ok(())
}
