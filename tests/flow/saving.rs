use crate::driver::Driver;
use barewood::tui::action::{Effect, Event};
use barewood::tui::host::SaveOutcome;
use barewood::tui::model::Saved;
use barewood::tui::overlay::Overlay;

#[test]
fn every_edit_is_saved_at_once() {
    let mut d = Driver::owned();
    d.choose("oil-late").keys(">");
    assert_eq!(d.model.saved, Saved::Yes);
    assert_eq!(d.host.saved.last(), Some(&d.model.season));
    d.keys("u");
    assert_eq!(d.host.saved.len(), 2);
    assert_eq!(d.host.saved.last(), Some(&d.model.season));
}

#[test]
fn practice_writes_nothing_until_it_is_kept() {
    let mut d = Driver::new();
    d.choose("oil-late").keys("> > W");
    assert!(d.host.saved.is_empty());
    assert!(d.notice().contains("K makes it a season of your own"));
    d.keys("K ctrl-u \"taken.toml\" enter");
    assert_eq!(d.model.saved, Saved::Practice);
    assert!(d.notice().contains("exists already"));
    d.keys("K ctrl-u \"mine.toml\" enter");
    assert_eq!(
        (d.model.saved.clone(), d.model.place.as_str()),
        (Saved::Yes, "mine.toml")
    );
    d.keys(">");
    assert_eq!(d.host.saved.len(), 2);
    d.keys("u u u");
    assert!(
        !d.model.season.practice,
        "undo does not make it practice again"
    );
}

#[test]
fn a_failed_save_is_said_and_nothing_is_lost() {
    let mut d = Driver::owned();
    d.host.fail = Some(SaveOutcome::Failed("the disk is full".to_owned()));
    d.choose("oil-late").keys(">");
    assert_eq!(d.model.saved, Saved::No("the disk is full".to_owned()));
    assert!(d.notice().starts_with("NOT SAVED: the disk is full"));
    d.keys("q");
    assert!(!d.ended, "quitting asks first");
    assert!(matches!(&d.model.overlay, Some(Overlay::Form(f)) if f.title.contains("disk is full")));
    d.host.fail = None;
    d.keys("enter");
    assert_eq!(d.model.saved, Saved::Yes);
    d.keys("q");
    assert!(d.ended);
}

#[test]
fn a_change_by_someone_else_can_be_joined_with_ours() {
    let mut d = Driver::owned();
    d.host.fail = Some(SaveOutcome::Conflict(
        "the file was changed outside".to_owned(),
    ));
    d.choose("oil-late").keys(">");
    let ours = d.task("oil-late").date;
    assert!(matches!(d.model.saved, Saved::No(_)));
    d.host.fail = None;
    d.keys("W right right enter");
    assert_eq!(d.model.saved, Saved::Yes, "{:?}", d.model.overlay);
    assert_eq!(d.task("oil-late").date, ours);
    assert_eq!(
        d.model.season.orchard.notes.as_deref(),
        Some("written elsewhere")
    );
    assert_eq!(d.host.saved.last(), Some(&d.model.season));
}

#[test]
fn a_season_that_cannot_be_saved_can_go_elsewhere_or_be_left() {
    let mut d = Driver::owned();
    d.host.fail = Some(SaveOutcome::Conflict("changed by someone else".to_owned()));
    d.choose("oil-late")
        .keys("> W space tab ctrl-u \"other.toml\" enter");
    assert_eq!(d.model.place, "other.toml");
    d.keys("> W space space space space enter");
    assert!(d.ended);
}

#[test]
fn a_change_on_disk_is_taken_if_nothing_of_ours_waits_and_undo_brings_ours_back() {
    let mut d = Driver::owned();
    let ours = d.model.season.clone();
    let mut theirs = ours.clone();
    theirs.tasks.truncate(3);
    d.host.saved.push(theirs.clone());
    d.happen(Event::ChangedOutside);
    assert_eq!(d.model.season, theirs);
    d.keys("u");
    assert_eq!(d.model.season, ours);
}

#[test]
fn a_change_on_disk_never_sweeps_unsaved_work_away() {
    let mut d = Driver::owned();
    d.host.fail = Some(SaveOutcome::Failed("no".to_owned()));
    d.choose("oil-late").keys(">");
    let ours = d.model.season.clone();
    d.happen(Event::ChangedOutside);
    assert_eq!(d.model.season, ours);
    assert!(d.notice().contains("someone else"));
}

#[test]
fn moving_a_card_does_not_ask_for_estimates_and_a_reading_does() {
    let mut d = Driver::owned();
    d.choose("oil-late").keys("> alt-c x e end \"x\" enter");
    assert!(!d.wishes.contains(&Effect::Estimate));
    d.keys("S a \"95\" enter");
    assert!(d.wishes.contains(&Effect::Estimate));
}

#[test]
fn midnight_makes_a_new_outlook() {
    let mut d = Driver::owned();
    assert_eq!(d.model.outlook.due.overdue.len(), 1);
    d.happen(Event::Day(crate::common::day(2026, 11, 26)));
    assert_eq!(d.model.outlook.due.overdue.len(), 2);
}
