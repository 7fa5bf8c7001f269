//! The hours screen, the delay into fit hours, the repeat after wash-off.

use crate::common::day;
use crate::driver::Driver;
use barewood::domain::hours::fits::Fits;
use barewood::domain::season::TaskState;
use barewood::tui::action::{Effect, Event};
use barewood::tui::host::{News, WeatherNews};
use barewood::tui::overlay::Overlay;
use barewood::tui::screen::Screen;
use chrono::Timelike;

/// The first open copper spray of the invented season; it is planned for 28 November, in the rain.
const COPPER: &str = "copper-fall";

fn at_hours() -> Driver {
    let mut d = Driver::with_hours();
    d.choose(COPPER).keys("H");
    assert_eq!(d.model.screen, Screen::Hours);
    d
}

#[test]
fn a_spray_is_put_into_the_next_window_with_two_keys_and_undo_brings_it_back() {
    let mut d = at_hours();
    let before = d.task(COPPER).clone();
    d.keys(". p");
    let after = d.task(COPPER).clone();
    assert!(after.hour.is_some(), "{}", d.notice());
    assert!(d.notice().contains("put on"), "{}", d.notice());
    // The window is one the verdicts hold to be free of stops, for the whole job.
    let fits = d.model.fits.as_ref().unwrap();
    let fit = fits.of(&after.id).unwrap();
    let air = fits.air();
    let start = air
        .day(after.date)
        .find(|h| air.local(*h).hour() == after.hour.unwrap())
        .unwrap();
    for hour in start..start + fit.job.whole_hours() {
        assert_ne!(
            fit.grid.fit(hour),
            Some(barewood::domain::hours::verdict::Fit::Unfit)
        );
    }
    d.keys("u");
    assert_eq!(*d.task(COPPER), before);
}

#[test]
fn the_cursor_stays_among_the_hours_whatever_is_typed() {
    let mut d = at_hours();
    for keys in [
        "up up up up",
        "left left",
        "9 9 9 right",
        "home",
        "end right right down",
        "pgup pgdn",
        "9 9 right",
        "< > > , .",
    ] {
        d.keys(keys);
    }
    d.keys("enter");
    assert!(matches!(d.model.overlay, Some(Overlay::Why(_))));
    d.keys("esc q");
    assert_eq!(d.model.screen, Screen::Board);
}

#[test]
fn without_hours_the_screen_says_what_to_do_and_keys_do_no_harm() {
    let mut d = Driver::new();
    d.choose(COPPER).keys("H . p enter left down");
    assert!(d.notice().contains("no hours"), "{}", d.notice());
    d.keys("F");
    assert!(d.wishes.contains(&Effect::Fetch));
    assert!(d.notice().contains("invented"), "{}", d.notice());
}

#[test]
fn hours_that_come_in_later_bring_verdicts_and_warnings() {
    let mut d = Driver::with(Driver::with_hours().model.season);
    assert!(d.model.fits.is_none());
    let count = d.model.outlook.warnings.len();
    let air = crate::common::air(&d.model.season);
    let fits = Fits::new(air, &d.model.season, d.model.moment());
    d.happen(Event::News(News::Weather(Box::new(WeatherNews {
        fits: Some(fits),
        words: Some("12 days".to_owned()),
        ..WeatherNews::default()
    }))));
    assert!(d.model.fits.is_some());
    assert_eq!(d.notice(), "12 days");
    let rules: Vec<&str> = d.model.outlook.warnings.iter().map(|w| w.rule).collect();
    assert!(d.model.outlook.warnings.len() > count);
    assert!(rules.contains(&"rain-before-dry"), "{rules:?}");
}

#[test]
fn a_delay_goes_into_fit_hours_and_clears_the_rain() {
    let mut d = Driver::with_hours();
    d.choose(COPPER).keys("r p");
    let Some(Overlay::Delay(view)) = &d.model.overlay else {
        panic!("the delay is open");
    };
    let plan = view.fit.as_ref().unwrap().plan().unwrap().clone();
    let preview = view.preview.as_ref().unwrap();
    assert!(preview.clear.iter().any(|w| w.rule == "rain-before-dry"));
    let place = plan.places[0].clone();
    d.keys("enter");
    let task = d.task(COPPER);
    assert_eq!(Some(task.date), place.to);
    assert_eq!(task.hour, place.hour);
    assert_eq!(task.moved.last().unwrap().why, "rain delay, into fit hours");
}

#[test]
fn a_delay_without_hours_says_so_and_still_counts_days() {
    let mut d = Driver::new();
    d.choose(COPPER).keys("r p");
    assert!(d.notice().contains("no hours"), "{}", d.notice());
    let from = d.task(COPPER).date;
    d.keys("3 enter");
    assert_eq!(d.task(COPPER).date - from, chrono::TimeDelta::days(3));
}

#[test]
fn only_a_spray_that_is_done_can_be_repeated() {
    let mut d = Driver::with_hours();
    d.choose(COPPER).keys("alt-s");
    assert!(d.notice().contains("done"), "{}", d.notice());
    let mut season = d.model.season.clone();
    let task = season
        .tasks
        .iter_mut()
        .find(|t| t.id.as_str() == COPPER)
        .unwrap();
    task.state = TaskState::Done(day(2026, 11, 21));
    d.model.season = season;
    d.model.derive();
    let n = d.model.season.tasks.len();
    d.keys("alt-s");
    assert_eq!(d.model.season.tasks.len(), n + 1, "{}", d.notice());
    let copy = d.task(d.chosen()).clone();
    assert!(copy.state.is_open());
    assert!(copy.date >= d.model.today);
    assert!(copy.hour.is_some(), "{}", d.notice());
    d.keys("u");
    assert_eq!(d.model.season.tasks.len(), n);
}
