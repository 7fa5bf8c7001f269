//! `run-sheet`: the work of the coming fit hours, sprayer by sprayer.

use super::args::RunSheetArgs;
use super::delay::write_changes;
use super::season_at::{At, edit_failure};
use super::{Exit, Failure};
use crate::domain::chance;
use crate::domain::outlook;
use crate::domain::run_sheet::{self, Ask};
use crate::report::{self, schemas};
use std::io::Write;

/// Prints the sheet; with `--take` puts it into the plan and says what that changes.
pub fn run(at: &At, args: &RunSheetArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = if args.take { at.change()? } else { at.look()? };
    let ask = Ask {
        doubtful: args.doubtful,
        any_sprayer: args.any_sprayer,
        ..Ask::default()
    };
    let sheet = opened.fits.as_ref().and_then(|fits| {
        run_sheet::run_sheet(&opened.season, &opened.estimates, fits, opened.today, &ask)
    });
    let Some((sheet, fits)) = sheet.zip(opened.fits.as_ref()) else {
        return Err(Failure::Input(
            "no hours of weather reach from now on; fetch a forecast with: barewood weather fetch"
                .to_owned(),
        ));
    };
    let helps = run_sheet::helps(
        &opened.season,
        &opened.estimates,
        fits,
        opened.today,
        (&ask, &sheet),
    );
    let chances = args.chance.then(|| {
        let (season, estimates) = (&opened.season, &opened.estimates);
        chance::chances_of(season, estimates, &opened.weather, &sheet, opened.today)
    });
    if args.output.json {
        let json = report::run_sheet::json(&opened.season, &sheet, &helps, chances.as_deref())?;
        schemas::RUN_SHEET.write(&json, out)?;
    } else {
        let text = report::run_sheet::text(&opened.season, &sheet, &helps);
        write!(out, "{text}")?;
        if let Some(chances) = &chances {
            write!(out, "{}", report::run_sheet::chances(&sheet, chances))?;
        }
    }
    if !args.take {
        return Ok(Exit::Fine);
    }
    let before = opened.outlook();
    let (after, moved) =
        run_sheet::take_over(&opened.season, &sheet, opened.today).map_err(edit_failure)?;
    let touched = outlook::touched(&opened.season, &after);
    opened.save(after)?;
    if !args.output.json {
        writeln!(out, "\nTaken over: {} tasks and parts.", moved.len())?;
        write_changes(&before, &opened.outlook(), &touched, out)?;
    }
    Ok(Exit::Fine)
}
