//! `open`: the board.

use super::args::{ColourWish, OpenArgs};
use super::board_host::BoardHost;
use super::season_at::At;
use super::{Exit, Failure};
use crate::store::places::Places;
use crate::store::session::Mode;
use crate::store::settings::Settings;
use crate::tui::keymap::Keymap;
use crate::tui::terminal::setting::{Colour, Setting, refusal};
use std::io::IsTerminal;

/// Opens the board and stays until it ends.
pub fn run(at: &At, args: &OpenArgs) -> Result<Exit, Failure> {
    let lookup = |name: &str| std::env::var(name).ok();
    if let Some(why) = refusal(&lookup, std::io::stdout().is_terminal()) {
        return Err(Failure::Input(why));
    }
    let colour = match args.color {
        ColourWish::Auto => Colour::Auto,
        ColourWish::Always => Colour::Always,
        ColourWish::Never => Colour::Never,
    };
    let setting = Setting::choose(&lookup, args.ascii, colour);
    let mode = match (args.read_only, args.take_over) {
        (true, _) => Mode::ReadOnly,
        (_, true) => Mode::TakeOver,
        _ => Mode::Write,
    };
    // Settings that cannot be used are told before the board takes the terminal.
    let own_keys = match Places::find() {
        Some(places) => {
            Settings::load(&places)
                .map_err(|e| Failure::Input(e.to_string()))?
                .keys
        }
        None => Vec::new(),
    };
    let keymap = Keymap::with_overrides(&own_keys)
        .map_err(|e| Failure::Input(format!("settings, [keys]: {e}")))?;
    let mut host = BoardHost::new(at.clone(), mode, args.practice);
    match crate::tui::run(&mut host, &setting, keymap) {
        Ok(exit) => Ok(Exit::Board(exit.code())),
        Err(crate::tui::RunError::Host(why)) => Err(Failure::Input(why)),
        Err(fault) => Err(Failure::Disk(fault.to_string())),
    }
}
