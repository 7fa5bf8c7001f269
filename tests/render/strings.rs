//! Foreign text on the screen: harmless, and columns stay straight.

use crate::driver::Driver;
use crate::{COLOUR, common, draw, text};
use barewood::domain::season::{Lane, TaskKind};
use unicode_width::UnicodeWidthStr as _;

fn with_title(title: &str) -> Driver {
    let mut season = common::season();
    season.tasks.retain(|t| t.lane != Lane::AfterLeafDrop);
    let task = common::task(
        "odd",
        title,
        Lane::AfterLeafDrop,
        TaskKind::Other,
        common::today(),
    );
    season.tasks.push(task);
    title.clone_into(&mut season.orchard.name);
    title.clone_into(&mut season.blocks[0].name);
    Driver::with(season)
}

/// The column at which the second lane's heading and cards begin.
fn column_of(screen: &str, wanted: &str) -> usize {
    let line = screen.lines().find(|l| l.contains(wanted)).unwrap();
    line.split(wanted).next().unwrap().width()
}

#[test]
fn wide_and_combining_characters_keep_the_lanes_straight() {
    for title in [
        "桃の木 冬の石灰硫黄合剤を散布する",
        "e\u{301}e\u{301} accents e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}",
        "👩‍🌾 prune 🌳🌳🌳🌳🌳🌳🌳🌳🌳🌳🌳",
        "plain",
    ] {
        let mut d = with_title(title);
        let screen = text(&draw(&mut d, 80, 24, COLOUR).0);
        assert_eq!(
            column_of(&screen, "[ ] Look for scale"),
            column_of(&screen, "Mid-winter (optional)") + 1,
            "{screen}"
        );
    }
}

#[test]
fn control_characters_never_reach_the_screen() {
    for keys in ["", "enter", "e", "r", "S", ":", "C", "X"] {
        let mut d = with_title("a\u{1b}[2Jb\u{7}\u{9b}31m\u{202e}c\nd");
        d.keys(keys);
        let (buffer, _) = draw(&mut d, 100, 30, COLOUR);
        for cell in buffer.content() {
            assert!(
                !cell
                    .symbol()
                    .chars()
                    .any(|c| c.is_control() || c == '\u{202e}'),
                "{keys}"
            );
        }
    }
}
