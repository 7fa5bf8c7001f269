//! `hindcast`: from the command line's options to its run, with progress on
//! standard error where somebody watches.

use super::args::HindcastArgs;
use super::hindcast::{self, HindcastError, OutputForm};
use super::{Exit, Failure};
use crate::domain::harmless::Shown;
use std::io::{IsTerminal, Write};

/// Runs the hindcast.
pub fn run(args: &HindcastArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let form = match (args.json, args.csv) {
        (true, _) => OutputForm::Json,
        (_, true) => OutputForm::Csv,
        _ => OutputForm::Text,
    };
    let plan = hindcast::HindcastArgs {
        observations: args.observations.clone(),
        temperatures: args.temperatures.clone(),
        stations: args.stations.clone(),
        predict: args.predict.clone(),
        form,
    };
    let mut err = super::raw_told();
    let watched = err.is_terminal();
    let mut shown = -1;
    let mut progress = |share: f64, what: &str| {
        let percent = (share * 100.0).floor() as i32;
        if watched && percent > shown {
            shown = percent;
            // Progress that cannot be shown is no failure.
            let _ = write!(err, "\r{percent:3} % {}   ", Shown::line(what));
            let _ = err.flush();
        }
    };
    let result = hindcast::run(&plan, out, &mut progress);
    if watched {
        let _ = writeln!(super::told());
    }
    result.map_err(|problem| match problem {
        HindcastError::Write(e) => Failure::Write(e),
        HindcastError::Read { .. } => Failure::Disk(problem.to_string()),
        other @ HindcastError::Content { .. } => Failure::Input(other.to_string()),
    })?;
    Ok(Exit::Fine)
}
