//! `farm`: a row a block, with what is to be sprayed there and until when.

use super::args::FarmArgs;
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::farm::{Group, filtered, grouped, table};
use crate::report;
use std::io::Write;

/// Prints the table.
pub fn run(at: &At, args: &FarmArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let by = match args.by.as_deref() {
        None => Group::None,
        Some(word) => Group::ALL
            .into_iter()
            .find(|g| g.words() == word.trim().to_lowercase())
            .ok_or_else(|| {
                let known: Vec<&str> = Group::ALL.iter().map(|g| g.words()).collect();
                Failure::Input(format!("--by: '{word}' is none of {}", known.join(", ")))
            })?,
    };
    let words = args.words.join(" ");
    let all = table(
        &opened.season,
        &opened.estimates,
        &opened.outlook(),
        opened.fits.as_ref(),
        opened.now(),
    );
    let rows = filtered(&opened.season, &all, &words);
    let groups = grouped(&opened.season, &rows, by);
    let text = report::farm::text(&opened.season, &groups, &words, opened.today);
    let ground = report::ground::text(&opened.estimates.ground);
    write!(out, "{ground}{text}")?;
    Ok(Exit::Fine)
}
