//! What stands against a spray that is said to be done, and amounts that are facts.

use super::super::Failure;
use super::super::args::FinishArgs;
use super::super::season_at::Opened;
use crate::domain::records;
use crate::domain::rules::Warning;
use crate::domain::season::{Judgement, Record, Season};
use crate::domain::units::{Amount, UnitError};
use crate::report::wrap::wrapped;

/// The stops against a spray with the reason to do it all the same; without one nothing is
/// written, and what stops it is told.
pub(super) fn answered(
    opened: &Opened,
    record: &Record,
    args: &FinishArgs,
) -> Result<(Vec<Judgement>, Option<String>), Failure> {
    let stops = records::stops(
        &opened.season,
        &opened.estimates,
        opened.fits.as_ref(),
        record,
    );
    let why = args
        .anyway
        .as_deref()
        .map(str::trim)
        .filter(|w| !w.is_empty());
    match (stops.is_empty(), why) {
        (true, _) => Ok((Vec::new(), None)),
        (false, Some(why)) => Ok((records::judgements(&stops), Some(why.to_owned()))),
        (false, None) => Err(Failure::Input(against(&stops, record))),
    }
}

/// What stops a spray, and what to do: for somebody who says it is done.
fn against(stops: &[Warning], record: &Record) -> String {
    let mut text = format!(
        "Nothing is written: {} against this spray on {}.",
        match stops.len() {
            1 => "1 stop".to_owned(),
            n => format!("{n} stops"),
        },
        record.date
    );
    for stop in stops {
        text.push('\n');
        text.push_str(wrapped(&format!("stop: {}", stop.message), 2).trim_end());
        text.push('\n');
        text.push_str(wrapped(&format!("do: {}", stop.todo), 4).trim_end());
    }
    text.push_str(
        "\nIf it was done all the same, say why; it is kept in the record:\n  --anyway \"REASON\"",
    );
    text
}

/// Puts an amount that was used in the place of what the mix sheet says.
pub(super) fn used(season: &Season, record: &mut Record, text: &str) -> Result<(), Failure> {
    let wrong = |why: String| {
        Failure::Input(format!(
            "--used {text}: {why}; write for instance --used \"oil=1.5 gal\""
        ))
    };
    let (name, amount) = text
        .split_once('=')
        .ok_or_else(|| wrong("material and amount are needed".to_owned()))?;
    let total: Amount = amount
        .trim()
        .parse()
        .map_err(|e: UnitError| wrong(e.to_string()))?;
    let area = record.area;
    let names: Vec<String> = record
        .materials
        .iter()
        .map(|m| m.material.to_string())
        .collect();
    let part = record
        .materials
        .iter_mut()
        .find(|m| m.material.as_str() == name.trim() || m.name.eq_ignore_ascii_case(name.trim()))
        .ok_or_else(|| wrong(format!("the tank holds {}", names.join(", "))))?;
    part.total = Some(total);
    part.copper_kg_per_ha = None;
    part.cost = records::cost_of(season, &part.material, part.total);
    part.copper_kg_per_ha = records::copper_kg_per_ha(season, part, area);
    Ok(())
}
