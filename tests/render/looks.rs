//! What a look must and must not do.

use crate::driver::Driver;
use crate::{COLOUR, CONTRAST, LIGHT, PLAIN, STILL, draw, text};
use barewood::domain::coverage::Cover;
use barewood::domain::hours::verdict::Fit;
use barewood::domain::rules::Level;
use barewood::domain::season::{TaskId, TaskState, edit};
use barewood::tui::model::Saved;
use barewood::tui::words;
use ratatui::buffer::Buffer;
use ratatui::style::{Color, Modifier};

const SCREENS: [&str; 23] = [
    "",
    "enter",
    "?",
    ":",
    "e",
    "r",
    "S",
    "S enter",
    "Z",
    "V",
    "f enter R",
    "Y",
    "f",
    "H",
    "C",
    "C tab",
    "C enter",
    "X",
    "M",
    "M e",
    "$",
    "E",
    "A",
];

fn find(buffer: &Buffer, wanted: &str) -> (u16, u16) {
    let text = text(buffer);
    let (y, line) = text
        .lines()
        .enumerate()
        .find(|(_, l)| l.contains(wanted))
        .unwrap_or_else(|| panic!("'{wanted}' is not on the screen:\n{text}"));
    let at = line.find(wanted).unwrap();
    (
        u16::try_from(line[..at].chars().count()).unwrap(),
        u16::try_from(y).unwrap(),
    )
}

/// Glyphs beyond ASCII that every console font has: code page 437, and the degree sign.
const GLYPHS: &str = "░▒▓█▄▀▌▐─│├┤┬┴┼┌┐└┘°";

#[test]
fn the_marked_task_has_a_mark_its_day_reversed_and_the_cursor() {
    let mut d = Driver::new();
    d.choose("scout");
    let (buffer, drawn) = draw(&mut d, 80, 24, COLOUR);
    let (_, y) = find(&buffer, "Look for scale");
    assert_eq!(drawn.cursor, Some((0, y)));
    assert_eq!(buffer[(0, y)].symbol(), ">");
    assert!(buffer[(22, y)].modifier.contains(Modifier::REVERSED));
    // The mark is cheap: the title is not reversed with it.
    assert!(!buffer[(33, y)].modifier.contains(Modifier::REVERSED));
}

/// Colour is a ground under words; ink in colour is for graphics alone.
#[test]
fn colour_is_a_ground_and_never_the_ink_of_words() {
    for theme in [COLOUR, LIGHT, CONTRAST, STILL] {
        for keys in SCREENS {
            let mut d = Driver::with_hours();
            d.choose("sulfur").keys(keys);
            let (buffer, _) = draw(&mut d, 120, 40, theme);
            for cell in buffer.content() {
                let letter = cell.symbol().chars().all(|c| c.is_alphanumeric());
                let inked = cell.fg != Color::Reset && cell.bg == Color::Reset;
                assert!(!(letter && inked), "{keys}: {:?}", cell.symbol());
                let black = cell.fg == Color::Black;
                assert!(!(black && cell.modifier.contains(Modifier::BOLD)), "{keys}");
            }
        }
    }
}

#[test]
fn only_glyphs_that_every_console_has() {
    // The curves of the swell screen are still drawn in finer dots.
    for keys in SCREENS.into_iter().filter(|k| !k.starts_with('S')) {
        for (columns, rows) in [(60, 20), (80, 24), (120, 40), (200, 60)] {
            let mut d = Driver::with_hours();
            d.choose("sulfur").keys(keys);
            let (buffer, _) = draw(&mut d, columns, rows, COLOUR);
            for cell in buffer.content() {
                assert!(
                    cell.symbol()
                        .chars()
                        .all(|c| c.is_ascii() || GLYPHS.contains(c)),
                    "{keys:?}: {:?}",
                    cell.symbol()
                );
            }
        }
    }
}

#[test]
fn without_colour_there_is_none_at_all_and_modifiers_stay() {
    for keys in SCREENS {
        let mut d = Driver::new();
        d.choose("sulfur").keys(keys);
        let (buffer, _) = draw(&mut d, 80, 24, PLAIN);
        assert!(
            buffer
                .content()
                .iter()
                .all(|c| c.fg == Color::Reset && c.bg == Color::Reset)
        );
        assert!(
            buffer.content().iter().any(|c| !c.modifier.is_empty()),
            "{keys}"
        );
    }
}

#[test]
fn every_state_is_told_apart_by_text_alone() {
    let screen = |state: TaskState| {
        let mut d = Driver::new();
        d.choose("clean");
        d.model.season = edit::set_state(&d.model.season, &TaskId::from("scout"), state).unwrap();
        text(&draw(&mut d, 80, 24, PLAIN).0)
    };
    let day = crate::common::today();
    let states = [
        screen(TaskState::Planned),
        screen(TaskState::Done(day)),
        screen(TaskState::Skipped(day)),
    ];
    assert_ne!(states[0], states[1]);
    assert_ne!(states[1], states[2]);
    assert_ne!(states[0], states[2]);
}

/// All of `texts` differ from each other.
fn assert_apart(what: &str, texts: &[String]) {
    for (i, a) in texts.iter().enumerate() {
        for b in texts.iter().skip(i + 1) {
            assert_ne!(a, b, "{what}");
        }
    }
}

#[test]
fn every_kind_of_state_has_signs_and_words_of_its_own() {
    let levels = [Level::Stop, Level::Caution, Level::Note];
    assert_apart("signs", &levels.map(|l| words::level_sign(l).to_owned()));
    assert_apart("words", &levels.map(|l| l.words().to_owned()));
    let hours = [Fit::Fit, Fit::Doubtful, Fit::Unfit];
    assert_apart("letters", &hours.map(|f| f.letter().to_string()));
    assert_apart("words", &hours.map(|f| f.words().to_owned()));
    let covers = [
        Cover::Done,
        Cover::Covered,
        Cover::TooLate,
        Cover::WrongActive,
        Cover::NothingPlanned,
        Cover::Passed,
        Cover::OtherLane,
        Cover::NotNeeded,
        Cover::NotControllable,
        Cover::NotAHost,
    ];
    let cells: Vec<String> = covers
        .iter()
        .map(|c| format!("{} {}", c.sign(), c.words()))
        .collect();
    assert_apart("cells", &cells);
}

#[test]
fn whether_it_is_saved_is_told_by_words_alone() {
    let screens = [
        (Saved::Yes, false),
        (Saved::Yes, true),
        (Saved::Saving, false),
        (Saved::No("the disk is full".to_owned()), false),
        (Saved::Practice, false),
    ]
    .map(|(saved, read_only)| {
        let mut d = Driver::new();
        d.model.saved = saved;
        d.model.read_only = read_only;
        text(&draw(&mut d, 80, 24, STILL).0)
    });
    assert_apart("saved", &screens);
}

/// What is chosen is told by a mark as well: moving it changes the text of every screen.
#[test]
fn what_is_chosen_is_told_by_text_alone() {
    for (keys, step) in [
        ("", "down"),
        ("", "left"),
        ("S", "down"),
        ("C", "down"),
        ("C", "left"),
        ("C tab", "down"),
        ("M", "down"),
        ("$", "down"),
        (":", "down"),
        ("e", "down"),
        ("r", "tab"),
        ("f enter R", "tab"),
    ] {
        let mut d = Driver::with(crate::common::spray_season());
        d.choose("copper-late").keys(keys);
        let before = text(&draw(&mut d, 80, 24, STILL).0);
        d.keys(step);
        let after = text(&draw(&mut d, 80, 24, STILL).0);
        assert_ne!(before, after, "{keys:?} {step}");
    }
    // The hours' grid: the day has a mark, the hour its column.
    let mut d = Driver::with_hours();
    d.choose("copper-fall").keys("H");
    let before = text(&draw(&mut d, 80, 24, STILL).0);
    d.keys("right");
    assert_ne!(before, text(&draw(&mut d, 80, 24, STILL).0));
}

#[test]
fn a_stop_has_sign_word_and_look() {
    let mut d = Driver::new();
    d.choose("sulfur");
    let (buffer, _) = draw(&mut d, 80, 24, COLOUR);
    let (x, y) = find(&buffer, "STOP    Wed 24 Feb");
    let word = &buffer[(x, y)];
    assert_eq!((word.fg, word.bg), (Color::White, Color::Red));
    // Its sign stands on the rail of its lane.
    let sign = (8..13).map(|x| &buffer[(x, y)]).find(|c| c.symbol() == "X");
    assert_eq!(sign.map(|c| c.bg), Some(Color::Red));
    let (buffer, _) = draw(&mut d, 80, 24, PLAIN);
    assert!(
        buffer[(x, y)]
            .modifier
            .contains(Modifier::REVERSED | Modifier::BOLD)
    );
}

#[test]
fn not_saved_is_said_on_top_with_its_reason() {
    let mut d = Driver::owned();
    d.host.fail = Some(barewood::tui::host::SaveOutcome::Failed(
        "the disk is full".into(),
    ));
    d.choose("scout").keys(">");
    let screen = text(&draw(&mut d, 80, 24, PLAIN).0);
    assert!(
        screen
            .lines()
            .next()
            .unwrap()
            .ends_with("NOT SAVED: the disk is full")
    );
}
