//! `mix` and `buy`: the sheet to take to the shed, and what is short.

use super::args::{BuyArgs, MixArgs};
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::mix::{self, buy};
use crate::report::mix_sheet;
use std::io::Write;

/// Prints the mix sheet of a task.
pub fn run(at: &At, args: &MixArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let id = opened.task_id(&args.task)?;
    let task = opened
        .season
        .task(&id)
        .ok_or_else(|| Failure::Input(format!("there is no task '{id}'")))?;
    let sheet = mix::sheet(&opened.season, task, Some(&opened.estimates), opened.today);
    if args.output.json {
        writeln!(out, "{}", mix_sheet::json(&sheet)?)?;
    } else if args.html {
        write!(out, "{}", mix_sheet::html(&sheet))?;
    } else {
        write!(out, "{}", mix_sheet::text(&sheet))?;
    }
    Ok(Exit::Fine)
}

/// Prints the buy list over all open sprays.
pub fn buy(at: &At, args: &BuyArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let list = buy::list(&opened.season, opened.today);
    if args.output.json {
        writeln!(out, "{}", serde_json::to_string_pretty(&list)?)?;
    } else {
        write!(out, "{}", crate::report::buy::text(&list))?;
    }
    Ok(Exit::Fine)
}
