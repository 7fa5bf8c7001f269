//! Options of `finish`: every element of an application record.

use clap::Args;

/// Options of `finish`. The record fields make a sealed application record;
/// what is not given is taken from the task and its mix sheet, or stays absent.
#[derive(Debug, Args)]
pub struct FinishArgs {
    /// The task's id
    #[arg(add = super::ids::tasks())]
    pub task: String,
    /// The day it was done
    #[arg(long, value_name = "DATE")]
    pub date: Option<String>,
    /// The blocks that were done: "1-5", "peaches", "all but 7"; the others stay to do
    #[arg(long, value_name = "BLOCKS", conflicts_with_all = ["skipped", "reopen", "no_record"])]
    pub blocks: Vec<String>,
    /// It was left out
    #[arg(long)]
    pub skipped: bool,
    /// Why it was left out; the plan of next season tells it
    #[arg(long, value_name = "REASON", requires = "skipped")]
    pub why: Option<String>,
    /// Why it was done although a stop says not to; kept in the record
    #[arg(long, value_name = "REASON", conflicts_with_all = ["skipped", "reopen"])]
    pub anyway: Option<String>,
    /// Open it again
    #[arg(long, conflicts_with = "skipped")]
    pub reopen: bool,
    /// Mark it as done without an application record
    #[arg(long)]
    pub no_record: bool,
    /// Who sprayed
    #[arg(long)]
    pub who: Option<String>,
    /// Certificate or licence number
    #[arg(long)]
    pub licence: Option<String>,
    /// Who supervised
    #[arg(long)]
    pub supervisor: Option<String>,
    /// Start, local time, for instance 09:30
    #[arg(long, value_name = "HH:MM")]
    pub started: Option<String>,
    /// End, local time
    #[arg(long, value_name = "HH:MM")]
    pub ended: Option<String>,
    /// BBCH stage seen
    #[arg(long)]
    pub bbch: Option<u8>,
    /// Why it was needed: what scouting found
    #[arg(long)]
    pub reason: Option<String>,
    /// Spray used in all, for instance "45 gal"
    #[arg(long)]
    pub volume: Option<String>,
    /// Product used in all, where it was not what the mix sheet says: "oil=1.5 gal"; may be
    /// repeated
    #[arg(long, value_name = "MATERIAL=AMOUNT")]
    pub used: Vec<String>,
    /// Wind speed, for instance "5 mph"
    #[arg(long)]
    pub wind: Option<String>,
    /// Where the wind came from, for instance NW
    #[arg(long)]
    pub wind_from: Option<String>,
    /// Air temperature, for instance "48 F"
    #[arg(long, allow_hyphen_values = true)]
    pub temperature: Option<String>,
    /// Relative humidity, percent
    #[arg(long)]
    pub humidity: Option<f64>,
    /// Sky and inversion note
    #[arg(long)]
    pub sky: Option<String>,
    /// Rain before and after
    #[arg(long)]
    pub rain: Option<String>,
    /// Gear worn; may be repeated
    #[arg(long)]
    pub gear: Vec<String>,
    /// Notices given, signs up
    #[arg(long)]
    pub notices: Option<String>,
    /// What became of left-over spray and rinse water
    #[arg(long)]
    pub leftover: Option<String>,
    /// Remarks
    #[arg(long)]
    pub notes: Option<String>,
}
