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
    /// Bring files into the season: any table of days or hours (CSV, .gz, workbook), archives, forecasts
    Add(AddArgs),
    /// List the weather files of the season, in the order they are joined
    List {
        /// How to write the answer
        #[command(flatten)]
        output: Output,
    },
    /// Leave a weather file out of the season; the file itself stays
    Remove {
        /// The name it is listed under
        file: String,
    },
    /// Take the last change of the weather files back; once more puts it there again
    Undo,
    /// Show a file, or sums over it
    Show(ShowArgs),
    /// Fetch the forecast from a public weather service, or with --history the weather since 1981
    Fetch(FetchArgs),
}

/// Options of `weather add`: what the files do not say themselves.
#[derive(Debug, Args, Default)]
pub struct AddArgs {
    /// The files; two with one half each (minima, maxima) make one record
    #[arg(required = true, num_args = 1..)]
    pub files: Vec<PathBuf>,
    /// Unit of the temperatures, where the file does not say: C, F or tenths (of °C)
    #[arg(long, visible_alias = "scale", value_parser = ["C", "F", "tenths", "c", "f"])]
    pub unit: Option<String>,
    /// Column of the day: its name or its number from 1
    #[arg(long, value_name = "COLUMN")]
    pub date_column: Option<String>,
    /// Order of day and month: dmy, mdy or ymd
    #[arg(long, value_parser = ["dmy", "mdy", "ymd"])]
    pub dates: Option<String>,
    /// Column of the time of day
    #[arg(long, value_name = "COLUMN")]
    pub time: Option<String>,
    /// Clock of the times: local, standard, utc, -05:00 or a name such as `America/New_York`
    #[arg(long, allow_hyphen_values = true)]
    pub zone: Option<String>,
    /// Column of the minimum
    #[arg(long, value_name = "COLUMN")]
    pub tmin: Option<String>,
    /// Column of the maximum
    #[arg(long, value_name = "COLUMN")]
    pub tmax: Option<String>,
    /// Column of the temperature, in a table of hours or minutes
    #[arg(long, value_name = "COLUMN")]
    pub temp: Option<String>,
    /// Sheet of a workbook
    #[arg(long)]
    pub sheet: Option<String>,
    /// Who measured it: own (thermometer), station or archive; own wins, then station
    #[arg(long, value_parser = ["own", "station", "archive"])]
    pub source: Option<String>,
    /// Take it although it seems to be of another place or in another unit
    #[arg(long)]
    pub anyway: bool,
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
    /// Fetch the weather of this place since 1981; sends the place, rounded to 0.1°, to the POWER archive of NASA
    #[arg(long, conflicts_with = "service")]
    pub history: bool,
    /// With --history: the days alone, without the hours since 2001
    #[arg(long, requires = "history")]
    pub days_only: bool,
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
