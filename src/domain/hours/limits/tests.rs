use super::*;
use crate::domain::hours::testing::{oil, season_with, spray};
use crate::domain::units::{Span, Speed, SpeedUnit, Temperature, TemperatureUnit};

fn find(limits: &Limits, is: impl Fn(&Limit) -> bool) -> Vec<Limit> {
    limits.all.iter().copied().filter(is).collect()
}

#[test]
fn a_label_goes_before_practice() {
    let mut material = oil("oil");
    material.label.temp_min = Some(Temperature::new(38.0, TemperatureUnit::F));
    material.label.temp_max = Some(Temperature::new(85.0, TemperatureUnit::F));
    material.label.dry_after = Some(Span::Hours(6.0));
    material.label.wind_max = Some(Speed::new(15.0, SpeedUnit::Mph));
    let season = season_with(vec![material]);
    let limits = Limits::of(&season, &spray("t", &["oil"]));
    let stops = find(&limits, |l| {
        l.weight == Weight::Stop && matches!(l.look, Look::AirBelow(_))
    });
    assert_eq!(stops.len(), 1);
    assert_eq!(stops[0].from, LimitFrom::Label(0));
    let rain = find(&limits, |l| matches!(l.look, Look::RainAfter(_)));
    assert_eq!(rain.len(), 1);
    assert_eq!(rain[0].look, Look::RainAfter(6));
    // The label's 15 mph stand; practice's 10 mph are not added.
    let wind = find(&limits, |l| matches!(l.look, Look::WindAbove(_)));
    assert_eq!(wind.len(), 1);
    assert_eq!(wind[0].from, LimitFrom::Label(0));
}

#[test]
fn the_orchards_stricter_wind_beats_a_generous_label() {
    let mut material = oil("oil");
    material.label.wind_max = Some(Speed::new(15.0, SpeedUnit::Mph));
    let mut season = season_with(vec![material]);
    season.orchard.wind_max = Some(Speed::new(7.0, SpeedUnit::Mph));
    let limits = Limits::of(&season, &spray("t", &["oil"]));
    let wind = find(&limits, |l| matches!(l.look, Look::WindAbove(_)));
    assert_eq!(wind.len(), 1);
    assert_eq!(wind[0].from, LimitFrom::Orchard);
}

#[test]
fn of_two_labels_the_stricter_rules_whichever_comes_first() {
    for names in [["a", "b"], ["b", "a"]] {
        let (mut a, mut b) = (oil("a"), oil("b"));
        a.label.dry_after = Some(Span::Hours(4.0));
        b.label.dry_after = Some(Span::Hours(24.0));
        let season = season_with(vec![a, b]);
        let limits = Limits::of(&season, &spray("t", &names));
        let rain = find(&limits, |l| matches!(l.look, Look::RainAfter(_)));
        assert_eq!(rain.len(), 1);
        assert_eq!(rain[0].look, Look::RainAfter(24));
        assert!(limits.who(rain[0].from).contains("label of b"));
    }
}

#[test]
fn oil_without_a_label_has_published_go_caution_and_stop() {
    let season = season_with(vec![oil("oil")]);
    let limits = Limits::of(&season, &spray("t", &["oil"]));
    let cold = find(&limits, |l| matches!(l.look, Look::AirBelow(_)));
    let weights: Vec<Weight> = cold.iter().map(|l| l.weight).collect();
    assert_eq!(weights, [Weight::Stop, Weight::Doubt]);
    for limit in limits.all.iter().filter(|l| l.weight >= Weight::Doubt) {
        assert!(!limits.who(limit.from).is_empty());
    }
}

#[test]
fn pruning_is_not_asked_about_frost_or_wind() {
    let season = season_with(vec![]);
    let mut task = spray("t", &[]);
    task.kind = TaskKind::Prune;
    let limits = Limits::of(&season, &task);
    assert!(limits.all.iter().all(|l| matches!(
        l.look,
        Look::RainAfter(0) | Look::Dark | Look::OwnTime | Look::NotThisYear
    )));
}

#[test]
fn own_time_wraps_over_midnight_and_knows_weekends() {
    let mut season = season_with(vec![]);
    season.orchard.work_hours = Some([22, 6]);
    season.orchard.work_days = vec!["sat".into(), "Sunday".into(), "someday".into()];
    let own = OwnTime::of(&season.orchard);
    let at = |text: &str| own.holds(text.parse().unwrap());
    assert!(at("2026-02-14T23:00:00"));
    assert!(at("2026-02-15T05:00:00"));
    assert!(!at("2026-02-14T12:00:00"));
    assert!(!at("2026-02-16T23:00:00"));
    assert_eq!(own.words(), "Sat, Sun, 22:00 to 06:00");
}
