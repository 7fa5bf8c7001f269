//! The help is drawn from the one table of keys.

use crate::driver::Driver;
use crate::{PLAIN, draw, text};
use barewood::tui::keymap::KEYMAP;

/// The words of a screen, whatever its frames and line ends.
fn words(screen: &str) -> String {
    let plain: String = screen
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || c.is_ascii_punctuation() {
                c
            } else {
                ' '
            }
        })
        .collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_help_of_every_screen_lists_all_keys_that_work_there() {
    for opened in ["", "S", "H", "C", "X", "M", "$", "E", "R", "V", "Y"] {
        for help in ["?", "f1"] {
            let mut d = Driver::with_hours();
            d.model.size = (160, 150);
            d.keys(opened).keys(help);
            let (buffer, _) = draw(&mut d, 160, 150, PLAIN);
            let shown = words(&text(&buffer));
            for row in KEYMAP
                .iter()
                .filter(|r| d.model.screen.scopes().contains(&r.scope) && !r.keys.is_empty())
            {
                assert!(
                    shown.contains(&words(row.words)),
                    "{opened}: {}\n{shown}",
                    row.id
                );
                for key in row.keys.split_whitespace() {
                    assert!(shown.contains(key), "{opened}: {} of {}", key, row.id);
                }
            }
        }
    }
}
