//! Every size from one cell up draws; small ones say what they need.

use crate::driver::Driver;
use crate::{PLAIN, draw, text};

const SCREENS: [&str; 30] = [
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
    "P",
    "E c",
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
