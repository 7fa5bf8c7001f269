//! `due`: what is overdue, due today, due this week.

use super::args::Output;
use super::season_at::At;
use super::{Exit, Failure};
use crate::report::due;
use std::io::Write;

/// Prints what is due. Nothing due prints nothing, so that cron mails only news.
pub fn run(at: &At, args: &Output, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let outlook = opened.outlook();
    if args.json {
        writeln!(out, "{}", due::json(&outlook)?)?;
    } else {
        write!(out, "{}", due::text(&opened.season, &outlook))?;
    }
    Ok(super::check::exit(
        outlook.due_tasks().filter_map(|t| t.worst),
    ))
}
