//! What leaves the program is read by others: calendars, spreadsheets, browsers, scripts.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    missing_docs
)]

#[path = "common/browser.rs"]
mod browser;
#[path = "common/orchard.rs"]
mod orchard;

#[path = "exports/calendar.rs"]
mod calendar;
#[path = "exports/page.rs"]
mod page;
#[path = "exports/schema.rs"]
mod schema;
#[path = "exports/tables.rs"]
mod tables;

use barewood::domain::records::{end_reentry, finish};
use barewood::domain::season::{Lesson, RecordId, Season, TaskId, TaskState, edit};
use orchard::{day, full, season, time};

/// A season with a spray on record, re-entry ended, a task left out and one moved.
fn busy() -> Season {
    let s = season();
    let s = finish(
        &s,
        full(&s, "first-copper", "2026-12-01"),
        day("2026-12-01"),
    )
    .unwrap()
    .season;
    let at = time("2026-12-02 12:00");
    let s = end_reentry(&s, &RecordId::from("r1"), at, "the grower", at)
        .unwrap()
        .season;
    let s = edit::set_state(
        &s,
        &TaskId::from("prune"),
        TaskState::Skipped(day("2027-01-21")),
    )
    .unwrap();
    let mut s = edit::move_task(
        &s,
        &TaskId::from("second-copper"),
        day("2027-02-24"),
        day("2027-02-19"),
        "rain",
    )
    .unwrap();
    s.lessons.push(Lesson {
        text: "order oil earlier".to_owned(),
        from: None,
        done: None,
    });
    s
}

/// A text that would be markup, a formula, a folded line or a second line elsewhere.
const NASTY: &str = "=cmd(1); \"quoted\", <script>document.title='x'</script> & 漢字 für \\n très long, encore plus long";
