//! The week's review and the seasons side by side.

use crate::common::{day, season, today};
use crate::driver::Driver;
use barewood::tui::action::Effect;
use barewood::tui::details::wrapped;
use barewood::tui::screen::{Screen, review, years};

fn page(d: &Driver, columns: usize) -> Vec<String> {
    wrapped(&review::rows(&d.model), columns)
        .iter()
        .map(|r| format!("{}{}", r.sign, r.text))
        .collect()
}

#[test]
fn marking_the_week_notes_the_estimates_and_undo_takes_it_back() {
    let mut d = Driver::owned();
    d.keys("V");
    assert_eq!(d.model.screen, Screen::Review);
    assert!(d.wishes.contains(&Effect::Review));
    let first = page(&d, 80).join("\n");
    assert!(first.contains("the first one"), "{first}");
    d.keys("v");
    assert_eq!(d.model.season.reviewed, [today()]);
    assert_eq!(d.model.season.estimates_noted.len(), 4);
    let after = page(&d, 80).join("\n");
    assert!(after.contains("reviewed today"), "{after}");
    d.keys("v");
    assert!(d.notice().contains("already"), "{}", d.notice());
    d.keys("u");
    assert!(d.model.season.reviewed.is_empty());
    assert!(d.model.season.estimates_noted.is_empty());
    assert!(page(&d, 80).join("\n").contains("the first one"));
}

#[test]
fn a_quiet_week_is_one_screen_of_eighty_by_twenty_four() {
    let mut s = season();
    s.reviewed.push(day(2026, 11, 20));
    // Nothing is due, nothing was done: only the look at the estimate is left.
    s.tasks.retain(|t| t.date > day(2026, 12, 20));
    s.readings.clear();
    for material in &mut s.materials {
        material.label.read_on = Some(day(2026, 10, 3));
    }
    let mut d = Driver::with(s);
    d.keys("V");
    assert!(
        d.model.review.as_ref().unwrap().is_quiet(),
        "{:#?}",
        page(&d, 80)
    );
    let lines = page(&d, 80);
    assert!(
        lines.len() <= 21,
        "{} lines:\n{}",
        lines.len(),
        lines.join("\n")
    );
}

#[test]
fn what_changes_while_the_review_is_in_view_is_in_it_at_once() {
    let mut d = Driver::owned();
    d.choose("oil-late").keys("> V");
    assert!(
        page(&d, 80)
            .join("\n")
            .contains("Delayed dormant oil 20 Mar -> 21 Mar")
    );
    d.keys("u");
    assert!(
        !page(&d, 80)
            .join("\n")
            .contains("Delayed dormant oil 20 Mar -> 21 Mar")
    );
}

#[test]
fn the_review_scrolls_no_further_than_its_end_and_finds_words() {
    let mut d = Driver::owned();
    d.model.size = (60, 20);
    d.keys("V end");
    let end = d.model.top;
    assert!(end > 0);
    d.keys("down down pgdn");
    assert_eq!(d.model.top, end);
    d.keys("up");
    assert_eq!(d.model.top, end - 1, "one step up moves one line");
    d.keys("home");
    assert_eq!(d.model.top, 0);
    d.keys("/ \"last safe\" enter");
    assert!(d.notice().contains("last safe"), "{}", d.notice());
    d.keys("/ \"no such words\" enter");
    assert!(d.notice().contains("nothing found"), "{}", d.notice());
    d.keys("q");
    assert_eq!(d.model.screen, Screen::Board);
}

#[test]
fn seasons_of_the_folder_stand_side_by_side() {
    let mut d = Driver::owned();
    let mut last = season();
    last.season = "2025-26".to_owned();
    last.dates.leaf_drop_seen = Some(day(2025, 11, 12));
    last.tasks.truncate(3);
    d.host.others.push(last);
    d.keys("Y");
    assert_eq!(d.model.screen, Screen::Years);
    let rows = years::rows(&d.model, 80);
    let text: Vec<String> = rows
        .iter()
        .map(|r| format!("{}{}", r.sign, r.text))
        .collect();
    let line = |name: &str| {
        let found = text.iter().find(|l| l.starts_with(name));
        found
            .unwrap_or_else(|| panic!("{name} in {text:#?}"))
            .clone()
    };
    assert!(line("season").contains("2025-26") && line("season").contains("2026-27"));
    let planned = line("planned");
    let planned: Vec<&str> = planned.split_whitespace().collect();
    assert_eq!(planned, ["planned", "3", "12"]);
}
