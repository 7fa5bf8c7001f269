//! Options of `sheet`.

use super::ids;
use clap::{Args, Subcommand};

/// Options of `sheet`.
#[derive(Debug, Args)]
pub struct SheetArgs {
    /// Which sheet
    #[command(subcommand)]
    pub what: SheetWhat,
    /// In which language: en, es, or the path of a table of words (see: barewood sheet words)
    #[arg(long, global = true, value_name = "CODE", default_value = "en")]
    pub language: String,
    /// Write a page to print
    #[arg(long, global = true)]
    pub html: bool,
}

/// The sheets.
#[derive(Debug, Subcommand)]
pub enum SheetWhat {
    /// For the person at the tank: amounts, order, gear, re-entry
    Mix {
        /// The task's id
        #[arg(add = ids::tasks())]
        task: String,
    },
    /// To hang where people would go in: product, active ingredient, until when to keep out
    Reentry {
        /// A record's id, or that of a task that is still to do
        #[arg(add = ids::tasks())]
        id: String,
    },
    /// For neighbours: day, active ingredient, re-entry, whom to ask
    Neighbour {
        /// The task's id
        #[arg(add = ids::tasks())]
        task: String,
    },
    /// For the wall: swell of each block, last safe days, the work of the three lanes
    Wall,
    /// The table of words, to fill in for another language
    Words,
}
