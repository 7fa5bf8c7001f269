use super::*;
use crate::domain::climate::hourly_series::Hour;
use crate::domain::hours::testing::{
    air_of, block, copper, date, fair, material, oil, season_with, spray,
};
use crate::domain::outlook::{BlockEstimate, Estimates};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::season::{Season, TaskState};
use crate::domain::units::Span;

/// Noon of the first day at the test orchard, when spraying ends.
const ENDED: &str = "2026-02-09T20:00:00Z";
/// Four days later.
const NOW: &str = "2026-02-13T20:00:00Z";

fn since(rain: &[(usize, f64)]) -> RainSince {
    let mut hours = vec![
        Hour {
            provenance: Provenance::Observed,
            ..fair()
        };
        6 * 24
    ];
    for &(after, mm) in rain {
        hours[12 + after].rain_mm = Some(mm);
    }
    rain_since(&air_of(hours), ENDED.parse().unwrap(), NOW.parse().unwrap())
}

fn held(material: &Material, rain: &[(usize, f64)]) -> (Held, bool) {
    let verdict = judge(material, &since(rain), UnitSystem::Metric);
    (verdict.held, verdict.is_hint)
}

#[test]
fn rain_is_summed_from_the_end_of_spraying() {
    let s = since(&[(30, 4.0), (31, 6.0)]);
    assert_eq!((s.hours, s.total_mm, s.first_after_h), (96, 10.0, Some(30)));
    assert_eq!((s.most_mm_per_h, s.unknown_h, s.forecast_mm), (6.0, 0, 0.0));
    assert!(s.dry_after_h.unwrap() < 3.0);
}

#[test]
fn rain_before_it_dried_loses_any_spray() {
    for m in [oil("oil"), copper("copper"), material("captan", "captan")] {
        assert_eq!(held(&m, &[(0, 2.0)]).0, Held::No, "{}", m.name);
    }
}

#[test]
fn the_labels_rain_free_time_goes_first() {
    let mut oil = oil("oil");
    oil.label.dry_after = Some(Span::Hours(24.0));
    assert_eq!(held(&oil, &[(20, 1.0)]).0, Held::Doubtful);
    assert_eq!(held(&oil, &[(24, 1.0)]).0, Held::Yes);
}

// K-State home rule; Ontario: an inch takes about half, more than two most. NZ Plant Protection
// 66:199 (2013): copper on wood.
#[test]
fn inches_of_rain_by_active() {
    let captan = material("captan", "captan");
    let cases: [(f64, Held, Held, Held); 4] = [
        (20.0, Held::Yes, Held::Yes, Held::Yes),
        (30.0, Held::Yes, Held::Partly, Held::Partly),
        (50.8, Held::Yes, Held::Doubtful, Held::Partly),
        (60.0, Held::Yes, Held::Doubtful, Held::No),
    ];
    for (mm, for_oil, for_copper, for_captan) in cases {
        let rain = [(40, mm / 2.0), (50, mm / 2.0)];
        assert_eq!(held(&oil("oil"), &rain), (for_oil, false), "oil {mm}");
        assert_eq!(
            held(&copper("copper"), &rain),
            (for_copper, true),
            "copper {mm}"
        );
        assert_eq!(held(&captan, &rain), (for_captan, false), "captan {mm}");
    }
}

#[test]
fn unknown_rain_is_not_dry_weather() {
    let mut hours = vec![fair(); 6 * 24];
    for hour in &mut hours[40..60] {
        hour.rain_mm = None;
    }
    let s = rain_since(&air_of(hours), ENDED.parse().unwrap(), NOW.parse().unwrap());
    assert_eq!(s.unknown_h, 20);
    let verdict = judge(&material("captan", "captan"), &s, UnitSystem::Us);
    assert_eq!(verdict.held, Held::Unknown);
    // Before the first hour known, too.
    let early = rain_since(
        &air_of(vec![fair(); 48]),
        "2026-02-08T20:00:00Z".parse().unwrap(),
        "2026-02-10T08:00:00Z".parse().unwrap(),
    );
    assert_eq!(
        (early.hours, early.unknown_h, early.dry_after_h),
        (36, 12, None)
    );
}

#[test]
fn rain_known_only_from_a_forecast_is_said_to_be() {
    let mut hours = vec![fair(); 6 * 24];
    hours[60].rain_mm = Some(8.0);
    let s = rain_since(&air_of(hours), ENDED.parse().unwrap(), NOW.parse().unwrap());
    assert_eq!(s.forecast_mm, 8.0);
    let verdict = judge(&copper("copper"), &s, UnitSystem::Metric);
    assert!(
        verdict.because.contains("by forecast"),
        "{}",
        verdict.because
    );
}

fn done(material: Material) -> Season {
    let id = material.id.as_str().to_owned();
    let mut season = season_with(vec![material]);
    let mut task = spray("t", &[&id]);
    task.state = TaskState::Done(date("2026-02-09"));
    season.tasks = vec![task];
    season
}

fn swell_on(day: &str) -> Estimates {
    let sure = |d: &str| StageDate::new(date(d), [1.0]);
    Estimates {
        blocks: vec![BlockEstimate {
            block: block("peach").id,
            swell: sure(day),
            burst: sure("2026-04-01"),
            bloom: sure("2026-04-10"),
            seen: None,
            few: Vec::new(),
        }],
        ..Estimates::default()
    }
}

fn offer(season: &Season, estimates: &Estimates) -> Repeat {
    let facts = Facts::new(season, estimates, date("2026-02-13"));
    let used = *facts.uses().first().unwrap();
    repeat(&facts, &used)
}

#[test]
fn a_repeat_keeps_interval_uses_and_last_safe_day() {
    let mut copper = copper("copper");
    copper.label.interval = Some(Span::Days(7.0));
    copper.label.max_uses = Some(2);
    let season = done(copper.clone());
    let offered = offer(&season, &swell_on("2026-03-01"));
    assert_eq!(
        offered,
        Repeat::Offered {
            earliest: date("2026-02-16"),
            latest: Some(date("2026-02-25")),
            uses_left: Some(1),
        }
    );
    // Swell too near: the interval ends after the last safe day.
    let refused = offer(&season, &swell_on("2026-02-18"));
    assert!(
        matches!(&refused, Repeat::Refused(why) if why.contains("2026-02-14")),
        "{refused:?}"
    );
    copper.label.max_uses = Some(1);
    let refused = offer(&done(copper.clone()), &swell_on("2026-03-01"));
    assert!(
        matches!(&refused, Repeat::Refused(why) if why.contains("no more")),
        "{refused:?}"
    );
    copper.label.max_uses = None;
    copper.label.expires = Some(date("2026-02-14"));
    let refused = offer(&done(copper), &swell_on("2026-03-01"));
    assert!(
        matches!(&refused, Repeat::Refused(why) if why.contains("2026-02-14")),
        "{refused:?}"
    );
}

#[test]
fn without_an_estimate_the_offer_says_it_knows_no_last_day() {
    let offered = offer(&done(oil("oil")), &Estimates::default());
    assert!(matches!(offered, Repeat::Offered { latest: None, .. }));
}

// A metric gauge tips at 0.2 mm: thirty hours of it from the end of spraying are rain.
#[test]
fn drizzle_is_summed() {
    let first = |mm: &[f64]| first_wetting(mm.iter().copied());
    assert_eq!(first(&[0.2; 30]), Some(0));
    assert_eq!(first(&[0.0, 0.0, 0.25]), Some(2), "at what a gauge shows");
    assert_eq!(first(&[0.0, 0.24, 0.0, 0.24]), Some(1), "one rain");
    let apart = |dry: usize| [vec![0.24], vec![0.0; dry], vec![0.24]].concat();
    assert_eq!(first(&apart(5)), Some(0));
    assert_eq!(first(&apart(6)), None, "two traces apart");
    assert_eq!(first(&[0.0, 0.13, 0.13]), Some(1));
    assert_eq!(first(&[f64::NAN, 0.2, f64::NAN]), None);
}
