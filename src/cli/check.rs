//! `check`: every warning, or the records' integrity.

use super::args::CheckArgs;
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::records::{self, Law};
use crate::domain::rules::Level;
use crate::report::{self, schemas};
use std::io::Write;

/// Prints every warning; a stop or caution makes the exit code 1.
pub fn run(at: &At, args: &CheckArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    if args.file {
        return super::check_file::run(at, args, out);
    }
    let opened = at.look()?;
    if args.records {
        return check_records(&opened, args, out);
    }
    let outlook = opened.outlook();
    if args.output.json {
        schemas::CHECK.write(&report::check::json(&opened.season, &outlook)?, out)?;
    } else if args.all {
        write!(out, "{}", report::check::full(&opened.season, &outlook))?;
    } else {
        write!(out, "{}", report::check::text(&opened.season, &outlook))?;
    }
    Ok(exit(outlook.warnings.iter().map(|w| w.level)))
}

/// Gaps, edits and missing elements; a flaw makes the exit code 1.
fn check_records(opened: &Opened, args: &CheckArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let season = &opened.season;
    let noted = args
        .against
        .iter()
        .map(|text| {
            records::read_head(text).ok_or_else(|| {
                Failure::Input(format!(
                    "--against: '{text}' is no head of records; write it as the review shows it, for instance 12-9f3ab1"
                ))
            })
        })
        .collect::<Result<Vec<_>, _>>()?;
    let noted = noted.as_slice();
    if args.output.json {
        let laws = Law::of_place(&season.orchard);
        schemas::RECORDS.write(&report::records::json(season, noted, &laws)?, out)?;
    } else {
        write!(
            out,
            "{}",
            report::records::text(season, noted, &Law::of_place(&season.orchard), opened.now())
        )?;
    }
    let clashes = records::clashes(season);
    if !args.output.json {
        for clash in &clashes {
            writeln!(out, "CLASH {clash}")?;
        }
    }
    let flawed = !records::integrity(season, noted).is_empty()
        || !clashes.is_empty()
        || !records::over_label(season).is_empty();
    Ok(if flawed { Exit::Warned } else { Exit::Fine })
}

/// The exit for the levels found.
pub fn exit(levels: impl Iterator<Item = Level>) -> Exit {
    if levels.max() >= Some(Level::Caution) {
        Exit::Warned
    } else {
        Exit::Fine
    }
}
