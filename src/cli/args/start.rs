//! Options of `start`: the answers to its questions.

use clap::Args;
use std::path::PathBuf;

/// Options of `start`.
#[derive(Debug, Args, Default)]
pub struct StartArgs {
    /// Name of the orchard
    #[arg(long)]
    pub name: Option<String>,
    /// Where: a town with its state or country ("Geneva, New York"), latitude and longitude
    /// ("43.15, -77.6"), or the link of a map; gives latitude, longitude, height and clock
    #[arg(long, value_name = "TOWN", allow_hyphen_values = true)]
    pub place: Option<String>,
    /// Degrees north (south is negative)
    #[arg(long, allow_hyphen_values = true)]
    pub latitude: Option<String>,
    /// Degrees east (west is negative)
    #[arg(long, allow_hyphen_values = true)]
    pub longitude: Option<String>,
    /// Time zone by its IANA name, for instance Europe/Madrid
    #[arg(long)]
    pub zone: Option<String>,
    /// Units to show
    #[arg(long, value_parser = ["us", "metric"])]
    pub units: Option<String>,
    /// When the leaves were or will be down
    #[arg(long, value_name = "DATE")]
    pub leaf_drop: Option<String>,
    /// A block as kind:cultivar:trees or in plain words, for instance '6 redhaven peach'; may be repeated
    #[arg(long, value_name = "BLOCK")]
    pub block: Vec<String>,
    /// Daily temperatures of the place, past years and this season so far: the plan hangs on
    /// the swell they suggest, and the file is brought in; may be repeated
    #[arg(long, value_name = "FILE", conflicts_with = "from")]
    pub weather: Vec<PathBuf>,
    /// Carry over from an earlier season: "last", or a file
    #[arg(long, value_name = "SEASON")]
    pub from: Option<String>,
    /// With --from: a stage seen last season as "block:stage:date", for instance
    /// peaches:swell:2027-03-14; may be repeated
    #[arg(long, value_name = "SEEN", requires = "from")]
    pub seen: Vec<String>,
    /// With --from: something last season taught; may be repeated
    #[arg(long, value_name = "TEXT", requires = "from")]
    pub lesson: Vec<String>,
    /// Take the defaults for what is not given instead of asking
    #[arg(long)]
    pub yes: bool,
}
