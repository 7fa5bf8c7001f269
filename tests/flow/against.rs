//! Finishing a spray against a stop, skipping with a reason, and what a change leaves.

use crate::common::{day, season, today};
use crate::driver::Driver;
use barewood::domain::records;
use barewood::domain::season::TaskState;
use barewood::tui::overlay::Overlay;

fn form(d: &Driver) -> &barewood::tui::form::Form {
    match &d.model.overlay {
        Some(Overlay::Form(form)) => form,
        _ => panic!("no form is open: {}", d.notice()),
    }
}

/// What is asked now: the keys of the fields in view.
fn asked(d: &Driver) -> Vec<&'static str> {
    form(d)
        .fields
        .iter()
        .filter(|f| f.is_shown)
        .map(|f| f.key)
        .collect()
}

/// UC and Washington State extension sheets (`sources::LEAF_CURL_BEFORE_SWELL`): copper against
/// leaf curl is over before swell.
fn late() -> Driver {
    let mut s = season();
    s.practice = false;
    let mut d = Driver::with(s);
    d.happen(barewood::tui::action::Event::Day(day(2027, 4, 10)));
    d.choose("copper-late").keys("f");
    d
}

#[test]
fn the_form_asks_once_with_reason_and_cure_and_keeps_the_answer() {
    let mut d = late();
    assert!(asked(&d).len() > 5);
    d.keys("enter");
    assert_eq!(asked(&d), ["anyway"], "{}", d.notice());
    let told = form(&d).about.join(" ");
    assert!(told.contains("stop:") && told.contains("Do:"), "{told}");
    assert!(form(&d).about.len() <= 13, "it fits 24 rows");
    assert!(d.model.season.records.is_empty());
    // An empty answer is none; Esc goes back to the fields, and what was written is there.
    d.keys("enter");
    assert!(form(&d).fault.is_some());
    d.keys("esc");
    assert!(asked(&d).len() > 5 && !asked(&d).contains(&"anyway"));
    d.keys("enter \"rain kept us out\" enter");
    let s = &d.model.season;
    assert_eq!(s.records.len(), 1, "{}", d.notice());
    let record = &s.records[0];
    assert_eq!(record.anyway.as_deref(), Some("rain kept us out"));
    assert_eq!(record.judged[0].level, "stop");
    assert!(!record.judged[0].reason.is_empty());
    assert_eq!(records::integrity(s, &[]), []);
    assert_eq!(
        d.task("copper-late").state,
        TaskState::Done(day(2027, 4, 10))
    );
    assert!(
        d.notice().contains("new warning") || d.notice().contains(" new."),
        "{}",
        d.notice()
    );
}

#[test]
fn without_a_record_it_asks_too_and_the_record_that_comes_later_has_the_answer() {
    let mut d = late();
    d.keys("right right enter");
    assert_eq!(asked(&d), ["anyway"]);
    d.keys("\"rain kept us out\" enter");
    assert_eq!(
        d.task("copper-late").why.as_deref(),
        Some("rain kept us out")
    );
    assert!(d.model.season.records.is_empty());
    d.choose("copper-late").keys("f enter");
    assert_eq!(asked(&d), ["anyway"]);
    d.keys("enter");
    let record = &d.model.season.records[0];
    assert_eq!(record.anyway.as_deref(), Some("rain kept us out"));
}

#[test]
fn a_skipped_task_says_why_on_the_card_in_the_details_and_after_undo() {
    let mut d = Driver::new();
    d.choose("copper-fall").keys("s");
    assert!(form(&d).title.starts_with("Skip: "), "{}", form(&d).title);
    d.keys("\"no curl last year\" enter");
    let task = d.task("copper-fall");
    assert_eq!(task.state, TaskState::Skipped(today()));
    assert_eq!(task.why.as_deref(), Some("no curl last year"));
    assert!(
        d.notice().starts_with("Skipped; u undoes it."),
        "{}",
        d.notice()
    );
    // The level that stays is in view on eighty columns.
    let seen: String = d.notice().chars().take(80).collect();
    assert!(
        seen.contains("Still ") && (seen.contains("stop") || seen.contains("caution")),
        "{seen}"
    );
    assert!(d.notice().contains("Still "), "{}", d.notice());
    d.keys("u");
    assert_eq!(d.task("copper-fall").state, TaskState::Planned);
    assert!(d.notice().starts_with("undone: "), "{}", d.notice());
    assert!(d.notice().contains("Still "), "{}", d.notice());
    // By the finish form as well, and planned after all it forgets why.
    d.choose("copper-fall")
        .keys("f s tab tab \"nothing seen\" enter");
    assert_eq!(d.task("copper-fall").why.as_deref(), Some("nothing seen"));
    d.choose("copper-fall").keys("s");
    assert_eq!(d.task("copper-fall").why, None);
    assert_eq!(d.task("copper-fall").state, TaskState::Planned);
}

#[test]
fn a_move_says_what_stays_and_a_look_what_it_did() {
    let mut d = Driver::new();
    d.choose("copper-fall").keys(">");
    assert!(d.notice().starts_with("Moved to "), "{}", d.notice());
    assert!(
        d.notice().contains("No new warning.") || d.notice().contains(" new."),
        "{}",
        d.notice()
    );
    let mut d = Driver::new();
    d.happen(barewood::tui::action::Event::Day(day(2027, 2, 20)));
    d.keys("S b \"swelling\" enter");
    assert!(d.notice().contains("Still "), "{}", d.notice());
}

#[test]
fn the_first_few_buds_are_entered_in_the_form_and_listed() {
    let mut d = Driver::new();
    d.happen(barewood::tui::action::Event::Day(day(2027, 2, 20)));
    d.keys("S b \"swelling\" tab tab tab right right enter");
    let reading = d.model.season.readings.last().unwrap();
    assert_eq!(reading.how_many().words(), "first few");
}
