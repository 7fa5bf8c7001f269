//! `ledger`: what was used where, over all seasons on file.

use super::args::LedgerArgs;
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::ledger::{self, Filter};
use crate::domain::season::every_named_block;
use crate::report;
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
        writeln!(std::io::stderr(), "left out: {left_out}")?;
    }
    let filter = Filter {
        blocks: args.block.clone(),
        active: args.active.clone(),
        who: args.who.clone(),
        from: super::season_at::iso_day(args.from.as_deref(), "--from")?,
        to: super::season_at::iso_day(args.to.as_deref(), "--to")?,
    };
    let until = filter.to.unwrap_or(read.today);
    let entries = ledger::entries(&found.seasons, &filter).map_err(Failure::Input)?;
    if args.csv {
        let table = report::ledger::csv(&entries).map_err(|e| Failure::Input(e.to_string()))?;
        write!(out, "{table}")?;
        return Ok(Exit::Fine);
    }
    // Copper by year is told where copper is asked for, of the blocks asked for.
    let about_copper = args
        .active
        .as_ref()
        .is_none_or(|a| a.to_lowercase().contains("copper"));
    let mut copper = if about_copper {
        ledger::copper_years(&found.seasons, until)
    } else {
        Vec::new()
    };
    if let (Some(text), Some(latest)) = (&args.block, found.seasons.last()) {
        let ids = every_named_block(text, latest).unwrap_or_default();
        copper.retain(|c| ids.iter().any(|id| id.as_str() == c.block));
    }
    copper.retain(|c| args.block.is_some() || c.seven_years > 0.0 || c.unknown_uses > 0);
    let is_whole = args.block.is_none() && args.active.is_none() && args.who.is_none();
    let sums = if is_whole {
        ledger::season_sums(&found.seasons)
    } else {
        Vec::new()
    };
    if args.output.json {
        let json = report::ledger::json(&entries, &copper, &sums);
        writeln!(out, "{}", serde_json::to_string_pretty(&json)?)?;
    } else {
        let asked = asked(args);
        write!(
            out,
            "{}",
            report::ledger::text(&entries, &copper, &sums, (&asked, until))
        )?;
        if args.block.is_none() && args.who.is_none() {
            let shed = report::ledger::shed(&found.seasons, args.active.as_deref());
            write!(out, "{shed}")?;
        }
    }
    Ok(Exit::Fine)
}

fn asked(args: &LedgerArgs) -> String {
    let mut words: Vec<String> = Vec::new();
    for (word, value) in [
        ("block", &args.block),
        ("active", &args.active),
        ("who", &args.who),
        ("from", &args.from),
        ("to", &args.to),
    ] {
        if let Some(value) = value {
            words.push(format!("{word} {value}"));
        }
    }
    if words.is_empty() {
        "everything on record".to_owned()
    } else {
        words.join(", ")
    }
}
