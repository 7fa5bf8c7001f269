//! Snapshots. Look at a changed one before taking it: `cargo insta review`.

use crate::driver::Driver;
use crate::{ASCII, COLOUR, PLAIN, draw, text};
use barewood::domain::season::Season;

const SIZES: [(u16, u16); 4] = [(60, 20), (80, 24), (120, 40), (200, 60)];

fn all_sizes(name: &str, keys: &str) {
    all_sizes_of(&crate::common::season(), name, keys);
}

fn all_sizes_of(season: &Season, name: &str, keys: &str) {
    for (columns, rows) in SIZES {
        let mut d = Driver::with(season.clone());
        d.model.size = (columns, rows);
        d.choose("copper-late").keys(keys);
        let (coloured, _) = draw(&mut d, columns, rows, COLOUR);
        let (plain, _) = draw(&mut d, columns, rows, PLAIN);
        // The words are the same with and without colour.
        assert_eq!(text(&coloured), text(&plain));
        insta::assert_snapshot!(format!("{name}_{columns}x{rows}"), text(&coloured));
        let (ascii, _) = draw(&mut d, columns, rows, ASCII);
        assert!(text(&ascii).is_ascii());
        if columns == 80 {
            insta::assert_snapshot!(format!("{name}_ascii"), text(&ascii));
        }
    }
}

#[test]
fn board() {
    all_sizes("board", "");
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
    for (columns, rows) in SIZES {
        let mut d = Driver::with_hours();
        d.model.size = (columns, rows);
        d.choose("copper-fall").keys(keys);
        let (coloured, _) = draw(&mut d, columns, rows, COLOUR);
        let (plain, _) = draw(&mut d, columns, rows, PLAIN);
        assert_eq!(text(&coloured), text(&plain));
        insta::assert_snapshot!(format!("{name}_{columns}x{rows}"), text(&coloured));
        let (ascii, _) = draw(&mut d, columns, rows, ASCII);
        // A degree sign is foreign text; everything of the screen itself is plain.
        assert!(text(&ascii).replace('?', "").is_ascii());
    }
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
    with_hours("delay_fit", "r w");
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
    all_sizes("totals", "f enter R c \"wrong\" tab tab \"9\" enter tab");
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
    for (columns, rows) in SIZES {
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
        d.model.size = (columns, rows);
        d.keys("Y");
        let (buffer, _) = draw(&mut d, columns, rows, COLOUR);
        insta::assert_snapshot!(format!("beside_{columns}x{rows}"), text(&buffer));
    }
}

#[test]
fn a_closed_block_is_on_the_board() {
    for (columns, rows) in SIZES {
        let mut season = crate::common::season();
        season.materials[0].label.reentry = Some(barewood::domain::season::Reentry::After(
            "24 h".parse().unwrap(),
        ));
        let mut d = Driver::with(season);
        d.model.size = (columns, rows);
        d.choose("copper-fall").keys("f enter esc");
        let (buffer, _) = draw(&mut d, columns, rows, PLAIN);
        let screen = text(&buffer);
        assert!(
            screen.contains("!! keep out until Thu 26 Nov 12:00, 24 h 00 min left: Pea"),
            "{screen}"
        );
        insta::assert_snapshot!(format!("closed_{columns}x{rows}"), screen);
    }
}

#[test]
fn an_empty_season() {
    for (columns, rows) in SIZES {
        let mut season = crate::common::season();
        season.tasks.clear();
        season.blocks.clear();
        season.readings.clear();
        let mut d = Driver::with(season);
        let (buffer, _) = draw(&mut d, columns, rows, COLOUR);
        insta::assert_snapshot!(format!("empty_{columns}x{rows}"), text(&buffer));
    }
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
    spray("buy", "P");
}

#[test]
fn sprayers() {
    spray("sprayers", "E");
}

#[test]
fn calibrate_form() {
    spray(
        "calibrate",
        "E c tab tab \"1 gal, 1 gal, 1.2 gal\" tab \"60\" tab \"1 gal\"",
    );
}
