//! Every edge of a window at its limit: a day before, on the day, a day after.

use super::fixture::*;
use barewood::domain::outlook::outlook;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::{Facts, Level};
use barewood::domain::season::{KeepApart, Lane, Reentry, Season, TargetId, TaskId, TaskState};
use barewood::domain::window::WindowState;
use chrono::NaiveDate;

/// A copper on 1 February and an oil on the day asked.
fn copper_then_oil(oil_on: &str) -> Season {
    let mut s = season();
    let mut oil = material("oil", "horticultural oil");
    oil.label.reentry = None;
    oil.label.last_stage = Some(53);
    s.materials[0].label.reentry = None;
    s.materials.push(oil);
    s.tasks.push(spray("oil", oil_on, &["p"], &["oil"]));
    s
}

fn state_on(s: &Season, task: &str, today: &str) -> WindowState {
    let estimates = estimates(s);
    let facts = Facts::new(s, &estimates, day(today));
    let window = facts.windows().of(&TaskId::from(task)).unwrap();
    window.state(window.judged_on)
}

fn opens(s: &Season, task: &str) -> NaiveDate {
    let estimates = estimates(s);
    let facts = Facts::new(s, &estimates, day(TODAY));
    let window = facts.windows().of(&TaskId::from(task)).unwrap();
    window.opens_on().unwrap()
}

#[test]
fn days_kept_apart_by_a_label_open_a_window() {
    for (date, state) in [
        ("2027-02-10", WindowState::NotYet),
        ("2027-02-11", WindowState::Open),
        ("2027-02-12", WindowState::Open),
    ] {
        let mut s = copper_then_oil(date);
        s.materials[1].label.keep_apart = vec![KeepApart {
            active: "copper hydroxide".to_owned(),
            days: 10,
        }];
        assert_eq!(opens(&s, "oil"), day("2027-02-11"));
        let found = state_on(&s, "oil", TODAY);
        let found = if found == WindowState::Closing {
            WindowState::Open
        } else {
            found
        };
        assert_eq!(found, state, "{date}");
        let speaks = !levels(&s, "keep-apart").is_empty();
        assert_eq!(speaks, state == WindowState::NotYet, "{date}");
    }
}

/// Fourteen days between oil and captan: the row of `keep-apart`.
#[test]
fn days_kept_apart_by_custom_open_a_window_and_close_none() {
    let mut s = copper_then_oil("2027-02-10");
    s.materials[0].active = "captan".to_owned();
    assert_eq!(opens(&s, "oil"), day("2027-02-15"));
    assert_eq!(state_on(&s, "oil", TODAY), WindowState::NotYet);
    // A custom of the trade that ends behind the last safe day leaves that day.
    s.materials[1].label.last_stage = Some(51);
    s.tasks[0].date = day("2027-02-10");
    s.tasks[1].date = day("2027-02-16");
    assert_ne!(state_on(&s, "oil", TODAY), WindowState::Closed);
    // A label does not.
    s.materials[1].label.keep_apart = vec![KeepApart {
        active: "captan".to_owned(),
        days: 14,
    }];
    assert_eq!(state_on(&s, "oil", TODAY), WindowState::Closed);
    assert_eq!(levels(&s, "no-day-left"), [Level::Stop]);
}

/// 40 CFR 170: nobody goes in before re-entry ends; it counts from the end of the work.
#[test]
fn re_entry_of_the_spray_before_opens_a_window() {
    for (hour, wait, first) in [
        (None, "24 h", "2027-02-03"),    // may have ended at midnight
        (Some(9), "12 h", "2027-02-01"), // 9 + 2 + 12 = 23:00
        (Some(9), "24 h", "2027-02-02"),
        (Some(22), "24 h", "2027-02-03"),
    ] {
        let mut s = copper_then_oil("2027-02-01");
        s.materials[0].label.reentry = Some(Reentry::After(of(wait)));
        s.tasks[0].hour = hour;
        assert_eq!(opens(&s, "oil"), day(first), "{hour:?} {wait}");
        let early = day(first) > day("2027-02-01");
        let said = check(&s)
            .iter()
            .any(|w| w.rule == "too-early" && w.why.contains("Re-entry after"));
        assert_eq!(said, early, "{hour:?} {wait}");
    }
}

/// The label's own number: the law.
#[test]
fn a_season_limit_that_earlier_uses_have_taken_closes_a_window() {
    for (most, closed) in [(3, false), (2, false), (1, true)] {
        let mut s = season();
        s.materials[0].label.max_uses = Some(most);
        s.tasks.push(spray("again", "2027-02-10", &["p"], &["cu"]));
        let found = state_on(&s, "again", TODAY) == WindowState::Closed;
        assert_eq!(found, closed, "{most}");
        assert_ne!(state_on(&s, "late", TODAY), WindowState::Closed, "{most}");
        assert_eq!(!levels(&s, "too-many-uses").is_empty(), closed, "{most}");
        // Moving it later opens nothing.
        s.tasks[1].date = day("2027-02-15");
        assert_eq!(state_on(&s, "again", TODAY) == WindowState::Closed, closed);
    }
}

#[test]
fn the_seasons_most_of_a_product_and_of_its_metal_close_a_window_once_all_of_it_is_taken() {
    // Four pounds an acre each time.
    for (most, closed) in [
        ("8 lb/acre", false),
        ("5 lb/acre", false),
        ("4 lb/acre", true),
    ] {
        let mut s = season();
        s.materials[0].label.max_per_season = Some(of(most));
        s.tasks.push(spray("again", "2027-02-10", &["p"], &["cu"]));
        let found = state_on(&s, "again", TODAY) == WindowState::Closed;
        assert_eq!(found, closed, "{most}");
        let stop = levels(&s, "too-much-product").contains(&Level::Stop);
        assert_eq!(stop, most != "8 lb/acre", "{most}");
    }
    for (most, closed) in [("4 lb/acre", false), ("2 lb/acre", true)] {
        let mut s = season();
        s.materials[0].metallic_copper = Some(percent(50.0));
        s.materials[0].label.max_copper_per_season = Some(of(most));
        s.tasks.push(spray("again", "2027-02-10", &["p"], &["cu"]));
        let found = state_on(&s, "again", TODAY) == WindowState::Closed;
        assert_eq!(found, closed, "{most} of metal");
    }
}

/// Common practice, no source: the figures of `window/best.rs`.
#[test]
fn best_days_lie_inside_the_window() {
    let best = |s: &Season, task: &str| {
        let all = outlook(s, &estimates(s), day(TODAY));
        all.standing(&TaskId::from(task)).unwrap().best
    };
    // Before swell: three weeks up to a week before the last safe day, 16 February.
    let mut s = season();
    assert_eq!(
        best(&s, "late"),
        Some((day("2027-01-26"), day("2027-02-09")))
    );
    // After leaf drop, 20 November: three weeks.
    s.tasks[0].lane = Lane::AfterLeafDrop;
    s.tasks[0].date = day("2026-11-28");
    assert_eq!(
        best(&s, "late"),
        Some((day("2026-11-20"), day("2026-12-11")))
    );
    // Aphid eggs on apple: from the even chance of swell, 1 March, to the last safe day.
    let mut s = season();
    s.blocks = vec![block("a", Species::Apple)];
    s.materials = vec![material("oil", "horticultural oil")];
    s.materials[0].label.last_stage = Some(53);
    s.tasks = vec![spray("eggs", "2027-03-02", &["a"], &["oil"])];
    s.tasks[0].targets = vec![TargetId::from("aphid-eggs")];
    let (from, to) = best(&s, "eggs").unwrap();
    assert_eq!(from, day("2027-03-01"));
    let all = outlook(&s, &estimates(&s), day(TODAY));
    assert_eq!(
        Some(to),
        all.standing(&TaskId::from("eggs")).unwrap().last_safe
    );
}

#[test]
fn a_job_of_three_days_begins_two_days_before_its_last_safe_day() {
    // 100 gallons at 10 L/min in tanks of 25, each filled in five hours: 20.6 h.
    let mut s = season();
    s.sprayers[0].refill_minutes = Some(300.0);
    for (date, levels_wanted) in [
        ("2027-02-13", vec![]),
        ("2027-02-14", vec![]),
        ("2027-02-15", vec![Level::Caution]),
        ("2027-02-16", vec![Level::Caution]),
        ("2027-02-17", vec![]), // too late altogether, which is said instead
    ] {
        s.tasks[0].date = day(date);
        assert_eq!(levels(&s, "starts-too-late"), levels_wanted, "{date}");
    }
    s.tasks[0].state = TaskState::Done(day("2027-02-16"));
    assert!(levels(&s, "starts-too-late").is_empty());
}
