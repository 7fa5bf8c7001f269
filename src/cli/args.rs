//! Every command with its options: help, manual and completions come from here.

mod command;
mod farm;
mod finish;
mod ids;
mod open;
mod read;
mod sheet;
mod start;
mod versions;
mod weather;
mod workshop;

pub use farm::{
    BlocksArgs, BlocksWhat, CountArgs, FarmArgs, LedgerArgs, ReceiveArgs, RunSheetArgs,
};
pub use finish::FinishArgs;
pub use open::{ColourWish, LookWish, OpenArgs};
pub use read::{ReadArgs, ReadWhat};
pub use sheet::{SheetArgs, SheetWhat};
pub use start::StartArgs;
pub use versions::{MergeArgs, VersionsArgs, VersionsWhat};
pub use weather::{AddArgs, FetchArgs, ShowArgs, WeatherArgs, WeatherWhat};
pub use workshop::{HindcastArgs, SchemaArgs, ShellArgs, ShellWhat};

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  barewood                                 open the board
  barewood due                             what is overdue, due today, due this week
  barewood swell --json                    the swell estimate of every block
  barewood delay second-copper --days 3    move a task after rain, and see what that does
  barewood check --on 2027-02-14           every warning, as of a day
  barewood read degree-days 95 --base 43F --since 2027-01-01

For who tests the estimate itself: barewood hindcast --help

Exit codes: 0 fine; 1 a stop or caution (check and due only); 2 usage or bad input;
3 could not read or write.

The label is the law. This program plans; it does not replace labels, local rules or
licensed practice.";

/// The version with what the program carries of others' data.
const LONG_VERSION: &str = concat!(
    env!("CARGO_PKG_VERSION"),
    "\n\nData in the program:\n",
    "  Towns: GeoNames (geonames.org), licensed CC BY 4.0; cut down and packed.\n",
    "  Area's normal weather: NCEP-NCAR Reanalysis 1 (Kalnay et al. 1996), long term\n",
    "  means 1981-2010 provided by the NOAA Physical Sciences Laboratory, Boulder,\n",
    "  Colorado; mean heights of land from open elevation data (ETOPO1, GMTED2010,\n",
    "  SRTM, EU-DEM and others, as shipped with pvlib).\n",
    "  Time zones: the IANA database.",
);

/// A board for the dormant season of fruit trees.
#[derive(Debug, Parser)]
#[command(name = "barewood", version, long_version = LONG_VERSION, about, after_help = EXAMPLES, propagate_version = true)]
pub struct Cli {
    /// Season file; without it the latest season in the data folder, else the practice season
    #[arg(
        long,
        short = 's',
        global = true,
        value_name = "FILE",
        env = "BAREWOOD_SEASON"
    )]
    pub season: Option<PathBuf>,
    /// The day to take as today: 2027-02-14, "14 feb", sat, +3, -1w
    #[arg(long, global = true, value_name = "DAY", allow_hyphen_values = true)]
    pub on: Option<String>,
    /// Use ASCII characters only, on the board and in plain answers
    #[arg(long, global = true)]
    pub ascii: bool,
    /// Break a plain answer into pages for the printer: 60 lines, form feeds between
    #[arg(long, global = true)]
    pub pages: bool,
    /// Note in this file what is started, saved and fetched, and every error, with its time
    #[arg(long, global = true, value_name = "FILE", env = "BAREWOOD_LOG")]
    pub log: Option<PathBuf>,
    /// What to do; without it the board opens
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Open the board
    Open(OpenArgs),
    /// Begin a season: asks a few questions, or takes the answers as options
    Start(StartArgs),
    /// The whole plan as plain text: each lane's tasks, the ribbon of the year, likely swell
    Plan(PlanArgs),
    /// What is overdue, due today, due in the next seven days, and where to keep out
    Due(DueArgs),
    /// Every warning, with the numbers behind it; with --records, the records' integrity
    Check(CheckArgs),
    /// When buds will swell, with the range, block by block
    Swell(SwellArgs),
    /// Move a task to another day
    Move(MoveArgs),
    /// Delay a task after rain, alone or with all that follow on its blocks
    Delay(DelayArgs),
    /// Which hours of the coming days are fit for a spray, and why
    Hours(HoursArgs),
    /// Which sprayer goes to which blocks in which hours, and what cannot be done in time
    RunSheet(RunSheetArgs),
    /// The farm in one table: a row a block with its sprays, their windows, days and hours
    Farm(FarmArgs),
    /// Blocks, sprayers and people: from a table, as a table; split, retired
    Blocks(BlocksArgs),
    /// What was used on which block, over all seasons on file
    Ledger(LedgerArgs),
    /// Note what came into the shed; the stock rises by it
    Receive(ReceiveArgs),
    /// Note what was counted in the shed; what differs stays on record
    Count(CountArgs),
    /// Plan a spray that washed off once more, where its label allows it
    Repeat(RepeatArgs),
    /// Mark a task as done or skipped
    Finish(FinishArgs),
    /// The sheet to take to the shed: volume, tanks, amounts, order, gear, re-entry
    Mix(MixArgs),
    /// Sheets for others, in English or Spanish: mix, re-entry, neighbours, wall
    Sheet(SheetArgs),
    /// Materials with what is entered of their labels, sprayers with what was measured on them
    Shed(ShedArgs),
    /// What is short for the sprays still open, and what it costs
    Buy(BuyArgs),
    /// What was seen on each block, what covers it in which lane, and what would close the gaps
    Coverage(CoverageArgs),
    /// The week's review: what changed, is due, at risk, short, and what to look at
    Review(ReviewArgs),
    /// Take an answer to a numbered review: shown first, then whole or not at all
    Take(TakeArgs),
    /// Seasons side by side: planned, done, swell estimated and seen
    History(HistoryArgs),
    /// Calendar, tables, a printable page, or everything as JSON
    Export(ExportArgs),
    /// Note that a treated block may be entered again: who looked, and that it was dry
    Reenter(ReenterArgs),
    /// Note a degree-day total, a look at the buds, or leaf drop
    Read(ReadArgs),
    /// Bring in weather files and look at them
    Weather(WeatherArgs),
    /// Earlier versions: listed, compared item by item, restored
    Versions(VersionsArgs),
    /// Join another copy of the season, item by item; also as a merge driver of git
    Merge(MergeArgs),
    /// Judge the estimate on dates seen in the past, or answer for dates wanted
    #[command(hide = true)]
    Hindcast(HindcastArgs),
    /// The JSON Schema of every --json answer
    Schema(SchemaArgs),
    /// Completions for a shell, and the manual page
    Shell(ShellArgs),
}

/// How an answer is written.
#[derive(Debug, Args, Clone, Copy, Default)]
pub struct Output {
    /// Write JSON
    #[arg(long)]
    pub json: bool,
    /// Plain text (this is also the default: the answer never changes because it is piped)
    #[arg(long, conflicts_with = "json")]
    pub plain: bool,
}

/// Options of `due`.
#[derive(Debug, Args)]
pub struct DueArgs {
    /// Say only what is new since it was last said this way; say nothing where nothing is
    #[arg(long, conflicts_with = "json")]
    pub new: bool,
    /// Run this command for each new thing, its words on standard input; what fails stays new
    #[arg(long, value_name = "CMD", conflicts_with = "json")]
    pub run: Option<String>,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `plan`.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `swell`.
#[derive(Debug, Args)]
pub struct SwellArgs {
    /// Which stage: swell, burst or bloom
    #[arg(long, default_value = "swell", value_parser = ["swell", "burst", "bloom"])]
    pub stage: String,
    /// Only this block; may be repeated
    #[arg(long, value_name = "BLOCK", add = ids::blocks())]
    pub block: Vec<String>,
    /// Also heat week by week, the chance by date, and the dates seen in past seasons
    #[arg(long, conflicts_with = "json")]
    pub curves: bool,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `move`.
#[derive(Debug, Args)]
pub struct MoveArgs {
    /// The task's id
    #[arg(add = ids::tasks())]
    pub task: String,
    /// The day: 2027-02-14, "14 feb", sat, +3, -1w
    #[arg(allow_hyphen_values = true)]
    pub to: String,
    /// Why
    #[arg(long, default_value = "moved by hand")]
    pub why: String,
}

/// Options of `delay`.
#[derive(Debug, Args)]
pub struct DelayArgs {
    /// The task's id
    #[arg(add = ids::tasks())]
    pub task: String,
    /// By how many days
    #[arg(
        long,
        value_name = "N",
        allow_hyphen_values = true,
        required_unless_present = "fit",
        conflicts_with = "fit"
    )]
    pub days: Option<i64>,
    /// Into the next fit hours, as far as the hours of weather reach
    #[arg(long)]
    pub fit: bool,
    /// With --fit, where nothing fits: which of the choices shown; without it nothing is changed
    #[arg(long, value_name = "N", requires = "fit")]
    pub choice: Option<usize>,
    /// Also delay every later open task on the same blocks
    #[arg(long)]
    pub following: bool,
    /// Show what it would do, and change nothing
    #[arg(long)]
    pub preview: bool,
    /// Why
    #[arg(long, default_value = "rain")]
    pub why: String,
}

/// Options of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Every warning by itself, notes too, with its numbers and its source
    #[arg(long)]
    pub all: bool,
    /// Check the records instead: gaps, edits, missing elements
    #[arg(long)]
    pub records: bool,
    /// With --records: a head noted earlier, as the review and the printed page have it; tells
    /// whether the records up to it are still those of that day
    #[arg(long, requires = "records", value_name = "HEAD")]
    pub against: Vec<String>,
    /// Check the season file and its weather on the disk instead
    #[arg(long, conflicts_with = "records")]
    pub file: bool,
    /// With --file: write a mended copy beside a season that cannot be read
    #[arg(long, requires = "file")]
    pub mend: bool,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `mix`.
#[derive(Debug, Args)]
pub struct MixArgs {
    /// The task's id
    #[arg(add = ids::tasks())]
    pub task: String,
    /// Write a page to print
    #[arg(long)]
    pub html: bool,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `shed`.
#[derive(Debug, Args)]
pub struct ShedArgs {
    /// Plain text (this is also the default: the answer never changes because it is piped)
    #[arg(long)]
    pub plain: bool,
}

/// Options of `buy`.
#[derive(Debug, Args)]
pub struct BuyArgs {
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `coverage`.
#[derive(Debug, Args)]
pub struct CoverageArgs {
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `review`.
#[derive(Debug, Args)]
pub struct ReviewArgs {
    /// Mark the week as reviewed, and note the estimates of today
    #[arg(long)]
    pub done: bool,
    /// Everything, block by block, instead of one page
    #[arg(long, conflicts_with = "json")]
    pub all: bool,
    /// Write Markdown
    #[arg(long)]
    pub markdown: bool,
    /// Number what can be answered by a line, for mail; the answer comes back through `take`
    #[arg(long, conflicts_with_all = ["markdown", "json"])]
    pub numbered: bool,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `take`.
#[derive(Debug, Args)]
pub struct TakeArgs {
    /// The file with the answer to `review --numbered`, or - for standard input
    pub answer: PathBuf,
    /// Take it; without this it is only shown
    #[arg(long)]
    pub yes: bool,
}

/// Options of `history`.
#[derive(Debug, Args)]
pub struct HistoryArgs {
    /// Season files, oldest first; without any, the season itself
    pub files: Vec<PathBuf>,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// Which form
    #[arg(value_enum)]
    pub form: ExportForm,
    /// Write to this file instead of standard output
    #[arg(long, value_name = "FILE")]
    pub to: Option<PathBuf>,
    /// Replace the file if there is one; never a season
    #[arg(long, requires = "to")]
    pub force: bool,
    /// Begin a table with the mark by which spreadsheets know UTF-8 (csv and materials only)
    #[arg(long)]
    pub bom: bool,
}

/// What can be exported.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ExportForm {
    /// Tasks, re-entry and swell windows as a calendar (RFC 5545)
    Ics,
    /// Application records as CSV (RFC 4180)
    Csv,
    /// Materials used as CSV
    Materials,
    /// A page to print, self-contained
    Html,
    /// Everything derived for the day, as JSON
    Json,
}

/// Options of `reenter`.
#[derive(Debug, Args)]
pub struct ReenterArgs {
    /// The record's id
    #[arg(add = ids::records())]
    pub record: String,
    /// Who saw that it was dry
    #[arg(long)]
    pub seen_by: String,
}

/// Options of `hours`.
#[derive(Debug, Args)]
pub struct HoursArgs {
    /// The task's id
    #[arg(add = ids::tasks())]
    pub task: String,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `repeat`.
#[derive(Debug, Args)]
pub struct RepeatArgs {
    /// The id of the task that is done
    #[arg(add = ids::tasks())]
    pub task: String,
}
