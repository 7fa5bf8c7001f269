//! Options of `read`.

use super::ids;
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Options of `read`.
#[derive(Debug, Args)]
pub struct ReadArgs {
    /// What was read
    #[command(subcommand)]
    pub what: ReadWhat,
}

/// What can be noted.
#[derive(Debug, Subcommand)]
pub enum ReadWhat {
    /// A degree-day total, as a station or newsletter gives it
    DegreeDays {
        /// The total, in degrees of the base's scale
        #[arg(allow_hyphen_values = true)]
        total: String,
        /// The base, for instance 43F or 5C
        #[arg(long, allow_hyphen_values = true)]
        base: String,
        /// Counted from this day
        #[arg(long, value_name = "DATE")]
        since: String,
        /// As of the end of this day; without it, today
        #[arg(long, value_name = "DATE")]
        date: Option<String>,
        /// Only for this block; may be repeated
        #[arg(long, add = ids::blocks())]
        block: Vec<String>,
        /// Where it comes from
        #[arg(long)]
        note: Option<String>,
    },
    /// A look at the buds
    Buds {
        /// BBCH stage: 0 still tight, 51 swelling, 53 green tip, 61 first flowers
        bbch: String,
        /// How many buds show it: all, most or first-few; without it, all
        #[arg(long, value_name = "ALL|MOST|FIRST-FEW")]
        how_many: Option<String>,
        /// The day looked; without it, today
        #[arg(long, value_name = "DATE")]
        date: Option<String>,
        /// Only for this block; may be repeated
        #[arg(long, add = ids::blocks())]
        block: Vec<String>,
        /// What was seen
        #[arg(long)]
        note: Option<String>,
        /// A picture of it
        #[arg(long, value_name = "FILE")]
        photo: Option<PathBuf>,
        /// Copy the picture beside the season, named by block, day and stage
        #[arg(long, requires = "photo")]
        copy: bool,
    },
    /// Rain in your own gauge: it goes before every file and forecast
    Rain {
        /// How much, for instance "12 mm" or "0.5 in"
        rain: String,
        /// The day it fell on; without it, today
        #[arg(long, value_name = "DATE")]
        date: Option<String>,
        /// Anything to add
        #[arg(long)]
        note: Option<String>,
    },
    /// The day the leaves were down
    LeafDrop {
        /// The day; without it, today
        date: Option<String>,
        /// Only for this block; may be repeated
        #[arg(long, add = ids::blocks())]
        block: Vec<String>,
    },
    /// The day a material's label was read
    Label {
        /// The material's id
        #[arg(add = ids::materials())]
        material: String,
        /// The day; without it, today
        #[arg(long, value_name = "DATE")]
        date: Option<String>,
    },
}
