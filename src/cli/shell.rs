//! `shell`: completions, the manual page, and where files live.

use super::args::{Cli, ShellArgs, ShellWhat};
use super::{Exit, Failure};
use clap::CommandFactory;
use std::io::Write;

/// Prints what was asked for.
pub fn run(args: &ShellArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    match args.what {
        ShellWhat::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "barewood", &mut text);
            out.write_all(&text)?;
        }
        ShellWhat::Manual => clap_mangen::Man::new(Cli::command()).render(out)?,
        ShellWhat::Places => {
            for (what, path) in crate::store::places::all() {
                writeln!(out, "{what}: {}", path.display())?;
            }
        }
    }
    Ok(Exit::Fine)
}
