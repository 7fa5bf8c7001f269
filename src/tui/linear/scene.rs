//! What is in view, as lines of text: what is open above the screen, else the screen itself.
//!
//! It is taken from what the full-screen board would draw, so that nothing is missing that others
//! see, and whatever is drawn anew one day is said as well.

use super::SIZE;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;
use crate::tui::theme::{Look, Theme};
use crate::tui::view::view;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// What was said of what is in view.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Scene {
    /// Which screen.
    pub(super) screen: String,
    /// What kind of thing is open above it; empty where nothing is.
    pub(super) above: &'static str,
    /// Its lines, without frames.
    pub(super) lines: Vec<String>,
    /// The line the cursor stands on.
    pub(super) at: Option<usize>,
}

const THEME: Theme = Theme {
    ascii: true,
    colour: None,
    look: Look::Plain,
    sixteen: false,
};

/// The cells drawn, row by row, and where the cursor stands.
fn drawn(model: &Model) -> (Vec<Vec<String>>, Option<u16>) {
    let area = Rect::new(0, 0, SIZE.0, SIZE.1);
    let mut sheet = Buffer::empty(area);
    let drawn = view(model, THEME, &mut sheet);
    let rows = (0..SIZE.1)
        .map(|y| {
            let cell = |x| sheet.cell((x, y)).map_or(" ", |c| c.symbol()).to_owned();
            (0..SIZE.0).map(cell).collect()
        })
        .collect();
    (rows, drawn.cursor.map(|(_, y)| y))
}

impl Scene {
    /// What is in view now.
    pub(super) fn of(model: &Model) -> Self {
        let (rows, cursor) = drawn(model);
        let parts: Vec<String> = if model.overlay.is_some() {
            let mut bare = model.clone();
            bare.overlay = None;
            let (below, _) = drawn(&bare);
            rows.iter()
                .zip(&below)
                .map(|(row, below)| above(row, below))
                .collect()
        } else {
            rows.iter().map(|row| row.concat()).collect()
        };
        let mut scene = Self {
            screen: format!("{:?}", model.screen),
            above: above_it(model),
            ..Self::default()
        };
        // The last two rows are the notice, said on its own, and the most useful keys, which `?`
        // says.
        let body = 1..SIZE.1 - 2;
        for (y, part) in (0..).zip(&parts) {
            let line = bared(part);
            if line.is_empty() || !body.contains(&y) {
                continue;
            }
            if cursor == Some(y) {
                scene.at = Some(scene.lines.len());
            }
            scene.lines.push(line);
        }
        scene
    }

    /// The line of the cursor.
    pub(super) fn chosen(&self) -> Option<&str> {
        self.at
            .and_then(|at| self.lines.get(at))
            .map(String::as_str)
    }
}

/// What kind of thing is open above the screen.
fn above_it(model: &Model) -> &'static str {
    match &model.overlay {
        None => "",
        Some(Overlay::Help(_)) => "help",
        Some(Overlay::Finder(_)) => "finder",
        Some(Overlay::Details(_)) => "details",
        Some(Overlay::Why(_)) => "why",
        Some(Overlay::Find(_)) => "find",
        Some(Overlay::Form(_)) => "form",
        Some(Overlay::Delay(_)) => "delay",
    }
}

/// The part of a row that is drawn above another: from the first cell that differs to the last.
fn above(row: &[String], below: &[String]) -> String {
    let differs = |(a, b): (&String, &String)| a != b;
    let pairs = || row.iter().zip(below);
    let (Some(first), Some(last)) = (pairs().position(differs), pairs().rposition(differs)) else {
        return String::new();
    };
    row.get(first..=last).unwrap_or_default().concat()
}

/// A line without the frame around it.
fn bared(line: &str) -> String {
    let frame = |c: char| matches!(c, '|' | '+' | '-' | ':' | '=' | '_') || c.is_whitespace();
    if line.chars().all(frame) {
        return String::new();
    }
    let line = line.trim();
    let line = line.strip_prefix('|').unwrap_or(line);
    let line = line.strip_suffix('|').unwrap_or(line);
    // A title stands in the frame's own line.
    let line = line.trim_matches(|c| c == '+' || c == ' ');
    let line = if line.starts_with("--") || line.ends_with("---") {
        line.trim_matches('-')
    } else {
        line
    };
    line.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_fall_and_words_stay() {
        assert_eq!(bared("+-- Rain delay ---------+"), "Rain delay");
        assert_eq!(bared("|  days   3            |"), "days 3");
        assert_eq!(bared("+-----------------------+"), "");
        assert_eq!(bared("   -3 degrees  "), "-3 degrees");
    }
}
