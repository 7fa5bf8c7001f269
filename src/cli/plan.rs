//! `plan`: everything the board shows, as plain text.

use super::args::PlanArgs;
use super::season_at::At;
use super::{Exit, Failure};
use crate::report::plan;
use crate::report::schemas;
use std::io::Write;

/// Prints every task of every lane, the ribbon of the year and how each kind of tree stands.
pub fn run(at: &At, args: &PlanArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let (season, outlook) = (&opened.season, opened.outlook());
    if args.output.json {
        schemas::PLAN.write(&plan::json(season, &outlook)?, out)?;
    } else {
        write!(out, "{}", plan::text(season, &outlook))?;
    }
    Ok(Exit::Fine)
}
