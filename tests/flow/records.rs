//! From a finished spray to its record, and what becomes of it.

use crate::common::{day, season, today};
use crate::driver::Driver;
use barewood::domain::records::{self, Standing};
use barewood::domain::season::{MaterialId, Season, TaskState};
use barewood::tui::action::Event;
use barewood::tui::host::SaveOutcome;
use barewood::tui::model::Saved;
use barewood::tui::overlay::Overlay;
use barewood::tui::screen::{Screen, records::closed};

fn stocked(practice: bool) -> Season {
    let mut s = season();
    s.practice = practice;
    s.materials[0].stock = "10 lb".parse().ok();
    s
}

fn stock(d: &Driver) -> String {
    let material = d.model.season.material(&MaterialId::from("copper"));
    material.unwrap().stock.unwrap().to_string()
}

/// What stands in a field of the open form.
fn field(d: &Driver, key: &str) -> String {
    let Some(Overlay::Form(form)) = &d.model.overlay else {
        panic!("no form is open: {}", d.notice());
    };
    let field = form.fields.iter().find(|f| f.key == key);
    field.unwrap_or_else(|| panic!("no field {key}")).text()
}

/// Puts the cursor into a field of the open form.
fn go_to(d: &mut Driver, key: &str) {
    let Some(Overlay::Form(form)) = &mut d.model.overlay else {
        panic!("no form is open");
    };
    let place = form.fields.iter().position(|f| f.key == key).unwrap();
    form.go_to(place);
}

fn finished(practice: bool) -> Driver {
    let mut d = Driver::with(stocked(practice));
    d.choose("copper-fall").keys("f");
    go_to(&mut d, "used-1");
    d.keys("\"3 lb\" enter");
    assert_eq!(d.model.season.records.len(), 1, "{}", d.notice());
    d
}

fn held(d: &Driver) -> Vec<String> {
    records::current(&d.model.season)
        .map(|r| r.id.to_string())
        .collect()
}

#[test]
fn a_finished_spray_is_recorded_as_far_as_anything_is_known() {
    let mut d = Driver::with(stocked(false));
    d.choose("copper-fall").keys("f");
    assert_eq!(field(&d, "ended"), "12:00");
    assert_eq!(field(&d, "blocks"), "Peach row, Nectarine row");
    assert_eq!(field(&d, "trees"), "32");
    assert_eq!(field(&d, "wind"), "5 mph", "the weather of the hours");
    assert_eq!(field(&d, "temperature"), "12 C");
    assert_eq!(field(&d, "who"), "", "who sprayed is never guessed");
    d.keys("enter");
    let record = &d.model.season.records[0];
    assert_eq!(record.task.as_ref().unwrap().as_str(), "copper-fall");
    assert_eq!(record.crops, ["peach", "nectarine"]);
    assert_eq!(record.wind_from.as_deref(), Some("NW"));
    assert!(record.seal.is_some());
    assert_eq!(records::integrity(&d.model.season, &[]), []);
    assert_eq!(d.task("copper-fall").state, TaskState::Done(today()));
    // What is missing is told, and stops nothing.
    assert!(d.notice().contains("missing: "), "{}", d.notice());
    assert!(d.notice().contains("who"), "{}", d.notice());
}

#[test]
fn the_air_follows_the_hours_written_and_never_what_was_typed() {
    let mut d = Driver::with(stocked(false));
    d.choose("copper-fall").keys("f");
    go_to(&mut d, "wind");
    d.keys("\"2 mph\"");
    go_to(&mut d, "started");
    d.keys("\"9\"");
    assert_eq!(field(&d, "temperature"), "9 C");
    assert_eq!(field(&d, "wind"), "2 mph");
    go_to(&mut d, "date");
    d.keys("\"yesterday\"");
    assert_eq!(field(&d, "ended"), "", "now is no end of yesterday's work");
    d.keys("enter");
    let record = &d.model.season.records[0];
    assert_eq!(record.date, day(2026, 11, 24));
    assert_eq!(record.started.unwrap().to_string(), "2026-11-24 09:00:00");
    assert_eq!(record.wind.unwrap().to_string(), "2 mph");
}

#[test]
fn a_form_that_lacks_something_says_so_beside_keep() {
    let mut d = Driver::with(stocked(false));
    d.choose("copper-fall").keys("f");
    let Some(Overlay::Form(form)) = &d.model.overlay else {
        panic!("no form");
    };
    let lacks = form.lacks(&d.model).unwrap();
    assert!(lacks.contains("who (your state or tribe)"), "{lacks}");
    assert!(!lacks.contains("site"), "{lacks}");
    let asked = form.missing(&d.model).unwrap();
    assert_eq!(asked.iter().filter(|m| m.is_law()).count(), 5, "{lacks}");
}

#[test]
fn skipping_stays_quick_and_makes_no_record() {
    let mut d = Driver::with(stocked(false));
    d.choose("copper-fall").keys("f s enter");
    assert_eq!(d.task("copper-fall").state, TaskState::Skipped(today()));
    assert!(d.model.season.records.is_empty());
    // Work that is no spray asks how and when, and nothing else.
    d.choose("clean").keys("f enter");
    assert_eq!(d.task("clean").state, TaskState::Done(today()));
    assert!(d.model.season.records.is_empty());
}

#[test]
fn record_state_and_stock_are_one_step_and_one_never_saved_goes_without_a_trace() {
    for practice in [true, false] {
        let mut d = Driver::with(stocked(practice));
        if !practice {
            d.host.fail = Some(SaveOutcome::Failed("the disk is full".to_owned()));
        }
        let before = d.model.season.clone();
        d.choose("copper-fall").keys("f");
        go_to(&mut d, "used-1");
        d.keys("\"3 lb\" enter");
        assert_eq!(stock(&d), "7 lb");
        assert_eq!(d.model.history.depth(), 1);
        let after = d.model.season.clone();
        d.keys("u");
        assert_eq!(d.model.season, before, "practice: {practice}");
        d.keys("U");
        assert_eq!(d.model.season, after, "practice: {practice}");
    }
}

#[test]
fn a_saved_record_stays_when_undone_and_a_new_one_takes_it_back() {
    let mut d = finished(false);
    assert_eq!(d.model.saved, Saved::Yes);
    let first = d.model.season.records[0].clone();
    d.keys("u");
    assert!(
        d.notice().contains("a new one takes it back"),
        "{}",
        d.notice()
    );
    assert_eq!(
        d.model.season.records[0], first,
        "what is on the disk stays"
    );
    assert_eq!(d.model.season.records.len(), 2);
    assert!(d.model.season.records[1].taken_back);
    assert!(held(&d).is_empty());
    assert!(d.task("copper-fall").state.is_open());
    assert_eq!(stock(&d), "10 lb");
    assert_eq!(records::integrity(&d.model.season, &[]), []);
    assert_eq!(d.host.saved.last(), Some(&d.model.season));
    // Further back there is nothing, and made again it is a new record.
    d.keys("u U");
    assert_eq!(d.model.season.records.len(), 2);
    d.choose("copper-fall").keys("f enter");
    assert_eq!(held(&d), ["r3"]);
    assert_eq!(records::integrity(&d.model.season, &[]), []);
}

#[test]
fn opening_a_recorded_spray_again_takes_its_record_back() {
    let mut d = finished(false);
    d.choose("copper-fall").keys("o");
    assert!(d.task("copper-fall").state.is_open());
    assert!(held(&d).is_empty());
    assert_eq!(stock(&d), "10 lb");
    d.keys("u");
    assert_eq!(d.task("copper-fall").state, TaskState::Done(today()));
    assert_eq!(held(&d), ["r3"], "the record holds again, as a new one");
    assert_eq!(stock(&d), "7 lb");
    assert_eq!(records::integrity(&d.model.season, &[]), []);
}

#[test]
fn a_spray_done_without_a_record_gets_one_later() {
    let mut d = Driver::with(stocked(false));
    d.choose("copper-fall")
        .keys("f end tab \"yesterday\" enter");
    assert_eq!(
        d.task("copper-fall").state,
        TaskState::Done(day(2026, 11, 24))
    );
    assert!(d.model.season.records.is_empty());
    d.keys("f");
    assert_eq!(field(&d, "date"), "2026-11-24");
    d.keys("enter");
    assert_eq!(d.model.season.records[0].date, day(2026, 11, 24));
    d.keys("f");
    assert!(d.notice().contains("already"), "{}", d.notice());
}

#[test]
fn a_correction_is_a_new_record_that_names_the_old_one() {
    let mut d = finished(false);
    d.keys("R");
    assert_eq!(d.model.screen, Screen::Records);
    d.keys("e enter");
    assert!(
        matches!(d.model.overlay, Some(Overlay::Form(_))),
        "a reason is wanted"
    );
    d.keys("\"weighed wrong\" enter");
    let Some(Overlay::Form(form)) = &d.model.overlay else {
        panic!("nothing was changed, so nothing is kept");
    };
    assert!(
        form.fault
            .as_ref()
            .unwrap()
            .contains("nothing is different")
    );
    go_to(&mut d, "used-1");
    d.keys("\"4 lb\" enter");
    assert_eq!(held(&d), ["r2"]);
    let new = &d.model.season.records[1];
    assert_eq!(new.corrects.as_ref().unwrap().as_str(), "r1");
    assert_eq!(new.correction.as_deref(), Some("weighed wrong"));
    assert_eq!(stock(&d), "6 lb");
    // The old one cannot be corrected a second time.
    d.keys("down e");
    assert!(d.notice().contains("no longer holds"), "{}", d.notice());
    d.keys("u");
    assert_eq!(held(&d), ["r3"]);
    assert_eq!(stock(&d), "7 lb");
    assert_eq!(records::integrity(&d.model.season, &[]), []);
}

#[test]
fn a_block_is_closed_until_somebody_saw_that_it_is_dry() {
    let mut d = finished(false);
    // The label's re-entry is not entered: it counts as "until dry".
    assert_eq!(closed(&d.model)[0].standing, Standing::WaitsForDry);
    d.keys("R d enter");
    assert!(
        matches!(d.model.overlay, Some(Overlay::Form(_))),
        "a name is wanted"
    );
    d.keys("\"A. Grower\" enter");
    assert!(closed(&d.model).is_empty());
    assert_eq!(held(&d), ["r2"]);
    assert_eq!(
        d.model.season.records[1].reentry_seen_by.as_deref(),
        Some("A. Grower")
    );
    d.keys("d");
    assert!(d.notice().contains("no block is closed"), "{}", d.notice());
    // Undone, the block is closed again.
    d.keys("u");
    assert_eq!(closed(&d.model).len(), 1);
    assert_eq!(records::integrity(&d.model.season, &[]), []);
}

#[test]
fn the_labels_hours_count_down_and_cannot_be_cut_short() {
    let mut s = stocked(false);
    s.materials[0].label.reentry = Some(barewood::domain::season::Reentry::After(
        "24 h".parse().unwrap(),
    ));
    let mut d = Driver::with(s);
    d.choose("copper-fall").keys("f enter");
    let left = |d: &Driver| match closed(&d.model)[0].standing {
        Standing::Runs { minutes_left, .. } => minutes_left,
        ref other => panic!("{other:?}"),
    };
    assert_eq!(left(&d), 24 * 60);
    d.happen(Event::Clock(today().and_hms_opt(12, 45, 0).unwrap()));
    assert_eq!(left(&d), 24 * 60 - 45);
    d.keys("R d \"A. Grower\" enter");
    let Some(Overlay::Form(form)) = &d.model.overlay else {
        panic!("it was ended too early");
    };
    assert!(form.fault.as_ref().unwrap().contains("not over before"));
}

#[test]
fn undo_beside_others_takes_back_ones_own_record_alone() {
    let mut d = finished(false);
    let theirs = {
        let mut other = finished(false);
        other.choose("copper-late").keys("f enter");
        other.model.season.clone()
    };
    d.host.saved.push(theirs.clone());
    d.happen(Event::ChangedOutside);
    assert_eq!(d.model.season.records.len(), 2);
    d.keys("u");
    assert!(d.task("copper-fall").state.is_open());
    assert!(!d.task("copper-late").state.is_open(), "theirs stands");
    assert_eq!(d.model.season.records[..2], theirs.records[..]);
    let holding: Vec<_> = records::current(&d.model.season).collect();
    assert_eq!(holding.len(), 1);
    assert_eq!(holding[0].id, theirs.records[1].id);
}
