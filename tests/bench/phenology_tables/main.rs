//! The measured tables of the estimate, as Markdown, and the fitted figures it carries.
//!
//! ```text
//! cargo run --release --example phenology_tables -- tables FOLDER
//! cargo run --release --example phenology_tables -- fit FOLDER > src/domain/phenology/fitted.csv
//! ```
//!
//! `FOLDER` holds `bloom.csv`, `stations.csv` and `temperatures/`, and in `korea/` the same with
//! `stages.csv`. Which years train and which are answered hangs on nothing but the series and the
//! year, so that every run makes the same tables.
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod baselines;
mod data;
mod splits;
mod tally;

use std::path::Path;
use std::process::ExitCode;

use barewood::domain::phenology::fitted;
use barewood::domain::phenology::hindcast::{Places, Settings, fit_groups};
use data::Set;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let done = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["tables", folder] => load(folder).map(|(bloom, korea)| splits::all(&bloom, &korea)),
        ["fit", folder] => load(folder).map(|(bloom, korea)| fit(bloom, korea)),
        _ => Err("usage: phenology_tables tables|fit FOLDER".to_owned()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn load(folder: &str) -> Result<(Set, Set), String> {
    let folder = Path::new(folder);
    let korea = folder.join("korea");
    Ok((
        Set::load(&folder.join("bloom.csv"), folder)?,
        Set::load(&korea.join("stages.csv"), &korea)?,
    ))
}

fn fit(bloom: Set, korea: Set) {
    let mut places = Places::default();
    let mut observations = bloom.observations;
    places.extend(bloom.places);
    places.extend(korea.places);
    observations.extend(korea.observations);
    print!(
        "{}",
        fitted::to_csv(&fit_groups(&places, &observations, &Settings::default()))
    );
}
