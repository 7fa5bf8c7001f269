//! `ledger`: what was used where, over all seasons on file.

use super::args::LedgerArgs;
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::ledger::Filter;
use crate::report::{self, schemas};
use crate::store::disk::RealDisk;
use crate::store::neighbours::{self, Neighbours};
use crate::store::session::Mode;
use std::io::Write;

/// Prints the entries asked for, with copper by year and the sums of the seasons.
pub fn run(at: &At, args: &LedgerArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let read = at.read_alone(Mode::ReadOnly, false)?;
    let found = match &read.session {
        Some(session) => neighbours::beside(&RealDisk, session.path(), &read.season),
        None => Neighbours {
            seasons: vec![read.season.clone()],
            ..Neighbours::default()
        },
    };
    for left_out in &found.left_out {
        writeln!(super::told(), "left out: {left_out}")?;
    }
    let filter = Filter {
        blocks: args.block.clone(),
        active: args.active.clone(),
        who: args.who.clone(),
        from: super::season_at::iso_day(args.from.as_deref(), "--from")?,
        to: super::season_at::iso_day(args.to.as_deref(), "--to")?,
    };
    let answer = report::ledger::answer(&found.seasons, &filter, read.today);
    let answer = answer.map_err(Failure::Input)?;
    if args.csv {
        let table = report::ledger::csv(&answer.entries);
        let table = table.map_err(|e| Failure::Input(e.to_string()))?;
        write!(out, "{table}")?;
    } else if args.output.json {
        schemas::LEDGER.write(&report::ledger::json(&answer)?, out)?;
    } else {
        let page = report::ledger::page(&found.seasons, &filter, read.today);
        write!(out, "{}", page.map_err(Failure::Input)?)?;
    }
    Ok(Exit::Fine)
}
