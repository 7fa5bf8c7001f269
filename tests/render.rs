//! Each screen at each size, as text, with its looks asserted beside it:
//! snapshots of text lose them.
#![allow(
    missing_docs,
    clippy::missing_panics_doc,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::string_slice
)]

#[path = "common/board.rs"]
mod common;
#[path = "flow/driver.rs"]
mod driver;
#[path = "render/help.rs"]
mod help;
#[path = "render/looks.rs"]
mod looks;
#[path = "render/notes.rs"]
mod notes;
#[path = "render/screens.rs"]
mod screens;
#[path = "render/sizes.rs"]
mod sizes;
#[path = "render/strings.rs"]
mod strings;

use barewood::tui::theme::{Ground, Look, Theme};
use barewood::tui::view::{Drawn, view};
use driver::Driver;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

pub const COLOUR: Theme = Theme {
    ascii: false,
    colour: Some(Ground::Dark),
    sixteen: true,
    look: Look::Calm,
};
pub const PLAIN: Theme = Theme {
    ascii: false,
    colour: None,
    sixteen: true,
    look: Look::Calm,
};
pub const ASCII: Theme = Theme {
    ascii: true,
    colour: Some(Ground::Dark),
    sixteen: true,
    look: Look::Calm,
};

pub const CONTRAST: Theme = Theme {
    ascii: false,
    colour: Some(Ground::Dark),
    sixteen: true,
    look: Look::Contrast,
};

pub const LIGHT: Theme = Theme {
    colour: Some(Ground::Light),
    ..COLOUR
};
/// The look in which nothing but the chosen line stands out.
pub const STILL: Theme = Theme {
    look: Look::Plain,
    ..COLOUR
};

/// Draws a driver's model at a size.
pub fn draw(driver: &mut Driver, columns: u16, rows: u16, theme: Theme) -> (Buffer, Drawn) {
    driver.model.size = (columns, rows);
    let mut buffer = Buffer::empty(Rect::new(0, 0, columns, rows));
    let drawn = view(&driver.model, theme, &mut buffer);
    (buffer, drawn)
}

/// The text of a screen, blanks at the ends of lines left out.
pub fn text(buffer: &Buffer) -> String {
    use unicode_width::UnicodeWidthStr as _;
    let mut out = String::new();
    for y in 0..buffer.area.height {
        let (mut line, mut x) = (String::new(), 0);
        while x < buffer.area.width {
            let symbol = buffer[(x, y)].symbol();
            line.push_str(symbol);
            x += u16::try_from(symbol.width()).unwrap().max(1);
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}
