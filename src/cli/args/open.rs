//! Options of `open`.

use clap::{Args, ValueEnum};

/// Options of `open`.
#[derive(Debug, Args, Default)]
pub struct OpenArgs {
    /// When to use colour; without it as the settings say, else auto
    #[arg(long, value_enum, value_name = "WHEN")]
    pub color: Option<ColourWish>,
    /// How the board looks; without it as the settings say, else calm
    #[arg(long, value_enum, value_name = "LOOK")]
    pub look: Option<LookWish>,
    /// Speed of a slow line in bits a second, for instance 9600: frames wait until it has
    /// carried the one before (a serial terminal's own speed is known without)
    #[arg(long, value_name = "BITS", env = "BAREWOOD_LINE", value_parser = clap::value_parser!(u32).range(300..))]
    pub line: Option<u32>,
    /// Say each move and what came of it in a line: no full screen; for screen readers and scripts
    #[arg(long, conflicts_with_all = ["color", "look", "line"])]
    pub linear: bool,
    /// Open the practice season even if there is one of your own
    #[arg(long)]
    pub practice: bool,
    /// Look only: nothing can be changed
    #[arg(long)]
    pub read_only: bool,
    /// Have another board of yours on this season hand over: it saves and ends, and what is open
    /// in it opens here
    #[arg(long, conflicts_with = "read_only")]
    pub take_over: bool,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum ColourWish {
    /// Where the ground is known (settings, COLORFGBG), the terminal has it and `NO_COLOR` is not set
    #[default]
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// How the board looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LookWish {
    /// Few accents
    Calm,
    /// High contrast: no colour, everything that matters bold, underlined or reversed
    Contrast,
    /// Only the chosen line stands out
    Plain,
}
