//! Options of `versions` and `merge`.

use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Options of `versions`.
#[derive(Debug, Args)]
pub struct VersionsArgs {
    /// What to do; without it the versions are listed
    #[command(subcommand)]
    pub what: Option<VersionsWhat>,
}

/// What can be done with versions.
#[derive(Debug, Subcommand)]
pub enum VersionsWhat {
    /// What differs between two versions, item by item
    Show {
        /// A version: its number or name in the list, a time as 08:15 or 2026-11-27T08:15, or now
        from: String,
        /// Another one
        #[arg(default_value = "now")]
        to: String,
    },
    /// Put an earlier version in the place of the season; records stay, and the season as it is
    /// now becomes a version
    Restore {
        /// The version
        #[arg(value_name = "VERSION")]
        which: String,
    },
    /// Let work go that was kept because it could not be saved
    Drop {
        /// Its name in the list
        kept: String,
    },
}

/// Options of `merge`.
#[derive(Debug, Args)]
pub struct MergeArgs {
    /// Another copy of the season, or the name of work that was kept
    #[arg(required_unless_present = "driver")]
    pub other: Option<PathBuf>,
    /// The version both copies come from; without it the likeliest one is looked for
    #[arg(long, value_name = "FILE")]
    pub base: Option<PathBuf>,
    /// Where both changed one thing, take the value of the other copy
    #[arg(long)]
    pub theirs: bool,
    /// As a merge driver of git: the common version, ours, theirs; the result goes into ours
    #[arg(long, num_args = 3, value_names = ["BASE", "OURS", "THEIRS"], conflicts_with_all = ["base", "theirs"])]
    pub driver: Vec<PathBuf>,
}
