//! Options of `weather`: bring in, show, fetch.

use super::Output;
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Options of `weather`.
#[derive(Debug, Args)]
pub struct WeatherArgs {
    /// What to do
    #[command(subcommand)]
    pub what: WeatherWhat,
}

/// What can be done with weather.
#[derive(Debug, Subcommand)]
pub enum WeatherWhat {
    /// Bring a file into the season: daily CSV, by-station climate archive (.csv, .dly), hourly CSV
    Add {
        /// The file
        file: PathBuf,
        /// Scale of the temperatures, where the file does not say
        #[arg(long, value_parser = ["C", "F", "c", "f"])]
        scale: Option<String>,
    },
    /// Show a file, or sums over it
    Show(ShowArgs),
    /// Fetch the forecast from a public weather service
    Fetch(FetchArgs),
}

/// Options of `weather fetch`; without them the settings say whom to ask.
#[derive(Debug, Args, Default)]
pub struct FetchArgs {
    /// Which service: us (the United States) or norway (anywhere)
    #[arg(long, value_parser = ["us", "norway"])]
    pub service: Option<String>,
    /// How the service can reach you; both ask for it
    #[arg(long, requires = "service")]
    pub contact: Option<String>,
}

/// Options of `weather show`.
#[derive(Debug, Args)]
pub struct ShowArgs {
    /// The file; without it, the season's own weather
    pub file: Option<PathBuf>,
    /// Which sum: dd, chill-hours, utah, portions, gdh, gdh-linear
    #[arg(long, value_name = "SUM")]
    pub sums: Option<String>,
    /// Base of degree days, for instance 43F
    #[arg(long, allow_hyphen_values = true)]
    pub base: Option<String>,
    /// How degree days are computed, for instance single-sine
    #[arg(long, default_value = "single-sine")]
    pub method: String,
    /// What happens above the upper limit: none, horizontal, intermediate, vertical
    #[arg(long, default_value = "none")]
    pub cutoff: String,
    /// Upper limit of degree days, for instance 88F
    #[arg(long, allow_hyphen_values = true)]
    pub upper: Option<String>,
    /// First day
    #[arg(long, value_name = "DATE")]
    pub from: Option<String>,
    /// Last day
    #[arg(long, value_name = "DATE")]
    pub to: Option<String>,
    /// Degrees north, for sums that need hourly temperatures
    #[arg(long, allow_hyphen_values = true)]
    pub latitude: Option<String>,
    /// Scale of the temperatures, where the file does not say
    #[arg(long, value_parser = ["C", "F", "c", "f"])]
    pub scale: Option<String>,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}
