use crate::common::{day, today};
use crate::driver::Driver;
use barewood::domain::season::{Lane, TaskState, edit};
use barewood::tui::overlay::Overlay;

#[test]
fn moves_by_days_weeks_and_counts_and_those_of_one_sitting_are_one_move() {
    let mut d = Driver::new();
    d.choose("oil-late").keys("> > > ] - [");
    assert_eq!(d.task("oil-late").date, day(2027, 3, 22));
    let moved = &d.task("oil-late").moved;
    assert_eq!(moved.len(), 1);
    assert_eq!((moved[0].on, moved[0].to), (today(), day(2027, 3, 22)));
    // There and back is none.
    let mut d = Driver::new();
    d.choose("oil-late").keys("> > < <");
    assert!(d.task("oil-late").moved.is_empty());
    d.keys("> u");
    assert!(d.task("oil-late").moved.is_empty());
}

#[test]
fn the_card_stays_chosen_when_it_moves() {
    let mut d = Driver::new();
    d.choose("clean").keys("] ] ] ]");
    assert_eq!(d.chosen(), "clean");
    d.keys("}");
    assert_eq!(d.task("clean").lane, Lane::MidWinter);
    assert_eq!((d.chosen(), d.model.board.lane), ("clean", 1));
}

#[test]
fn finished_tasks_do_not_move() {
    let mut d = Driver::new();
    d.choose("rake").keys(">");
    assert!(d.notice().contains("already done"), "{}", d.notice());
    d.keys("r");
    assert!(d.model.overlay.is_none());
    d.keys("o >");
    assert!(d.task("rake").state.is_open());
    assert_eq!(d.task("rake").date, day(2026, 11, 21));
}

#[test]
fn rain_delay_shows_dates_and_warnings_then_moves_all_that_follow() {
    let mut d = Driver::new();
    d.choose("copper-late").keys("r right right right tab");
    let Some(Overlay::Delay(view)) = &d.model.overlay else {
        panic!("no delay");
    };
    let preview = view.preview.as_ref().unwrap();
    assert_eq!(view.days, 4);
    let shifted: Vec<&str> = preview.shifts.iter().map(|s| s.task.as_str()).collect();
    assert_eq!(shifted, ["copper-late", "sulfur"]);
    // 14 February is past the last safe day of the peaches, 11 February.
    assert!(preview.appear.iter().any(|w| w.rule == "too-close-to-swell"
        && w.task.as_ref().is_some_and(|t| t.as_str() == "copper-late")));
    d.keys("enter");
    assert_eq!(d.task("copper-late").date, day(2027, 2, 14));
    assert_eq!(d.task("sulfur").date, day(2027, 2, 28));
    assert_eq!(d.task("copper-late").moved[0].why, "rain delay");
    d.keys("u");
    assert_eq!(d.task("sulfur").date, day(2027, 2, 24));
}

#[test]
fn a_dropped_delay_changes_nothing_and_typed_days_count() {
    let mut d = Driver::new();
    let before = d.model.season.clone();
    d.choose("copper-late").keys("r 1 2");
    assert!(matches!(&d.model.overlay, Some(Overlay::Delay(v)) if v.days == 12));
    d.keys("esc");
    assert_eq!(d.model.season, before);
    assert_eq!(d.notice(), "nothing moved");
}

#[test]
fn warnings_that_clear_are_told() {
    let mut d = Driver::new();
    d.choose("sulfur").keys("r 3 0 left left");
    d.keys("esc").keys("[ [ [");
    assert_eq!(d.task("sulfur").date, day(2027, 2, 3));
    let worst = d
        .model
        .outlook
        .warnings_of(&d.task("sulfur").id)
        .map(|w| w.level)
        .max();
    assert_ne!(worst, Some(barewood::domain::rules::Level::Stop));
}

#[test]
fn copy_delete_and_undo() {
    let mut d = Driver::new();
    let before = d.model.season.clone();
    d.choose("scout").keys("alt-c");
    assert_eq!(d.model.season.tasks.len(), before.tasks.len() + 1);
    assert_ne!(d.chosen(), "scout");
    d.keys("x");
    assert_eq!(d.model.season, before);
    assert!(!d.chosen().is_empty(), "something is still chosen");
    d.keys("u u");
    assert_eq!(d.model.season, before);
    d.keys("U U");
    assert_eq!(d.model.season, before);
    d.keys("u");
    assert_eq!(d.model.season.tasks.len(), before.tasks.len() + 1);
}

#[test]
fn the_last_card_of_a_lane_can_go_and_the_empty_lane_says_what_to_do() {
    let mut d = Driver::new();
    d.choose("scout").keys("x x x");
    assert_eq!((d.chosen(), d.model.board.lane), ("", 1));
    d.keys(">");
    assert!(d.notice().contains("press a to add one"));
    d.keys("enter");
    assert!(matches!(&d.model.overlay, Some(Overlay::Form(f)) if f.title == "Add a task"));
}

#[test]
fn finish_asks_how_and_when() {
    let mut d = Driver::new();
    d.choose("copper-fall").keys("f tab \"-1\" enter");
    assert_eq!(
        d.task("copper-fall").state,
        TaskState::Done(day(2026, 11, 24))
    );
    d.keys("o f space enter");
    assert_eq!(d.task("copper-fall").state, TaskState::Skipped(today()));
    d.keys("f");
    assert!(d.notice().contains("o opens it again"), "{}", d.notice());
}

#[test]
fn nothing_is_finished_in_the_future() {
    let mut d = Driver::new();
    d.choose("order").keys("f tab \"+3\" enter");
    let Some(Overlay::Form(form)) = &d.model.overlay else {
        panic!("the form stays open");
    };
    assert!(form.fault.as_ref().unwrap().contains("not come yet"));
}

#[test]
fn a_quietened_rule_keeps_its_reason_and_can_speak_again() {
    let mut d = Driver::new();
    d.choose("oil-winter")
        .keys("Z tab \"read it at the dealer's\" enter");
    assert_eq!(d.task("oil-winter").quiet[0].rule, "label-not-read");
    assert!(
        d.model
            .outlook
            .warnings_of(&d.task("oil-winter").id)
            .all(|w| w.rule != "label-not-read")
    );
    let again = edit::toggle_quiet(
        &d.model.season,
        &d.task("oil-winter").id,
        "label-not-read",
        "no",
        today(),
    )
    .unwrap();
    assert!(
        again
            .task(&d.task("oil-winter").id)
            .unwrap()
            .quiet
            .is_empty()
    );
    d.choose("scout").keys("Z");
    assert_eq!(d.notice(), "no rule speaks on this task");
}

#[test]
fn a_label_read_today_clears_its_warnings() {
    let mut d = Driver::new();
    d.choose("oil-late").keys("y enter");
    assert_eq!(d.model.season.materials[1].label.read_on, Some(today()));
    assert!(
        d.model
            .outlook
            .warnings
            .iter()
            .all(|w| w.rule != "label-not-read" || w.message.contains("lime sulfur"))
    );
}

#[test]
fn undo_goes_back_through_everything_and_redo_forward() {
    let mut d = Driver::new();
    let first = d.model.season.clone();
    d.choose("oil-late")
        .keys("> > alt-c e end \" again\" enter D \"-2\" enter x S b tab");
    d.keys("esc q < < < <");
    let last = d.model.season.clone();
    assert_ne!(first, last);
    d.keys("u u u u u u u u u u u u u u u");
    assert_eq!(d.model.season, first);
    d.keys("U U U U U U U U U U U U U U U");
    assert_eq!(d.model.season, last);
}

#[test]
fn the_steps_of_an_earlier_session_are_undone_and_made_again_in_a_later_one() {
    use barewood::tui::history::History;
    let mut d = Driver::owned();
    let start = d.model.season.clone();
    d.choose("oil-late").keys("> ] > x u u");
    let now = d.model.season.clone();
    let trail = d.model.history.trail(&now);
    assert_eq!((trail.at, trail.words.len()), (2, 4));
    assert_eq!(trail.seasons[trail.at], now);
    let mut history = History::default();
    history.come_from(&trail);
    let mut season = now.clone();
    while history.undo(&mut season, crate::common::join).is_some() {}
    assert_eq!(season, start);
    let mut steps = 0;
    while history.redo(&mut season, crate::common::join).is_some() {
        steps += 1;
    }
    assert_eq!((steps, &season), (4, trail.seasons.last().unwrap()));
    // What this session undid is nearer than what that one did.
    let mut history = History::default();
    let edited = &trail.seasons[3];
    history.record(&now, edited, "of this session");
    let mut season = edited.clone();
    history.undo(&mut season, crate::common::join);
    history.come_from(&trail);
    assert_eq!(
        history.redo(&mut season, crate::common::join).as_deref(),
        Some("of this session")
    );
}
