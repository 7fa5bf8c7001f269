//! Foreign text on the screen: harmless, and columns stay straight.

use crate::driver::Driver;
use crate::sizes::SCREENS;
use crate::{COLOUR, common, draw, text};
use barewood::domain::season::{Lane, TaskKind};
use barewood::tui::text::shown;
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
        d.keys("2");
        let screen = text(&draw(&mut d, 80, 24, COLOUR).0);
        assert_eq!(
            column_of(&screen, "o Look for scale"),
            column_of(&screen, "Mid-winter (optional)") + 1,
            "{screen}"
        );
    }
}

/// Every screen drawn with a name of wide, combined or joined characters, and with a plain one of
/// the same width: whatever else stands on the screen stands where it stood.
#[test]
fn no_name_moves_anything_else_on_any_screen() {
    for odd in [
        "桃の木畑",
        "e\u{301}e\u{301}e\u{301}e\u{301}e\u{301} e\u{301}",
        "👩‍🌾🌳🌳",
        "ｶﾞｰﾃﾞﾝ",
    ] {
        let words: Vec<String> = odd
            .split(' ')
            .map(|w| "Q".repeat(shown(w).width()))
            .collect();
        let plain = words.join(" ");
        for keys in SCREENS {
            for (columns, rows) in [(60, 20), (80, 24), (120, 40)] {
                let drawn = |name: &str| {
                    let mut season = common::spray_season();
                    for block in &mut season.blocks {
                        name.clone_into(&mut block.name);
                    }
                    name.clone_into(&mut season.orchard.name);
                    let mut d = Driver::with(season);
                    d.model.size = (columns, rows);
                    d.choose("copper-late").keys(keys);
                    draw(&mut d, columns, rows, COLOUR).0
                };
                let (a, b) = (drawn(odd), drawn(&plain));
                for (y, line) in (0..rows).zip(text(&b).lines()) {
                    // The seal is over what the record says, so it differs.
                    if line.contains("seal is") {
                        continue;
                    }
                    for x in 0..columns {
                        // Where a name was cut, a wide character may end a column earlier.
                        let (is, was) = (a[(x, y)].symbol(), b[(x, y)].symbol());
                        if !["Q", ".", " "].contains(&was) {
                            assert_eq!(
                                is,
                                was,
                                "{odd} {keys:?} {columns}x{rows} at {x},{y}\n{}",
                                text(&a)
                            );
                        }
                    }
                }
                assert!(text(&a).lines().all(|l| l.width() <= usize::from(columns)));
            }
        }
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
