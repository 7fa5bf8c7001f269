//! `shell`: completions, the manual page, and where files live.

use super::args::{Cli, ShellArgs, ShellWhat};
use super::{Exit, Failure};
use crate::store::log;
use crate::store::places::Places;
use crate::store::shared_targets;
use crate::tui::keymap::{Keymap, names};
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
        ShellWhat::Keys => {
            let mut scope = None;
            for (binding, keys) in Keymap::standard().rows() {
                if scope.replace(binding.scope) != Some(binding.scope) {
                    writeln!(out, "# {}", binding.scope.words())?;
                }
                writeln!(
                    out,
                    "{:<16} {:<14} {}",
                    binding.id,
                    names(keys),
                    binding.words
                )?;
            }
        }
        ShellWhat::Places => {
            let places = Places::find().ok_or_else(|| {
                Failure::Disk("no home folder is set; set HOME or XDG_DATA_HOME".to_owned())
            })?;
            for (what, path) in [
                ("seasons", places.seasons),
                ("your targets", places.config.join(shared_targets::NAME)),
                ("settings", places.config),
                (
                    "log, when something came up",
                    places.state.join(log::FILE_NAME),
                ),
                ("recovery", places.state),
                ("last forecast", places.cache),
            ] {
                writeln!(out, "{what}: {}", path.display())?;
            }
        }
    }
    Ok(Exit::Fine)
}
