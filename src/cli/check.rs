//! `check`: every warning.

use super::args::Output;
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::rules::Level;
use crate::report::check;
use std::io::Write;

/// Prints every warning; a stop or caution makes the exit code 1.
pub fn run(at: &At, args: &Output, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let outlook = opened.outlook();
    if args.json {
        writeln!(out, "{}", check::json(&outlook)?)?;
    } else {
        write!(out, "{}", check::text(&opened.season, &outlook))?;
    }
    Ok(exit(outlook.warnings.iter().map(|w| w.level)))
}

/// The exit for the levels found.
pub fn exit(levels: impl Iterator<Item = Level>) -> Exit {
    if levels.max() >= Some(Level::Caution) {
        Exit::Warned
    } else {
        Exit::Fine
    }
}
