//! Options of the commands of a farm: its blocks, its stock, its ledger, its run sheet.

use super::Output;
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Options of `farm`.
#[derive(Debug, Args)]
pub struct FarmArgs {
    /// Only what these words fit: peach copper open, closing, tue, a sprayer
    pub words: Vec<String>,
    /// In groups by kind, window, sprayer or day
    #[arg(long, value_name = "WHAT")]
    pub by: Option<String>,
    /// Plain text (this is also the default: the answer never changes because it is piped)
    #[arg(long)]
    pub plain: bool,
}

/// Options of `blocks`.
#[derive(Debug, Args)]
pub struct BlocksArgs {
    /// What to do
    #[command(subcommand)]
    pub what: BlocksWhat,
}

/// What can be done with blocks.
#[derive(Debug, Subcommand)]
pub enum BlocksWhat {
    /// What stands where, the sprayers and the people
    Show {
        /// Write CSV, which `blocks add` reads again
        #[arg(long)]
        csv: bool,
    },
    /// Take a table in: CSV or a workbook, with headings block, kind, cultivar, trees, area ..
    Add {
        /// The file
        file: PathBuf,
        /// Show what it would do, and change nothing
        #[arg(long)]
        preview: bool,
        /// Retire blocks that are not in the table
        #[arg(long)]
        replace: bool,
    },
    /// Add or change one: block="07 Bing" kind="sweet cherry" trees=120 "area=0.5 ha"; the first
    /// says what it is: block, sprayer or person
    Set {
        /// Headings of the table with what stands under them
        #[arg(required = true, value_name = "HEADING=VALUE")]
        cells: Vec<String>,
    },
    /// Make two blocks of one
    Split {
        /// The block
        block: String,
        /// Name of the new block
        #[arg(long)]
        name: String,
        /// Trees of the new block
        #[arg(long, value_name = "N")]
        trees: u32,
    },
    /// Take a block out of the season; its records stay
    Retire {
        /// The block
        block: String,
    },
}

/// Options of `receive`.
#[derive(Debug, Args)]
pub struct ReceiveArgs {
    /// The material
    pub material: String,
    /// How much: "10 kg", "5 gal"
    pub amount: String,
    /// The day; without it, today
    #[arg(long, value_name = "DATE")]
    pub date: Option<String>,
    /// Lot number
    #[arg(long)]
    pub lot: Option<String>,
    /// What was paid
    #[arg(long)]
    pub paid: Option<f64>,
    /// Where it was bought, or anything else
    #[arg(long)]
    pub note: Option<String>,
}

/// Options of `count`.
#[derive(Debug, Args)]
pub struct CountArgs {
    /// The material
    pub material: String,
    /// How much is there: "10 kg", "5 gal"
    pub amount: String,
    /// The day; without it, today
    #[arg(long, value_name = "DATE")]
    pub date: Option<String>,
    /// Why it differs, or anything else
    #[arg(long)]
    pub note: Option<String>,
}

/// Options of `ledger`.
#[derive(Debug, Args)]
pub struct LedgerArgs {
    /// Only these blocks: a name, 7, 1-10, peaches
    #[arg(long, value_name = "BLOCKS")]
    pub block: Option<String>,
    /// Only this active or material, for instance copper
    #[arg(long)]
    pub active: Option<String>,
    /// Only what this person sprayed
    #[arg(long, value_name = "NAME")]
    pub who: Option<String>,
    /// From this day on, for instance 2024-11-01
    #[arg(long, value_name = "DATE")]
    pub from: Option<String>,
    /// Up to this day
    #[arg(long, value_name = "DATE")]
    pub to: Option<String>,
    /// Write CSV
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}

/// Options of `run-sheet`.
#[derive(Debug, Args)]
pub struct RunSheetArgs {
    /// Take doubtful hours too
    #[arg(long)]
    pub doubtful: bool,
    /// Any sprayer for any spray, not only the one a task names
    #[arg(long)]
    pub any_sprayer: bool,
    /// Also the chance to finish: past winters replayed, hour by hour
    #[arg(long)]
    pub chance: bool,
    /// Put the sheet into the plan: dates, hours, sprayers, parts
    #[arg(long)]
    pub take: bool,
    /// How to write the answer
    #[command(flatten)]
    pub output: Output,
}
