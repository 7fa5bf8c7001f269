//! The mouse on the model: clicks choose, the wheel moves, a card is drawn along its dates.

use crate::common::{day, season, spray_season};
use crate::driver::Driver;
use barewood::tui::action::{Effect, Event, Spot};
use barewood::tui::mouse;
use barewood::tui::overlay::Overlay;
use barewood::tui::screen::Screen;
use barewood::tui::theme::Theme;
use barewood::tui::view::view;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

fn card(d: &Driver, id: &str) -> Spot {
    let tasks = &d.model.season.tasks;
    Spot::Card(tasks.iter().position(|t| t.id.as_str() == id).unwrap())
}

fn press(d: &mut Driver, id: &str) {
    let spot = card(d, id);
    d.happen(Event::Click(spot));
}

#[test]
fn a_click_chooses_and_moves_nothing() {
    let mut d = Driver::new();
    press(&mut d, "scout");
    d.happen(Event::Release);
    assert_eq!(d.chosen(), "scout");
    assert_eq!(d.model.season, season());
    assert!(d.model.overlay.is_none());
}

#[test]
fn a_card_drawn_along_its_dates_shows_the_day_and_what_it_breaks_before_it_moves() {
    let mut d = Driver::new();
    let before = d.task("copper-late").date;
    press(&mut d, "copper-late");
    d.happen(Event::Drag(40));
    let Some(Overlay::Delay(preview)) = &d.model.overlay else {
        panic!("no preview");
    };
    let shown = preview.preview.as_ref().unwrap();
    assert_eq!(shown.shifts[0].to, day(2027, 3, 22));
    assert!(
        !shown.appear.is_empty(),
        "after swell there is something to say"
    );
    assert_eq!(d.task("copper-late").date, before, "nothing moves yet");
    d.happen(Event::Drag(2));
    d.happen(Event::Release);
    assert_eq!(d.task("copper-late").date, day(2027, 2, 12));
    assert!(d.model.overlay.is_none());
    d.keys("u");
    assert_eq!(d.task("copper-late").date, before);
}

#[test]
fn esc_cancels_and_the_hand_must_press_anew() {
    let mut d = Driver::new();
    press(&mut d, "copper-late");
    d.happen(Event::Drag(5));
    d.keys("esc");
    assert!(d.model.overlay.is_none());
    d.happen(Event::Drag(9));
    d.happen(Event::Release);
    assert!(d.model.overlay.is_none());
    assert_eq!(d.model.season, season());
}

#[test]
fn drawn_back_to_its_day_nothing_moves() {
    let mut d = Driver::new();
    press(&mut d, "copper-late");
    d.happen(Event::Drag(5));
    d.happen(Event::Drag(0));
    d.happen(Event::Release);
    assert_eq!(d.model.season, season());
    assert_eq!(d.notice(), "nothing moved");
}

#[test]
fn a_finished_card_is_not_drawn() {
    let mut d = Driver::new();
    press(&mut d, "rake");
    d.happen(Event::Drag(5));
    assert_eq!(d.chosen(), "rake");
    assert!(d.model.overlay.is_none());
}

#[test]
fn a_column_is_a_day_and_a_row_a_week() {
    assert_eq!(mouse::days((10, 5), (13, 5)), 3);
    assert_eq!(mouse::days((10, 5), (9, 7)), 13);
    assert_eq!(mouse::days((0, 0), (65_535, 0)), 65_535);
}

/// A click on each thing that can be chosen, on every screen: the cursor goes there.
#[test]
fn every_spot_of_every_screen_can_be_chosen() {
    let screens = [
        ("", Screen::Board),
        ("S", Screen::Swell),
        ("H", Screen::Hours),
        ("C", Screen::Coverage),
        ("C tab", Screen::Coverage),
        ("M", Screen::Materials),
        ("$", Screen::Buy),
        ("E", Screen::Sprayers),
        ("f enter R", Screen::Records),
    ];
    for (keys, screen) in screens {
        let mut d = if screen == Screen::Hours {
            Driver::with_hours()
        } else {
            Driver::with(spray_season())
        };
        d.choose("copper-fall").keys(keys);
        assert_eq!(d.model.screen, screen);
        let look = |d: &Driver| {
            let mut buffer = Buffer::empty(Rect::new(0, 0, 120, 40));
            view(&d.model, Theme::default(), &mut buffer)
        };
        d.model.size = (120, 40);
        let spots = look(&d).spots;
        assert!(!spots.is_empty(), "{screen:?}");
        for (_, spot) in spots {
            d.happen(Event::Click(spot.clone()));
            d.happen(Event::Release);
            let drawn = look(&d);
            let cursor = drawn.cursor.unwrap();
            let here = drawn.spots.iter().filter(|(_, s)| *s == spot);
            let hit = here.clone().any(|(r, _)| r.contains(cursor.into()));
            assert!(hit, "{screen:?}: {spot:?}, cursor {cursor:?}");
        }
    }
}

#[test]
fn the_wheel_moves_the_choice_and_scrolls_what_is_open() {
    let mut d = Driver::new();
    d.choose("scout");
    d.happen(Event::Wheel(1));
    assert_ne!(d.chosen(), "scout");
    d.happen(Event::Wheel(-1));
    assert_eq!(d.chosen(), "scout");
    d.keys("?");
    d.happen(Event::Wheel(1));
    assert!(matches!(d.model.overlay, Some(Overlay::Help(3))));
}

#[test]
fn what_is_chosen_is_sent_to_the_users_own_terminal() {
    for (keys, words) in [
        ("", "Copper before swell"),
        ("S", "Peach row"),
        ("V", "Review"),
        ("Y", "season"),
        ("M", "copper"),
        ("$", "Needed for all sprays"),
        ("E", "tank holds"),
        ("C", "leaf curl"),
        ("X", "Water"),
    ] {
        let mut d = Driver::with(spray_season());
        d.choose("copper-late").keys(keys).keys("O");
        let sent = d.wishes.iter().rev().find_map(|e| match e {
            Effect::CopyOut(text) => Some(text.clone()),
            _ => None,
        });
        let text = sent.unwrap_or_else(|| panic!("{keys}: nothing sent, {}", d.notice()));
        assert!(
            text.to_lowercase().contains(&words.to_lowercase()),
            "{keys}: {text}"
        );
        assert!(
            d.notice().starts_with("Copied ") && d.notice().contains("to the clipboard"),
            "{}",
            d.notice()
        );
        assert!(!text.contains('\u{1b}'));
    }
    let mut d = Driver::new();
    d.keys("R O");
    assert_eq!(d.model.season, season());
}
