use super::super::air::Air;
use super::super::limits::{Limits, Look, Weight};
use super::super::testing::{air_of, copper, fair, oil, season_with, spray};
use super::*;
use crate::domain::climate::hourly_series::{Hour, Provenance};
use crate::domain::season::{Material, UnitSystem};

/// Noon of the fourth day: with three days before and after known.
const NOON: usize = 3 * 24 + 12;

fn week() -> Vec<Hour> {
    vec![fair(); 8 * 24]
}

fn judge(hours: Vec<Hour>, material: Material) -> (Air, Grid) {
    let id = material.id.as_str().to_owned();
    let season = season_with(vec![material]);
    let air = air_of(hours);
    let limits = Limits::of(&season, &spray("t", &[&id]));
    let grid = Grid::new(&air, limits, 0..air.len());
    (air, grid)
}

fn tags(air: &Air, grid: &Grid, hour: usize) -> Vec<&'static str> {
    grid.reasons(air, hour).iter().map(Reason::tag).collect()
}

#[test]
fn fair_weather_is_fit_by_day_and_unfit_at_night() {
    for material in [oil("oil"), copper("copper")] {
        let (air, grid) = judge(week(), material);
        assert_eq!(
            grid.fit(NOON),
            Some(Fit::Fit),
            "{:?}",
            tags(&air, &grid, NOON)
        );
        assert_eq!(grid.fit(NOON + 12), Some(Fit::Unfit));
        assert!(tags(&air, &grid, NOON + 12).contains(&"dark"));
    }
}

/// What is changed, where, and what must then be said of noon.
type Case = (&'static str, fn(&mut Hour), Range<usize>, Fit, &'static str);

#[test]
fn each_fault_of_the_weather_is_found_and_named() {
    let here = NOON..NOON + 1;
    let cases: Vec<Case> = vec![
        (
            "33 °F now",
            |h| h.temp_c = Some(0.6),
            here.clone(),
            Fit::Unfit,
            "cold",
        ),
        (
            "46 °F now",
            |h| h.temp_c = Some(8.0),
            here.clone(),
            Fit::Doubtful,
            "cold",
        ),
        (
            "72 °F now",
            |h| h.temp_c = Some(22.5),
            here.clone(),
            Fit::Doubtful,
            "warm",
        ),
        (
            "91 °F now",
            |h| h.temp_c = Some(33.0),
            here.clone(),
            Fit::Unfit,
            "warm",
        ),
        (
            "frost 20 h after",
            |h| h.temp_c = Some(-1.0),
            NOON + 20..NOON + 21,
            Fit::Unfit,
            "cold after",
        ),
        (
            "3 °C 20 h after",
            |h| h.temp_c = Some(3.0),
            NOON + 20..NOON + 21,
            Fit::Doubtful,
            "cold after",
        ),
        (
            "frost 40 h after",
            |h| h.temp_c = Some(-1.0),
            NOON + 40..NOON + 41,
            Fit::Doubtful,
            "cold after",
        ),
        (
            "frost 30 h before",
            |h| h.temp_c = Some(-1.0),
            NOON - 30..NOON - 29,
            Fit::Doubtful,
            "frost before",
        ),
        (
            "rain 23 h after",
            |h| h.rain_mm = Some(1.0),
            NOON + 23..NOON + 24,
            Fit::Unfit,
            "rain after",
        ),
        (
            "a trace 5 h after",
            |h| h.rain_mm = Some(0.1),
            NOON + 5..NOON + 6,
            Fit::Doubtful,
            "rain after",
        ),
        (
            "rain an hour before",
            |h| h.rain_mm = Some(3.0),
            NOON - 1..NOON,
            Fit::Unfit,
            "wet bark",
        ),
        (
            "rain likely",
            |h| h.rain_chance_pct = Some(60.0),
            NOON + 3..NOON + 4,
            Fit::Doubtful,
            "rain likely",
        ),
        (
            "12 mph",
            |h| h.wind_ms = Some(5.4),
            here.clone(),
            Fit::Unfit,
            "wind",
        ),
        (
            "gusts",
            |h| h.gust_ms = Some(8.0),
            here.clone(),
            Fit::Unfit,
            "gusts",
        ),
        (
            "calm at noon",
            |h| h.wind_ms = Some(0.5),
            here.clone(),
            Fit::Doubtful,
            "calm",
        ),
        (
            "fog",
            |h| h.rh_pct = Some(96.0),
            here.clone(),
            Fit::Doubtful,
            "wet bark",
        ),
        (
            "humid",
            |h| h.rh_pct = Some(96.0),
            here.clone(),
            Fit::Doubtful,
            "humid",
        ),
        (
            "dry hot air",
            |h| h.rh_pct = Some(8.0),
            here.clone(),
            Fit::Doubtful,
            "dry air",
        ),
        (
            "no wind known",
            |h| h.wind_ms = None,
            here.clone(),
            Fit::Doubtful,
            "not known",
        ),
        (
            "no rain known",
            |h| h.rain_mm = None,
            NOON + 8..NOON + 9,
            Fit::Doubtful,
            "not known",
        ),
        (
            "no temperature known",
            |h| h.temp_c = None,
            NOON + 8..NOON + 9,
            Fit::Doubtful,
            "not known",
        ),
        (
            "a typical year",
            |h| h.provenance = Provenance::Typical,
            here,
            Fit::Doubtful,
            "no forecast",
        ),
    ];
    for (name, change, run, fit, tag) in cases {
        let mut hours = week();
        // Dry air's depression over 10 °C needs warmth.
        if tag == "dry air" {
            hours[NOON].temp_c = Some(20.0);
        }
        hours[run].iter_mut().for_each(change);
        let (air, grid) = judge(hours, oil("oil"));
        assert_eq!(
            grid.fit(NOON),
            Some(fit),
            "{name}: {:?}",
            tags(&air, &grid, NOON)
        );
        assert!(
            tags(&air, &grid, NOON).contains(&tag),
            "{name}: {:?}",
            tags(&air, &grid, NOON)
        );
        let worst = grid.reasons(&air, NOON)[0];
        let words = worst.words(&air, &grid.limits, UnitSystem::Us);
        assert!(words.len() > 8 && !words.contains("NaN"), "{name}: {words}");
    }
}

#[test]
fn copper_wants_a_dry_day_before_and_after() {
    let mut hours = week();
    hours[NOON - 20].rain_mm = Some(1.0);
    let (air, grid) = judge(hours, copper("copper"));
    assert_eq!(
        grid.fit(NOON),
        Some(Fit::Doubtful),
        "{:?}",
        tags(&air, &grid, NOON)
    );
    assert!(tags(&air, &grid, NOON).contains(&"rain before"));
    let mut hours = week();
    hours[NOON + 24].rain_mm = Some(1.0);
    let (air, grid) = judge(hours, copper("copper"));
    assert_eq!(grid.fit(NOON), Some(Fit::Unfit));
    assert_eq!(
        grid.fit(NOON - 1),
        Some(Fit::Fit),
        "{:?}",
        tags(&air, &grid, NOON - 1)
    );
}

#[test]
fn calm_clear_air_at_low_sun_is_unfit_though_the_wind_limit_is_kept() {
    let mut hours = week();
    // 9 February at 47.5° N: the sun rises about half past seven.
    let morning = 3 * 24 + 8;
    hours[morning].wind_ms = Some(0.8);
    hours[morning].cloud_pct = Some(0.0);
    let (air, grid) = judge(hours.clone(), copper("copper"));
    assert_eq!(grid.fit(morning), Some(Fit::Unfit));
    assert!(tags(&air, &grid, morning).contains(&"layered air"));
    hours[morning].cloud_pct = None;
    let (_, grid) = judge(hours, copper("copper"));
    assert_eq!(grid.fit(morning), Some(Fit::Doubtful));
}

#[test]
fn frost_before_a_film_is_dry_stops_any_spray() {
    let mut hours = week();
    for hour in &mut hours[NOON + 1..NOON + 8] {
        hour.temp_c = Some(-0.5);
        hour.rh_pct = Some(99.0);
        hour.wind_ms = Some(1.5);
        hour.cloud_pct = Some(100.0);
    }
    let (air, grid) = judge(hours, copper("copper"));
    assert!(
        tags(&air, &grid, NOON).contains(&"dries late"),
        "{:?}",
        tags(&air, &grid, NOON)
    );
    assert_eq!(grid.fit(NOON), Some(Fit::Unfit));
}

#[test]
fn the_end_of_the_forecast_is_doubtful_not_fit() {
    let (air, grid) = judge(week(), oil("oil"));
    let last_noon = 7 * 24 + 12;
    assert_eq!(grid.fit(last_noon), Some(Fit::Doubtful));
    assert_eq!(tags(&air, &grid, last_noon), ["not known", "not known"]);
}

#[test]
fn own_time_is_kept_on_the_orchards_clock() {
    let mut season = season_with(vec![copper("copper")]);
    season.orchard.work_days = vec!["sat".into()];
    season.orchard.work_hours = Some([9, 13]);
    let air = air_of(week());
    let grid = Grid::new(
        &air,
        Limits::of(&season, &spray("t", &["copper"])),
        0..air.len(),
    );
    // 9 February 2026 is a Monday, so Saturday is the sixth day.
    let fits: Vec<usize> = grid
        .hours()
        .filter(|&h| grid.fit(h) == Some(Fit::Fit))
        .collect();
    assert_eq!(fits, [5 * 24 + 9, 5 * 24 + 10, 5 * 24 + 11, 5 * 24 + 12]);
    assert_eq!(air.local(fits[0]).to_string(), "2026-02-14 09:00:00");
}

#[test]
fn days_of_the_grid_lie_on_the_clock() {
    let (air, grid) = judge(week(), oil("oil"));
    assert_eq!(grid.dates(&air).len(), 8);
    let day = grid.day(&air, "2026-02-12".parse().unwrap());
    assert_eq!(day[12], Some(NOON));
    assert!(
        grid.day(&air, "2027-02-12".parse().unwrap())
            .iter()
            .all(Option::is_none)
    );
    assert_eq!(grid.fit(100_000), None);
    assert!(grid.reasons(&air, 100_000).is_empty());
}

#[test]
fn every_limit_that_can_be_missed_is_at_least_looked_at_once() {
    // No look panics or invents a value where nothing at all is known.
    let (air, grid) = judge(vec![Hour::default(); 48], oil("oil"));
    for hour in grid.hours() {
        for reason in grid.raw_reasons(&air, hour) {
            let allowed = matches!(reason.finding, Finding::Unknown(_))
                || matches!(reason.limit.look, Look::Dark);
            assert!(allowed, "{reason:?}");
            assert!(reason.weight >= Weight::Doubt);
        }
        assert!(grid.fit(hour) != Some(Fit::Fit));
    }
}
