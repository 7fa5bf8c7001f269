//! `mix`, `buy` and `coverage`: the sheet to take to the shed, what is short,
//! what is covered.

use super::args::{BuyArgs, CoverageArgs, MixArgs};
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::coverage;
use crate::domain::mix::{self, buy};
use crate::report::{self, mix_sheet, schemas};
use std::io::Write;

/// Prints the mix sheet of a task.
pub fn run(at: &At, args: &MixArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let id = opened.task_id(&args.task)?;
    let task = opened
        .season
        .task(&id)
        .ok_or_else(|| Failure::Input(format!("there is no task '{id}'")))?;
    let sheet = mix::sheet_with(
        &opened.season,
        task,
        Some(&opened.estimates),
        opened.fits.as_ref(),
        opened.today,
    );
    if args.output.json {
        schemas::MIX.write(&mix_sheet::json(&sheet)?, out)?;
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
        schemas::BUY.write(&report::buy::json(&list)?, out)?;
    } else {
        write!(out, "{}", report::buy::text(&list))?;
    }
    Ok(Exit::Fine)
}

/// Prints the coverage grid, its gaps, and what would close them.
pub fn coverage(at: &At, args: &CoverageArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let (season, estimates, today) = (&opened.season, &opened.estimates, opened.today);
    let grid = coverage::grid(season, estimates, today);
    let proposals = coverage::proposals(season, estimates, today);
    if args.output.json {
        schemas::COVERAGE.write(
            &report::coverage::json(estimates, &grid, &proposals, today)?,
            out,
        )?;
    } else {
        write!(
            out,
            "{}",
            report::coverage::text(season, estimates, &grid, &proposals)
        )?;
    }
    Ok(Exit::Fine)
}

/// Prints the materials with their labels and the sprayers with their calibrations.
pub fn shed(at: &At, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    write!(out, "{}", report::shed::text(&opened.season))?;
    Ok(Exit::Fine)
}
