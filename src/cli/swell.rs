//! `swell`: the estimate of a stage, block by block.

use super::args::SwellArgs;
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::phenology::stage::Stage;
use crate::report::swell;
use std::io::Write;

/// Prints the estimate of a stage for every block asked for.
pub fn run(at: &At, args: &SwellArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let stage = Stage::from_text(&args.stage).ok_or_else(|| {
        Failure::Input(format!(
            "'{}' is no stage; write swell, burst or bloom",
            args.stage
        ))
    })?;
    for id in &args.block {
        if !opened.season.blocks.iter().any(|b| b.id.as_str() == id) {
            let known: Vec<&str> = opened.season.blocks.iter().map(|b| b.id.as_str()).collect();
            return Err(Failure::Input(format!(
                "there is no block '{id}'; the blocks are: {}",
                known.join(", ")
            )));
        }
    }
    let rows = swell::rows(
        &opened.season,
        &opened.estimates,
        opened.today,
        stage,
        &args.block,
    );
    if args.output.json {
        writeln!(out, "{}", swell::json(opened.today, &rows)?)?;
    } else {
        write!(out, "{}", swell::text(opened.today, &rows))?;
    }
    Ok(Exit::Fine)
}
