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

// UC IPM, West Virginia: no oil under 35 °F; each side that a label leaves open keeps its own.
#[test]
fn a_label_with_one_side_keeps_the_published_other_one() {
    let temps = |low: Option<f64>, high: Option<f64>| {
        let mut material = oil("oil");
        material.label.temp_min = low.map(|t| Temperature::new(t, TemperatureUnit::F));
        material.label.temp_max = high.map(|t| Temperature::new(t, TemperatureUnit::F));
        let limits = Limits::of(&season_with(vec![material]), &spray("t", &["oil"]));
        let side = |is: fn(&Look) -> Option<f64>| {
            limits
                .all
                .iter()
                .filter(|l| l.weight == Weight::Stop)
                .find_map(|l| is(&l.look))
        };
        (
            side(|l| match l {
                Look::AirBelow(c) => Some(*c),
                _ => None,
            }),
            side(|l| match l {
                Look::AirAbove(c) => Some(*c),
                _ => None,
            }),
        )
    };
    let f = |f: f64| (f - 32.0) / 1.8;
    for (low, high, cold, warm) in [
        (None, None, 35.0, 90.0),
        (None, Some(100.0), 35.0, 100.0),
        (Some(40.0), None, 40.0, 90.0),
        (Some(30.0), Some(95.0), 30.0, 95.0),
    ] {
        let (c, w) = temps(low, high);
        assert!((c.unwrap() - f(cold)).abs() < 1e-9, "{low:?} {high:?}");
        assert!((w.unwrap() - f(warm)).abs() < 1e-9, "{low:?} {high:?}");
    }
}

// North Dakota State Univ.: 10 mph. A wish of one's own may be stricter and lifts nothing.
#[test]
fn the_orchards_own_wind_tightens_and_never_lifts() {
    for (own, most) in [
        (None, 10.0),
        (Some(7.0), 7.0),
        (Some(10.0), 10.0),
        (Some(25.0), 10.0),
    ] {
        let mut season = season_with(vec![oil("oil")]);
        season.orchard.wind_max = own.map(|v| Speed::new(v, SpeedUnit::Mph));
        let limits = Limits::of(&season, &spray("t", &["oil"]));
        let stops = |is: fn(&Look) -> Option<f64>| -> Vec<f64> {
            limits
                .all
                .iter()
                .filter(|l| l.weight == Weight::Stop)
                .filter_map(|l| is(&l.look))
                .collect()
        };
        let wind = stops(|l| match l {
            Look::WindAbove(ms) => Some(*ms),
            _ => None,
        });
        let gusts = stops(|l| match l {
            Look::GustAbove(ms) => Some(*ms),
            _ => None,
        });
        for found in [wind, gusts] {
            assert_eq!(found.len(), 1, "{own:?}");
            assert!(
                (found[0] - most * 0.447_04).abs() < 1e-9,
                "{own:?} {found:?}"
            );
        }
    }
}

// IPM Institute 2017: no copper within a day of frost once green shows; on closed buds cold
// matters little (Univ. of Vermont 2014).
#[test]
fn copper_on_green_that_was_seen_wants_a_day_without_frost() {
    use crate::domain::hours::testing::{block, copper, date};
    use crate::domain::season::{HowMany, Reading};
    for (bbch, wants) in [(51, false), (53, true), (7, true), (0, false)] {
        let mut season = season_with(vec![copper("copper")]);
        season.blocks = vec![block("b")];
        season.readings = vec![Reading::Buds {
            date: date("2026-02-09"),
            bbch,
            blocks: Vec::new(),
            note: None,
            how_many: HowMany::All,
            photo: None,
        }];
        let limits = Limits::of(&season, &spray("t", &["copper"]));
        let cold = find(&limits, |l| {
            l.weight == Weight::Stop
                && matches!(l.look, Look::ColdAfter { .. } | Look::ColdBefore { .. })
        });
        assert_eq!(cold.len(), if wants { 2 } else { 0 }, "{bbch}");
    }
}
