//! Every size from one cell up draws; small ones say what they need.

use crate::driver::Driver;
use crate::{PLAIN, draw, text};
use barewood::tui::overlay::Overlay;
use barewood::tui::screen::Screen;

/// Keys to every screen and to what opens above it.
pub const SCREENS: [&str; 30] = [
    "",
    "enter",
    "?",
    ":",
    "/",
    "e",
    "i",
    "r",
    "S",
    "S enter",
    "S b",
    "f",
    "V",
    "R",
    "Y",
    "f enter R",
    "f enter R enter",
    "f enter R d",
    "H",
    "C",
    "C tab",
    "C enter",
    "C a",
    "X",
    "M",
    "M e",
    "$",
    "E e",
    "A",
    "T",
];

#[test]
fn every_size_draws_every_screen() {
    for keys in SCREENS {
        let mut d = Driver::with(crate::common::spray_season());
        d.choose("copper-late").keys(keys);
        for columns in (1..30).chain([39, 40, 59, 71, 72, 119, 120, 260]) {
            for rows in (1..26).chain([40, 90]) {
                let (_, drawn) = draw(&mut d, columns, rows, PLAIN);
                if let Some((x, y)) = drawn.cursor {
                    assert!(x < columns && y < rows, "{keys} {columns}x{rows}");
                }
            }
        }
    }
}

#[test]
fn a_window_too_small_says_what_it_needs() {
    let mut d = Driver::new();
    let screen = text(&draw(&mut d, 23, 5, PLAIN).0).replace('\n', " ");
    assert!(screen.contains("window too small, need 24x6"), "{screen}");
}

#[test]
fn a_round_of_sizes_gives_the_same_screen_back() {
    let mut d = Driver::new();
    let before = draw(&mut d, 80, 24, PLAIN);
    for (columns, rows) in [(200, 60), (20, 5), (2, 2), (1, 1), (120, 40)] {
        draw(&mut d, columns, rows, PLAIN);
    }
    assert_eq!(draw(&mut d, 80, 24, PLAIN), before);
}

/// For screen readers the cursor of the terminal stands on what is chosen: on every screen, in
/// every window, at every usual size.
#[test]
fn the_cursor_stands_on_what_is_chosen() {
    for keys in SCREENS.into_iter().chain(["f enter R", "$", "E"]) {
        let mut d = Driver::with(crate::common::spray_season());
        d.choose("copper-late").keys(keys);
        for (columns, rows) in [(60, 20), (80, 24), (120, 40), (200, 60)] {
            d.model.size = (columns, rows);
            let (buffer, drawn) = draw(&mut d, columns, rows, PLAIN);
            let (x, y) = drawn
                .cursor
                .unwrap_or_else(|| panic!("{keys:?} {columns}x{rows}: no cursor"));
            // Where something is chosen its mark or its reversed cell is under the cursor; a form
            // and what is typed have it in the line that is marked.
            let reversed = |x: u16| {
                buffer[(x, y)]
                    .modifier
                    .contains(ratatui::style::Modifier::REVERSED)
            };
            let marked =
                buffer[(x, y)].symbol() == ">" || (0..x).any(|x| buffer[(x, y)].symbol() == ">");
            let chosen = (0..columns).any(reversed);
            let asked = text(&buffer)
                .lines()
                .nth(usize::from(y))
                .is_some_and(|l| ["find:", "words:"].iter().any(|w| l.contains(w)));
            let is_page = matches!(
                d.model.overlay,
                Some(Overlay::Help(_) | Overlay::Details(_) | Overlay::Why(_))
            ) || (d.model.overlay.is_none()
                && (d.model.screen.is_page()
                    || matches!(d.model.screen, Screen::Mix | Screen::Hours))
                || d.model.season.records.is_empty() && d.model.screen == Screen::Records);
            assert!(
                marked || chosen || asked || is_page,
                "{keys:?} {columns}x{rows}: cursor at {x},{y}\n{}",
                text(&buffer)
            );
        }
    }
}
