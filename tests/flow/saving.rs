use crate::driver::Driver;
use barewood::tui::action::{Effect, Event};
use barewood::tui::host::{CameIn, Earlier, Kept, SaveOutcome};
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
    d.keys("> W space space space space space enter");
    assert!(d.ended);
}

#[test]
fn what_others_wrote_is_taken_in_and_undo_leaves_it() {
    let mut d = Driver::owned();
    d.choose("oil-late").keys(">");
    let mine = d.task("oil-late").date;
    let mut theirs = d.model.season.clone();
    theirs.orchard.notes = Some("theirs".to_owned());
    d.host.saved.push(theirs.clone());
    d.happen(Event::ChangedOutside);
    assert_eq!(d.model.season, theirs);
    assert!(d.notice().contains("from another program"));
    d.keys("u");
    assert_ne!(d.task("oil-late").date, mine, "one's own step is undone");
    assert_eq!(d.model.season.orchard.notes.as_deref(), Some("theirs"));
    d.keys("u u U");
    assert_eq!(d.model.season, theirs, "made again: {}", d.notice());
}

#[test]
fn what_others_wrote_waits_for_an_open_form_and_is_no_alarm() {
    let mut d = Driver::owned();
    d.choose("oil-late").keys("i");
    let mut theirs = d.model.season.clone();
    theirs.orchard.notes = Some("theirs".to_owned());
    d.host.saved.push(theirs.clone());
    d.happen(Event::ChangedOutside);
    assert_eq!(d.model.saved, Saved::Yes);
    assert_ne!(d.model.season, theirs);
    d.keys("esc");
    assert_eq!(d.model.saved, Saved::Yes);
    assert_eq!(d.model.season, theirs);
}

#[test]
fn a_save_that_was_joined_shows_what_came() {
    let mut d = Driver::owned();
    d.choose("oil-late");
    let mut joined = d.model.season.clone();
    joined.orchard.notes = Some("theirs".to_owned());
    d.host.fail = Some(SaveOutcome::Joined(Box::new(CameIn {
        season: joined.clone(),
        words: "from move by anna: a note".to_owned(),
    })));
    d.keys(">");
    assert_eq!(d.model.saved, Saved::Yes);
    assert_eq!(d.model.season, joined);
    assert!(d.notice().contains("from move by anna"));
}

#[test]
fn taking_the_disk_alone_leaves_a_step_that_brings_ours_back() {
    let mut d = Driver::owned();
    d.host.fail = Some(SaveOutcome::Conflict("you both changed it".to_owned()));
    d.choose("oil-late").keys(">");
    let ours = d.task("oil-late").date;
    d.host.fail = None;
    d.keys("W right right right right enter");
    assert_eq!(d.model.saved, Saved::Yes, "{:?}", d.model.overlay);
    assert_ne!(d.task("oil-late").date, ours);
    d.keys("u");
    assert_eq!(d.task("oil-late").date, ours);
    assert_eq!(
        d.model.season.orchard.notes.as_deref(),
        Some("written elsewhere"),
        "theirs stays"
    );
}

#[test]
fn kept_work_is_offered_joined_shown_or_dropped() {
    let kept = Kept {
        id: "kept-1".to_owned(),
        when: "2026-11-27 08:14".to_owned(),
        differs: vec!["task oil-late date: a -> b".to_owned()],
    };
    let opened = || {
        let mut host = Driver::owned().host;
        host.kept = vec![kept.clone()];
        Driver::on(host)
    };
    let mut d = opened();
    assert!(matches!(&d.model.overlay, Some(Overlay::Form(f)) if f.title.contains("08:14")));
    d.keys("right enter");
    assert!(
        matches!(&d.model.overlay, Some(Overlay::Form(f)) if f.fault.as_ref().unwrap().contains("oil-late date"))
    );
    d.keys("left enter");
    assert_eq!(d.model.season.orchard.notes.as_deref(), Some("kept aside"));
    assert!(d.host.kept.is_empty(), "let go once it is saved");
    d.keys("u");
    assert_eq!(d.model.season.orchard.notes, None);
    let mut d = opened();
    d.keys("esc");
    assert_eq!(d.host.kept.len(), 1, "nobody said a word");
    d.keys("W right right enter");
    assert!(d.host.kept.is_empty() && d.model.season.orchard.notes.is_none());
    // Among the versions it stands as well, and is joined, not put in the season's place.
    let mut d = opened();
    d.host.earlier = vec![(
        Earlier {
            id: kept.id.clone(),
            until: kept.when.clone(),
            kept: true,
            by: None,
            differs: kept.differs.clone(),
        },
        d.model.season.clone(),
    )];
    d.keys("esc G");
    assert!(matches!(&d.model.overlay, Some(Overlay::Form(f)) if f.about == kept.differs));
    d.keys("enter");
    assert_eq!(d.model.season.orchard.notes.as_deref(), Some("kept aside"));
    assert!(d.host.kept.is_empty());
    // A save that fails lets nothing go.
    let mut d = opened();
    d.host.fail = Some(SaveOutcome::Failed("the disk is full".to_owned()));
    d.keys("enter");
    assert_eq!(d.host.kept.len(), 1);
}

#[test]
fn whoever_wants_out_gets_out_and_the_work_is_kept_aside() {
    let mut d = Driver::owned();
    d.host.fail = Some(SaveOutcome::Failed("the disk is full".to_owned()));
    d.choose("oil-late").keys(">");
    let ours = d.model.season.clone();
    d.keys("ctrl-c");
    assert!(d.ended);
    assert_eq!(d.host.aside, Some(ours));
}

#[test]
fn a_read_only_board_says_that_nothing_was_changed() {
    let mut d = Driver::owned();
    d.model.read_only = true;
    let before = d.model.season.clone();
    d.choose("oil-late").keys(">");
    assert_eq!((&d.model.season, &d.model.saved), (&before, &Saved::Yes));
    assert!(d.notice().contains("nothing was changed"));
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

#[test]
fn the_way_back_shows_what_differs_and_is_one_step_that_can_be_undone() {
    let mut d = Driver::owned();
    d.keys("G");
    assert!(d.model.overlay.is_none());
    assert!(d.notice().contains("no earlier versions"), "{}", d.notice());
    let now = d.model.season.clone();
    let told = |id: &str, until: &str, differs: &[&str]| Earlier {
        id: id.to_owned(),
        until: until.to_owned(),
        kept: false,
        by: Some("move by ann on barn".to_owned()),
        differs: differs.iter().map(ToString::to_string).collect(),
    };
    let with_notes = |notes: &str| {
        let mut season = now.clone();
        season.orchard.notes = Some(notes.to_owned());
        season
    };
    d.host.earlier = vec![
        (
            told(
                "b",
                "Fri 27 Nov 14:00:00",
                &["orchard notes: two -> nothing"],
            ),
            with_notes("two"),
        ),
        (
            told(
                "a",
                "Fri 27 Nov 06:10:00",
                &["orchard notes: one -> nothing"; 9],
            ),
            with_notes("one"),
        ),
    ];
    d.keys("G");
    let about = |d: &Driver| match &d.model.overlay {
        Some(Overlay::Form(form)) => form.about.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!(about(&d), ["orchard notes: two -> nothing"]);
    d.keys("right");
    assert_eq!(about(&d).len(), 7);
    assert_eq!(about(&d)[6], "and 3 more");
    d.keys("esc");
    assert_eq!(d.model.season, now, "looked at, no more");
    d.keys("G right enter");
    assert_eq!(d.model.season, with_notes("one"));
    assert!(d.notice().contains("06:10"), "{}", d.notice());
    assert_eq!(d.host.saved.last(), Some(&with_notes("one")));
    d.keys("u");
    assert_eq!(d.model.season, now);
}
