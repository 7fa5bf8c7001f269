//! `shell`: completions, the manual pages, and where files live.

use super::args::{Cli, ShellArgs, ShellWhat};
use super::{Exit, Failure};
use crate::store::log;
use crate::store::places::Places;
use crate::store::shared_targets;
use crate::tui::keymap::{Keymap, names};
use clap::CommandFactory;
use clap_complete::Shell;
use clap_complete::env::{Bash, Elvish, EnvCompleter, Fish, Powershell, Zsh};
use std::io::Write;
use std::path::Path;

/// The variable by which a shell asks for completions.
pub const COMPLETE: &str = "BAREWOOD_COMPLETE";

/// What is promised of the files, for the manual page and the README.
pub const PROMISES: [&str; 10] = [
    "What the board calls saved outlives a crash, kill -9 and a power cut, on a file system that keeps what it says it has synced.",
    "At any moment the season file is a whole old version or a whole new one, never torn and never missing.",
    "Where a save fails, the work stays on the board, which says NOT SAVED and why, and is kept aside at once, whatever the cause and however you leave. The next start offers to join it, show it or drop it, and commands speak of it, until you decide.",
    "A file that cannot be read whole is never written to. The message names file, line and column, what is wrong and what to do.",
    "Comments, order and keys of your own in the season file stay through every edit.",
    "What something else changed in the file is seen before each save and joined item by item, never written over; where both changed one thing, you are asked.",
    "Versions stay in the folder .backups beside the season file: the last ten, and the first of each five minutes of the last hour, of each hour of the last day, each day of the last month, and each week. barewood versions lists, compares and restores them. One that cannot be kept is told.",
    "Records are only added. An edit, a gap or a changed order among them is found by check --records and never mended in silence; the head of the records in the weekly review and on the printed page proves them later (check --records --against HEAD).",
    "A file keeps its owner, or at least its group, and its access list and attributes through a save; where that cannot be, the save is refused and says so.",
    "Nothing in a season, a file name or the environment steers your terminal, whatever the command.",
];

/// The manual page: options from their one definition, and what is promised.
fn manual(out: &mut dyn Write) -> std::io::Result<()> {
    clap_mangen::Man::new(Cli::command()).render(out)?;
    writeln!(out, ".SH \"WHAT IS PROMISED\"")?;
    for (promise, number) in PROMISES.iter().zip(1..) {
        writeln!(out, ".IP {number}. 4\n{}", promise.replace('-', "\\-"))?;
    }
    Ok(())
}

/// One page a command into a folder: `barewood.1`, `barewood-due.1` and so on.
fn manuals(folder: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(folder)?;
    clap_mangen::generate_to(Cli::command(), folder)?;
    let mut page = Vec::new();
    manual(&mut page)?;
    std::fs::write(folder.join("barewood.1"), page)
}

/// The script a shell reads: it asks this program, which knows the season's ids.
fn completions(shell: Shell, out: &mut dyn Write) -> Result<(), Failure> {
    let script: &dyn EnvCompleter = match shell {
        Shell::Bash => &Bash,
        Shell::Elvish => &Elvish,
        Shell::Fish => &Fish,
        Shell::PowerShell => &Powershell,
        Shell::Zsh => &Zsh,
        other => {
            return Err(Failure::Input(format!(
                "there are no completions for {other}; use one of: bash, elvish, fish, powershell, zsh"
            )));
        }
    };
    Ok(script.write_registration(COMPLETE, "barewood", "barewood", "barewood", out)?)
}

/// Prints what was asked for.
pub fn run(args: &ShellArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    match &args.what {
        ShellWhat::Completions { shell } => completions(*shell, out)?,
        ShellWhat::Manual { to: None } => manual(out)?,
        ShellWhat::Manual { to: Some(folder) } => manuals(folder)
            .map_err(|fault| Failure::Disk(format!("{}: {fault}", folder.display())))?,
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_readme_promises_what_the_manual_does() {
        let readme = include_str!("../../README.md").replace('`', "");
        for promise in PROMISES {
            assert!(readme.contains(promise), "{promise}");
        }
        let mut page = Vec::new();
        manual(&mut page).unwrap();
        let page = String::from_utf8(page).unwrap();
        assert_eq!(page.matches("\n.IP ").count(), PROMISES.len());
    }
}
