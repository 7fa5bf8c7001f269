use super::super::check;
use super::*;
use crate::domain::climate::hourly_series::{Hour, Provenance};
use crate::domain::hours::fits::Fits;
use crate::domain::hours::testing::{air_of, copper, date, fair, oil, season_with, spray};
use crate::domain::outlook::Estimates;
use crate::domain::season::TaskState;
use crate::domain::season::{Material, Season};

fn season(material: Material, day: &str) -> Season {
    let id = material.id.as_str().to_owned();
    let mut season = season_with(vec![material]);
    let mut task = spray("t", &[&id]);
    task.date = date(day);
    season.tasks = vec![task];
    season
}

/// The weather rules' findings on 10 February, of a spray on the 12th unless it is done.
fn found(season: &Season, hours: Vec<Hour>) -> Vec<Warning> {
    let now = date("2026-02-10").and_hms_opt(12, 0, 0).unwrap().and_utc();
    let fits = Fits::new(std::sync::Arc::new(air_of(hours)), season, now);
    let estimates = Estimates::default();
    let facts = Facts::new(season, &estimates, date("2026-02-10")).with_fits(&fits);
    let ids = [
        "temperature-out-of-range",
        "frost-before-or-after",
        "rain-before-dry",
        "wind-or-layered-air",
        "wet-or-frozen-trees",
        "washed-off",
    ];
    check(&facts)
        .into_iter()
        .filter(|w| ids.contains(&w.rule))
        .collect()
}

fn week() -> Vec<Hour> {
    vec![fair(); 8 * 24]
}

/// What is changed, in which hours, for which material, and what must be found.
type Case = (fn(&mut Hour), Range<usize>, Material, &'static str, Level);

#[test]
fn each_rule_finds_its_own_and_names_the_next_window() {
    let day = 3 * 24..4 * 24;
    let cases: Vec<Case> = vec![
        (
            |h| h.temp_c = Some(1.0),
            day.clone(),
            oil("oil"),
            "temperature-out-of-range",
            Level::Stop,
        ),
        (
            |h| h.temp_c = Some(-1.0),
            4 * 24..4 * 24 + 4,
            oil("oil"),
            "frost-before-or-after",
            Level::Stop,
        ),
        (
            |h| h.rain_mm = Some(1.0),
            4 * 24..4 * 24 + 4,
            oil("oil"),
            "rain-before-dry",
            Level::Stop,
        ),
        (
            |h| h.wind_ms = Some(6.0),
            day.clone(),
            copper("copper"),
            "wind-or-layered-air",
            Level::Stop,
        ),
        (
            |h| h.wind_ms = Some(0.6),
            day.clone(),
            copper("copper"),
            "wind-or-layered-air",
            Level::Caution,
        ),
        (
            |h| h.rain_mm = Some(1.0),
            day.clone(),
            copper("copper"),
            "wet-or-frozen-trees",
            Level::Stop,
        ),
        (
            |h| h.temp_c = Some(-2.0),
            day,
            copper("copper"),
            "wet-or-frozen-trees",
            Level::Stop,
        ),
    ];
    for (change, run, material, rule, level) in cases {
        let mut hours = week();
        hours[run].iter_mut().for_each(change);
        let warnings = found(&season(material, "2026-02-12"), hours);
        let warning = warnings.iter().find(|w| w.rule == rule);
        let told: Vec<&str> = warnings.iter().map(|w| w.rule).collect();
        let warning = warning.unwrap_or_else(|| panic!("{rule} not in {told:?}"));
        assert_eq!(warning.level, level, "{rule}: {}", warning.message);
        assert!(!warning.message.is_empty() && !warning.why.is_empty());
        assert!(warning.todo.contains("hours"), "{}", warning.todo);
    }
}

#[test]
fn fair_hours_and_days_beyond_the_hours_raise_nothing() {
    assert!(found(&season(copper("copper"), "2026-02-12"), week()).is_empty());
    assert!(found(&season(copper("copper"), "2026-03-12"), week()).is_empty());
    let season = season(copper("copper"), "2026-02-12");
    let estimates = Estimates::default();
    let without = Facts::new(&season, &estimates, date("2026-02-10"));
    assert!(check(&without).iter().all(|w| w.rule != "rain-before-dry"));
}

#[test]
fn an_hour_that_is_set_is_judged_not_the_best_one() {
    let mut hours = week();
    hours[3 * 24 + 10].wind_ms = Some(7.0);
    let mut season = season(copper("copper"), "2026-02-12");
    assert!(found(&season, hours.clone()).is_empty());
    season.tasks[0].hour = Some(10);
    let warnings = found(&season, hours);
    assert_eq!(warnings.len(), 1);
    assert!(warnings[0].why.contains("10:00"), "{}", warnings[0].why);
}

#[test]
fn rain_after_a_spray_is_judged_from_its_record_or_the_end_of_its_day() {
    let mut hours: Vec<Hour> = week();
    for hour in &mut hours {
        hour.provenance = Provenance::Observed;
    }
    // Half past eight in the evening of the 9th.
    hours[20].rain_mm = Some(5.0);
    let mut season = season(oil("oil"), "2026-02-09");
    season.tasks[0].state = TaskState::Done(date("2026-02-09"));
    let warnings = found(&season, hours.clone());
    let told: Vec<&str> = warnings.iter().map(|w| w.rule).collect();
    // Two hours after six in the evening, damp and dark: not before it dried.
    assert!(told.len() <= 1, "{told:?}");
    hours[18].rain_mm = Some(5.0);
    let warnings = found(&season, hours);
    let washed = warnings.iter().find(|w| w.rule == "washed-off").unwrap();
    assert_eq!(washed.level, Level::Caution);
    assert!(washed.message.contains("mostly lost"), "{}", washed.message);
    assert!(washed.todo.contains("repeat"), "{}", washed.todo);
}

#[test]
fn a_gauge_goes_before_the_hours_and_both_are_told() {
    let mut hours: Vec<Hour> = week();
    for hour in &mut hours {
        hour.provenance = Provenance::Observed;
    }
    let mut season = season(copper("copper"), "2026-02-08");
    season.tasks[0].state = TaskState::Done(date("2026-02-08"));
    let gauge = |mm: &str| crate::domain::season::Reading::Rain {
        date: date("2026-02-09"),
        rain: mm.parse().unwrap(),
        note: None,
    };
    // Dry by the hours, two and a half inches in the gauge: the gauge rules.
    season.readings = vec![gauge("64 mm")];
    let warnings = found(&season, hours.clone());
    let washed = warnings.iter().find(|w| w.rule == "washed-off").unwrap();
    assert!(washed.why.contains("gauge"), "{}", washed.why);
    for number in ["64", "0.0 mm"] {
        assert!(washed.why.contains(number), "{number}: {}", washed.why);
    }
    // Wet by the hours, next to nothing in the gauge: told as well, as a note.
    for hour in &mut hours[..24] {
        hour.rain_mm = Some(3.0);
    }
    season.readings = vec![gauge("1 mm")];
    let warnings = found(&season, hours.clone());
    let held = warnings.iter().find(|w| w.rule == "washed-off");
    if let Some(held) = held {
        assert_eq!(held.level, Level::Note, "{}", held.message);
        assert!(held.why.contains("the gauge counts"), "{}", held.why);
    } else {
        panic!("nothing told: {warnings:?}");
    }
    // Where both say the same nothing is said of it.
    season.readings = vec![gauge("72 mm")];
    for warning in found(&season, hours) {
        assert!(!warning.why.contains("the gauge counts"), "{}", warning.why);
    }
}
