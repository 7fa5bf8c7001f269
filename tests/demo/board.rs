//! The board on an invented season kept in memory, to look at.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::string_slice
)]

#[path = "../common/board.rs"]
mod common;

use barewood::tui::keymap::Keymap;
use barewood::tui::terminal::setting::{Colour, Setting, refusal};
use std::io::IsTerminal as _;

fn main() -> std::process::ExitCode {
    let lookup = |name: &str| std::env::var(name).ok();
    if let Some(why) = refusal(&lookup, std::io::stdout().is_terminal()) {
        eprintln!("{why}");
        return 2.into();
    }
    let mut season = common::season();
    let mut host_place = None;
    if let Ok(place) = std::env::var("DEMO_PLACE") {
        season.practice = false;
        host_place = Some(place.into());
    }
    let mut host = common::MemoryHost::new(season);
    host.place = host_place;
    if let Ok(day) = std::env::var("DEMO_DAY") {
        host.today = day.parse().unwrap();
    }
    if let Ok(ms) = std::env::var("DEMO_PANIC_MS") {
        let ms = ms.parse().unwrap();
        std::thread::spawn(move || {
            std::thread::sleep(std::time::Duration::from_millis(ms));
            panic!("demo panic");
        });
    }
    let ascii = std::env::args().any(|a| a == "--ascii");
    let setting = Setting::choose(&lookup, ascii, Colour::Auto);
    match barewood::tui::run(&mut host, &setting, Keymap::standard()) {
        Ok(exit) => exit.code().into(),
        Err(fault) => {
            eprintln!("{fault}");
            3.into()
        }
    }
}
