use crate::driver::Driver;
use barewood::tui::overlay::Overlay;
use barewood::tui::screen::Screen;

#[test]
fn opens_on_what_is_due_first() {
    assert_eq!(Driver::new().chosen(), "copper-fall");
}

#[test]
fn arrows_and_letters_do_the_same() {
    let mut a = Driver::new();
    let mut b = Driver::new();
    for (arrow, letter) in [("down", "j"), ("down", "j"), ("up", "k")] {
        a.keys(arrow);
        b.keys(letter);
        assert_eq!(a.chosen(), b.chosen(), "{arrow}");
    }
    assert_eq!(a.chosen(), "order");
}

#[test]
fn the_mark_stops_at_the_edges_and_what_is_done_is_folded() {
    let mut d = Driver::new();
    let first = d.keys("home").chosen().to_owned();
    assert_eq!(d.keys("up").chosen(), first);
    let last = d.keys("end").chosen().to_owned();
    assert_eq!(d.keys("down").chosen(), last);
    assert!(d.task(&last).state.is_open());
    // Tab shows what is done behind it.
    let done = d.keys("tab end").chosen().to_owned();
    assert!(!d.task(&done).state.is_open());
}

#[test]
fn tab_goes_round_the_lanes() {
    let mut d = Driver::new();
    d.keys("2 tab tab");
    assert_eq!(d.model.board.lane, 2);
    d.keys("tab");
    assert_eq!(d.model.board.lane, 0);
}

#[test]
fn finds_words_forward_and_back_and_says_when_there_are_none() {
    let mut d = Driver::new();
    assert_eq!(d.keys("/ \"oil\" enter").chosen(), "order");
    assert_eq!(d.keys("n").chosen(), "oil-winter");
    assert_eq!(d.keys("n n N").chosen(), "oil-late");
    d.keys("/ \"zebra\" enter");
    assert_eq!(d.notice(), "'zebra' was not found.");
}

#[test]
fn jumps_to_what_is_due_and_to_warnings_worst_first() {
    let mut d = Driver::new();
    assert_eq!(d.keys("down !").chosen(), "sulfur");
    assert!(d.notice().starts_with("X STOP"), "{}", d.notice());
    assert_eq!(d.keys("!").chosen(), "copper-fall");
    assert_eq!(d.keys("d").chosen(), "order");
    assert_eq!(d.keys("d d").chosen(), "copper-fall");
}

#[test]
fn esc_backs_out_and_q_leaves_a_screen_before_it_quits() {
    let mut d = Driver::new();
    d.keys("S");
    assert_eq!(d.model.screen, Screen::Swell);
    d.keys("? esc q");
    assert_eq!(d.model.screen, Screen::Board);
    d.keys("enter");
    assert!(matches!(d.model.overlay, Some(Overlay::Details(_))));
    d.keys("esc");
    assert!(d.model.overlay.is_none() && !d.ended);
    d.keys("esc");
    assert!(!d.ended, "a lone esc never quits");
    d.keys("q");
    assert!(d.ended);
}

#[test]
fn ctrl_c_gets_out_of_anything_in_two() {
    for opened in ["", "a", "r", ":", "/", "?", "enter", "S a"] {
        let mut d = Driver::new();
        d.keys(opened).keys("ctrl-c ctrl-c");
        assert!(d.ended, "from '{opened}'");
    }
}

#[test]
fn unknown_keys_and_other_alphabets_are_answered() {
    let mut d = Driver::new();
    for key in ["й", "@", "alt-x", "f9"] {
        d.keys(key);
        assert!(
            d.notice().ends_with("? shows the keys."),
            "{key}: {}",
            d.notice()
        );
    }
}

#[test]
fn the_finder_finds_by_words_and_does_it_on_its_screen() {
    let mut d = Driver::new();
    d.keys(": \"degree days\" enter");
    assert_eq!(d.model.screen, Screen::Swell);
    assert!(matches!(&d.model.overlay, Some(Overlay::Form(f)) if f.title.contains("degree-day")));
    // A screen by its own name.
    for (typed, screen) in [
        ("years", Screen::Years),
        ("review", Screen::Review),
        ("records", Screen::Records),
        ("board", Screen::Board),
    ] {
        let mut d = Driver::new();
        d.keys(&format!(": \"{typed}\" enter"));
        assert_eq!(d.model.screen, screen, "{typed}");
    }
}

#[test]
fn details_follow_what_is_done_to_the_card() {
    let mut d = Driver::new();
    d.choose("oil-late").keys("enter >");
    assert!(matches!(d.model.overlay, Some(Overlay::Details(_))));
    assert_eq!(d.task("oil-late").date, crate::common::day(2027, 3, 21));
    d.keys("x");
    // What stays in the plan is told: a change never sounds like an all-clear.
    let said = d.notice();
    assert!(said.starts_with("Deleted. u undoes it. "), "{said}");
    assert!(said.contains("Still 1 task with a stop: "), "{said}");
}

#[test]
fn clicks_choose() {
    use barewood::tui::action::{Event, Spot};
    let mut d = Driver::new();
    d.happen(Event::Click(Spot::Card(3)));
    assert_eq!(d.chosen(), "clean");
    d.happen(Event::Click(Spot::Card(999)));
    assert_eq!(d.chosen(), "clean");
}

#[test]
fn every_screen_finds_words_goes_on_and_says_when_there_are_none() {
    for opened in ["", "S", "H", "C", "X", "M", "$", "E", "R", "V", "Y"] {
        let mut d = Driver::with_hours();
        d.keys(opened).keys("/ \"zebra\" enter");
        assert!(
            d.notice().contains("found for 'zebra'") && d.notice().starts_with("no")
                || d.notice() == "'zebra' was not found.",
            "{opened}: {}",
            d.notice()
        );
        for again in ["n", "N"] {
            d.keys(again);
            assert!(
                d.notice().contains("zebra"),
                "{opened} {again}: {}",
                d.notice()
            );
        }
    }
    // On the hours screen and the mix sheet the sprays are what is looked through.
    let mut d = Driver::with_hours();
    d.keys("H / \"oil\" enter");
    let first = d.model.hours.task.clone().unwrap();
    d.keys("n");
    let second = d.model.hours.task.clone().unwrap();
    assert_ne!(first, second);
    d.keys("N");
    assert_eq!(d.model.hours.task, Some(first));
    d.keys("q X / \"oil\" enter n");
    assert!(
        d.model
            .spray
            .mix
            .task
            .as_ref()
            .unwrap()
            .as_str()
            .contains("oil")
    );
}

#[test]
fn a_page_of_text_goes_on_from_the_line_found_last() {
    let mut d = Driver::new();
    d.model.size = (80, 12);
    d.keys("V / \"e\" enter");
    let mut seen = vec![d.model.found.unwrap()];
    for _ in 0..40 {
        d.keys("n");
        let line = d.model.found.unwrap();
        // Round about, from the top.
        if line <= *seen.last().unwrap() {
            break;
        }
        seen.push(line);
    }
    assert!(seen.len() > 1, "{seen:?}");
    d.keys("N");
    assert_eq!(d.model.found, seen.last().copied());
    d.keys("N");
    assert_eq!(d.model.found, seen.iter().rev().nth(1).copied());
}

#[test]
fn the_finder_lists_every_action_of_the_table_with_its_key() {
    use barewood::tui::keymap::{KEYMAP, Scope};
    let mut d = Driver::new();
    d.model.keymap = barewood::tui::keymap::Keymap::standard();
    d.keys(":");
    let Some(Overlay::Finder(finder)) = d.model.overlay.clone() else {
        panic!("no finder");
    };
    let listed = finder.matches(&d.model);
    for row in KEYMAP {
        // What holds only inside something else is told in its own help.
        if matches!(row.scope, Scope::Form | Scope::Delay | Scope::Moving) {
            continue;
        }
        let (_, keys) = listed
            .iter()
            .find(|(b, _)| b.id == row.id)
            .unwrap_or_else(|| panic!("{} is not listed", row.id));
        assert_eq!(keys, row.keys, "{}", row.id);
    }
}
