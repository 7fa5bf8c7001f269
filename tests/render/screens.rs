//! Snapshots: each screen at each size in each look. Look at a changed one before taking it.
//!
//! One file a screen and size: its text, where it is not plain (column, width, look), and the
//! lines that ASCII draws otherwise. What must hold between looks is asserted instead of stored.

use crate::driver::Driver;
use crate::{ASCII, COLOUR, CONTRAST, LIGHT, PLAIN, STILL, draw, text};
use barewood::domain::phenology::stage::Stage;
use barewood::domain::season::{PastStage, Season};
use barewood::tui::action::{Event, Spot};
use barewood::tui::theme;
use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};
use std::fmt::Write as _;

const SIZES: [(u16, u16); 4] = [(60, 20), (80, 24), (120, 40), (200, 60)];

/// The look of a cell in words.
fn look(cell: &Cell, coloured: bool) -> String {
    let mut words = Vec::new();
    for (modifier, word) in [
        (Modifier::BOLD, "bold"),
        (Modifier::UNDERLINED, "underlined"),
        (Modifier::REVERSED, "reversed"),
    ] {
        if cell.modifier.contains(modifier) {
            words.push(word.to_owned());
        }
    }
    if cell.modifier.contains(Modifier::DIM) {
        words.push("dim".to_owned());
    }
    if coloured && cell.fg != Color::Reset {
        words.push(format!("{:?}", cell.fg).to_lowercase());
    }
    if coloured && cell.bg != Color::Reset {
        words.push(format!("on {:?}", cell.bg).to_lowercase());
    }
    words.join(" ")
}

/// A line for each row that is not all plain: `4: 0+1 bold, 5+20 reversed`.
fn looks(buffer: &Buffer, coloured: bool) -> String {
    let mut out = String::new();
    for y in 0..buffer.area.height {
        let row: Vec<String> = (0..buffer.area.width)
            .map(|x| look(&buffer[(x, y)], coloured))
            .collect();
        let mut at = 0;
        let mut parts = Vec::new();
        for run in row.chunk_by(|a, b| a == b) {
            if !run[0].is_empty() {
                parts.push(format!("{at}+{} {}", run.len(), run[0]));
            }
            at += run.len();
        }
        if !parts.is_empty() {
            let _ = writeln!(out, "{y}: {}", parts.join(", "));
        }
    }
    out
}

/// The lines that ASCII draws otherwise than by spelling each sign in ASCII.
fn otherwise(wide: &str, plain: &str) -> String {
    let spelt = |line: &str| theme::ascii(line);
    let mut out = String::new();
    for (y, (a, b)) in wide.lines().zip(plain.lines()).enumerate() {
        if spelt(a) != b {
            let _ = writeln!(out, "{y}: {b}");
        }
    }
    out
}

/// The pictures of a screen. `choose` says what is chosen and typed.
fn pictures(name: &str, make: impl Fn((u16, u16)) -> Driver) {
    for size in SIZES {
        let (columns, rows) = size;
        let mut d = make(size);
        let (coloured, _) = draw(&mut d, columns, rows, COLOUR);
        let words = text(&coloured);
        // The words are the same in every look.
        for theme in [PLAIN, LIGHT, CONTRAST, STILL] {
            assert_eq!(words, text(&draw(&mut d, columns, rows, theme).0));
        }
        // What stands on a ground in colour stands out without it.
        let (plain, _) = draw(&mut d, columns, rows, PLAIN);
        for (plain, colour) in plain.content().iter().zip(coloured.content()) {
            assert!(
                plain.fg == Color::Reset && plain.bg == Color::Reset,
                "{name}"
            );
            assert!(
                colour.bg == Color::Reset || !plain.modifier.is_empty(),
                "{name}"
            );
        }
        // High contrast leaves nothing plain that is not plain in the calm look.
        let (contrast, _) = draw(&mut d, columns, rows, CONTRAST);
        for (strong, calm) in contrast.content().iter().zip(coloured.content()) {
            let kept = strong.modifier | Modifier::DIM;
            assert!(kept.contains(calm.modifier) && strong.fg == Color::Reset);
        }
        let (ascii, _) = draw(&mut d, columns, rows, ASCII);
        let spelt = text(&ascii);
        assert!(spelt.is_ascii(), "{name}");
        let mut picture = format!("{words}--- looks\n{}", looks(&coloured, true));
        let otherwise = otherwise(&words, &spelt);
        if !otherwise.is_empty() {
            let _ = write!(picture, "--- in ASCII\n{otherwise}");
        }
        insta::assert_snapshot!(format!("{name}_{columns}x{rows}"), picture);
    }
}

fn all_sizes(name: &str, keys: &str) {
    all_sizes_of(&crate::common::season(), name, keys);
}

fn all_sizes_of(season: &Season, name: &str, keys: &str) {
    pictures(name, |size| {
        let mut d = Driver::with(season.clone());
        d.model.size = size;
        d.choose("copper-late").keys(keys);
        d
    });
}

#[test]
fn board() {
    all_sizes("board", "");
}

#[test]
fn board_by_lanes() {
    all_sizes("lanes", "2");
}

#[test]
fn board_zoomed_to_a_month_with_the_card_on_its_way() {
    with_hours("month", "z right right");
}

#[test]
fn board_zoomed_to_a_week() {
    with_hours("week", "z z");
}

#[test]
fn board_with_what_is_done() {
    all_sizes("done", "tab");
}

#[test]
fn details() {
    all_sizes("details", "enter");
}

#[test]
fn help() {
    all_sizes("help", "?");
}

#[test]
fn finder() {
    all_sizes("finder", ": \"week\"");
}

#[test]
fn find() {
    all_sizes("find", "/ \"oil\"");
}

#[test]
fn edit_form() {
    all_sizes("edit", "e tab \"14 feb\"");
}

#[test]
fn notes_form() {
    all_sizes("notes", "i enter \"second line\"");
}

#[test]
fn a_faulty_form() {
    all_sizes("faulty", "a \"x\" tab \"30 feb\" enter");
}

#[test]
fn delay() {
    all_sizes("delay", "r \"8\" tab");
}

#[test]
fn swell() {
    all_sizes("swell", "S");
}

#[test]
fn why() {
    all_sizes("why", "S enter");
}

/// The same with invented hours of weather.
fn with_hours(name: &str, keys: &str) {
    pictures(name, |size| {
        let mut d = Driver::with_hours();
        d.model.size = size;
        d.choose("copper-fall").keys(keys);
        d
    });
}

#[test]
fn hours() {
    with_hours("hours", "H");
}

#[test]
fn hours_why() {
    with_hours("hours_why", "H enter");
}

#[test]
fn no_hours() {
    all_sizes("no_hours", "H");
}

#[test]
fn delay_into_fit_hours() {
    with_hours("delay_fit", "r p");
}

#[test]
fn review() {
    all_sizes("review", "V");
}

#[test]
fn spray_form() {
    all_sizes("spray", "f");
}

#[test]
fn records() {
    all_sizes("records", "f enter R");
}

#[test]
fn no_records() {
    all_sizes("no_records", "R");
}

#[test]
fn season_totals() {
    all_sizes("totals", "f enter R e \"wrong\" tab tab \"9\" enter tab");
}

#[test]
fn a_record_in_full() {
    all_sizes("record", "f enter R enter");
}

#[test]
fn end_of_reentry() {
    all_sizes("dry", "f enter R d");
}

#[test]
fn years() {
    all_sizes("years", "Y");
}

#[test]
fn seasons_beside_each_other() {
    pictures("beside", |size| {
        let mut d = Driver::new();
        for (name, year) in [("2024-25", 2024), ("2025-26", 2025)] {
            let mut other = crate::common::season();
            other.season = name.to_owned();
            let drop = crate::common::day(year, 11, 12);
            other.dates.leaf_drop_seen = Some(drop);
            other = barewood::domain::review::mark(
                &other,
                &crate::common::estimates(&other),
                drop + chrono::TimeDelta::days(60),
            );
            d.host.others.push(other);
        }
        d.model.size = size;
        d.keys("Y");
        d
    });
}

#[test]
fn a_closed_block_is_on_the_board() {
    pictures("closed", |size| {
        let mut season = crate::common::season();
        season.materials[0].label.reentry = Some(barewood::domain::season::Reentry::After(
            "24 h".parse().unwrap(),
        ));
        let mut d = Driver::with(season);
        d.model.size = size;
        d.choose("copper-fall").keys("f enter esc");
        let screen = text(&draw(&mut d, size.0, size.1, PLAIN).0);
        // Where the time left has no room, until when and where have it.
        let wanted = if size.0 < 80 {
            "keep out until Thu 26 Nov 12:00: Peach row, Nectarine row"
        } else {
            "keep out until Thu 26 Nov 12:00, 24 h 00 min left: Peach row, Nectarine row"
        };
        assert!(screen.contains(wanted), "{screen}");
        d
    });
}

#[test]
fn an_empty_season() {
    pictures("empty", |size| {
        let mut season = crate::common::season();
        season.tasks.clear();
        season.blocks.clear();
        season.readings.clear();
        let mut d = Driver::with(season);
        d.model.size = size;
        d
    });
}

/// A block with dates of past springs: invented.
fn with_past(name: &str, keys: &str) {
    let mut season = crate::common::season();
    for (y, m, d) in [(2023, 3, 9), (2024, 2, 21), (2025, 3, 2), (2026, 3, 18)] {
        season.blocks[0].past.push(PastStage {
            stage: Stage::Swell,
            date: crate::common::day(y, m, d),
        });
    }
    season.blocks[0].past.push(PastStage {
        stage: Stage::FirstBloom,
        date: crate::common::day(2026, 4, 20),
    });
    all_sizes_of(&season, name, keys);
}

#[test]
fn swell_with_dates_of_past_springs() {
    with_past("seen", "S");
}

#[test]
fn why_with_dates_of_past_springs() {
    with_past("seen_why", "S enter pgdn");
}

#[test]
fn the_first_form() {
    all_sizes("begin", "A");
}

#[test]
fn a_card_drawn_along_its_dates() {
    pictures("drag", |size| {
        let mut d = Driver::new();
        d.model.size = size;
        d.choose("copper-late");
        let place = d
            .model
            .season
            .tasks
            .iter()
            .position(|t| t.id.as_str() == "copper-late");
        d.happen(Event::Click(Spot::Card(place.unwrap())));
        d.happen(Event::Drag(17));
        d
    });
}

fn spray(name: &str, keys: &str) {
    all_sizes_of(&crate::common::spray_season(), name, keys);
}

#[test]
fn blocks_that_no_task_answers_for() {
    spray("loose", "");
}

#[test]
fn coverage() {
    spray("coverage", "C");
}

#[test]
fn coverage_why() {
    spray("coverage_why", "C down enter");
}

#[test]
fn proposals() {
    spray("proposals", "C tab");
}

#[test]
fn mix() {
    spray("mix", "X");
}

#[test]
fn materials() {
    spray("materials", "M");
}

#[test]
fn label_form() {
    spray("label", "M e tab tab tab \"x\"");
}

#[test]
fn buy() {
    spray("buy", "$");
}

#[test]
fn sprayers() {
    spray("sprayers", "E");
}

#[test]
fn calibrate_form() {
    spray(
        "calibrate",
        "E e tab tab \"1 gal, 1 gal, 1.2 gal\" tab \"60\" tab \"1 gal\"",
    );
}
