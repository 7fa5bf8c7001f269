//! Options of the commands for who builds on the program or tests it.

use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Options of `hindcast`.
#[derive(Debug, Args)]
pub struct HindcastArgs {
    /// Dates seen: species,cultivar,site,stage,year,date
    #[arg(long, value_name = "CSV")]
    pub observations: PathBuf,
    /// Folder with one `<site in lower case>.csv` a site: `date,tmin_c,tmax_c`
    #[arg(long, value_name = "FOLDER")]
    pub temperatures: PathBuf,
    /// Sites: station,country,lat,lon
    #[arg(long, value_name = "CSV")]
    pub stations: PathBuf,
    /// Rows wanted: `species,cultivar,site,stage,year[,issue_on]`
    #[arg(long, value_name = "CSV")]
    pub predict: Option<PathBuf>,
    /// Write CSV
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// Write JSON
    #[arg(long)]
    pub json: bool,
}

/// Options of `schema`.
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// Which one; without it they are listed
    pub name: Option<String>,
}

/// Options of `shell`.
#[derive(Debug, Args)]
pub struct ShellArgs {
    /// What to print
    #[command(subcommand)]
    pub what: ShellWhat,
}

/// What `shell` prints.
#[derive(Debug, Subcommand)]
pub enum ShellWhat {
    /// Completions for a shell
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
    /// The manual page
    Manual {
        /// Write the pages of all commands into this folder instead
        #[arg(long, value_name = "FOLDER")]
        to: Option<PathBuf>,
    },
    /// Where files live
    Places,
    /// Every key with the id of its action, for the keys of the settings
    Keys,
}
