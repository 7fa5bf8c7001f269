//! `delay`: after rain, one task or all that follow.

use super::args::DelayArgs;
use super::season_at::{At, Opened, edit_failure};
use super::{Exit, Failure};
use crate::domain::hours::delay::{Plan, Request, propose};
use crate::domain::outlook::{self, Outlook};
use crate::domain::season::edit::{self, Delay, DelayScope};
use crate::domain::season::{Season, TaskId};
use crate::report::changes;
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
    let task = opened.task_id(&args.task)?;
    let (lines, after) = match args.days {
        Some(days) => by_days(&opened, Delay { task, days, scope }, &args.why)?,
        None => into_fit_hours(&opened, task, scope, args)?,
    };
    let before = opened.outlook();
    let touched = outlook::touched(&opened.season, &after);
    for line in &lines {
        writeln!(out, "{line}")?;
    }
    if args.preview {
        opened.season = after;
        write_changes(&before, &opened.outlook(), &touched, out)?;
        writeln!(out, "Preview only: nothing was changed.")?;
    } else {
        opened.save(after)?;
        write_changes(&before, &opened.outlook(), &touched, out)?;
    }
    Ok(Exit::Fine)
}

/// What is told, and the season after.
type Moved = (Vec<String>, Season);

fn by_days(opened: &Opened, delay: Delay, why: &str) -> Result<Moved, Failure> {
    let shifts = edit::delay_shifts(&opened.season, &delay).map_err(edit_failure)?;
    let after =
        edit::shift_tasks(&opened.season, &shifts, opened.today, why).map_err(edit_failure)?;
    let lines = shifts
        .iter()
        .map(|s| format!("{}: {} -> {}", s.task, s.from, s.to))
        .collect();
    Ok((lines, after))
}

/// How many days ahead fit hours are looked for; beyond the forecast a day can only be named.
const FIT_DAYS: u32 = 28;

fn into_fit_hours(
    opened: &Opened,
    task: TaskId,
    scope: DelayScope,
    args: &DelayArgs,
) -> Result<Moved, Failure> {
    let fits = opened
        .fits
        .as_ref()
        .filter(|f| f.reach_ahead())
        .ok_or_else(|| {
            Failure::Input(
                "no hours of weather reach from today on; fetch a forecast with: barewood weather fetch, or delay by --days".to_owned(),
            )
        })?;
    let request = Request {
        task,
        scope,
        from: opened.moment(),
        days: FIT_DAYS,
    };
    let proposal =
        propose(&opened.season, &opened.estimates, fits.air(), &request).map_err(edit_failure)?;
    let plans: Vec<&Plan> = proposal.best.iter().chain(&proposal.choices).collect();
    let mut lines = Vec::new();
    if proposal.best.is_none() {
        lines.push("Nothing fits as it is. The choices, cheapest first:".to_owned());
    }
    for (i, plan) in plans.iter().enumerate() {
        if proposal.best.is_none() {
            lines.push(format!("{}. {}", i + 1, plan.headline()));
        }
        lines.extend(plan.lines());
    }
    // What gives on something is never taken without the user's word.
    let picked = match (args.choice, proposal.best.is_some()) {
        (Some(n), _) => n.checked_sub(1),
        (None, true) => Some(0),
        (None, false) if args.preview => Some(0),
        (None, false) => {
            return Err(Failure::Input(format!(
                "{}\nNothing was changed: take one of them with --choice N.",
                lines.join("\n")
            )));
        }
    };
    let plan = picked.and_then(|i| plans.get(i)).ok_or_else(|| {
        Failure::Input(format!(
            "--choice {}: there are {} choices",
            args.choice.unwrap_or(1),
            plans.len()
        ))
    })?;
    if plans.len() > 1 {
        lines.push(format!("Taken: choice {}.", args.choice.unwrap_or(1)));
    }
    let after = plan
        .apply(&opened.season, opened.today, &args.why)
        .map_err(edit_failure)?;
    Ok((lines, after))
}

/// Writes which warnings are new (+), which are cleared (-), and which level stays.
pub fn write_changes(
    before: &Outlook,
    after: &Outlook,
    touched: &[TaskId],
    out: &mut dyn Write,
) -> Result<(), Failure> {
    for line in changes::lines(before, after, touched) {
        out.write_all(line.as_bytes())?;
        writeln!(out)?;
    }
    Ok(())
}
