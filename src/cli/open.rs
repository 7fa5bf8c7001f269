//! `open`: the board.

use super::args::{ColourWish, LookWish, OpenArgs};
use super::board_host::BoardHost;
use super::season_at::At;
use super::{Exit, Failure};
use crate::store::places::Places;
use crate::store::session::Mode;
use crate::store::settings::{ColourSetting, GroundSetting, Settings, StyleSetting};
use crate::tui::keymap::Keymap;
use crate::tui::terminal::setting::{Colour, Setting, Wish, refusal};
use crate::tui::theme::{Ground, Look};
use std::io::IsTerminal;

/// Opens the board and stays until it ends.
pub fn run(at: &At, args: &OpenArgs) -> Result<Exit, Failure> {
    let lookup = |name: &str| std::env::var(name).ok();
    if let Some(why) = refusal(&lookup, std::io::stdout().is_terminal()) {
        return Err(Failure::Input(why));
    }
    let mode = match (args.read_only, args.take_over) {
        (true, _) => Mode::ReadOnly,
        (_, true) => Mode::TakeOver,
        _ => Mode::Write,
    };
    // Settings that cannot be used are told before the board takes the terminal.
    let settings = match Places::find() {
        Some(places) => Settings::load(&places).map_err(|e| Failure::Input(e.to_string()))?,
        None => Settings::default(),
    };
    let setting = Setting::choose(&lookup, wish(args, &settings));
    let keymap = Keymap::with_overrides(&settings.keys)
        .map_err(|e| Failure::Input(format!("settings, [keys]: {e}")))?;
    let mut host = BoardHost::new(at.clone(), mode, args.practice);
    match crate::tui::run(&mut host, &setting, keymap) {
        Ok(exit) => Ok(Exit::Board(exit.code())),
        Err(crate::tui::RunError::Host(why)) => Err(Failure::Input(why)),
        Err(fault) => Err(Failure::Disk(fault.to_string())),
    }
}

/// How the board is to look: a flag wins over the settings.
fn wish(args: &OpenArgs, settings: &Settings) -> Wish {
    let look = &settings.look;
    Wish {
        ascii: args.ascii || look.ascii,
        colour: match (args.color, look.colour) {
            (Some(ColourWish::Always), _) | (None, Some(ColourSetting::Always)) => Colour::Always,
            (Some(ColourWish::Never), _) | (None, Some(ColourSetting::Never)) => Colour::Never,
            _ => Colour::Auto,
        },
        ground: look.ground.map(|g| match g {
            GroundSetting::Dark => Ground::Dark,
            GroundSetting::Light => Ground::Light,
        }),
        look: match (args.look, look.style) {
            (Some(LookWish::Contrast), _) | (None, Some(StyleSetting::Contrast)) => Look::Contrast,
            (Some(LookWish::Plain), _) | (None, Some(StyleSetting::Plain)) => Look::Plain,
            _ => Look::Calm,
        },
        mouse: settings.mouse,
    }
}
