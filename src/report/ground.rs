//! What the swell dates of an answer rest on, where that has to be said.

use super::wrap::wrapped;
use crate::domain::outlook::Ground;

/// Its lines; empty where the place has weather of its own and all of it was read.
pub fn text(ground: &Ground) -> String {
    ground
        .lines()
        .iter()
        .map(|line| wrapped(&format!("note: {line}"), 2))
        .collect()
}
