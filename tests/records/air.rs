//! The air of a record from the weather on file.

use crate::orchard::{day, season, time};
use barewood::domain::climate::daily::DailySeries;
use barewood::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};
use barewood::domain::climate::weather::Weather;
use barewood::domain::records::{Conditions, conditions};
use barewood::domain::season::UnitSystem;

fn hours(provenance: Provenance) -> Weather {
    let hour = |wind_dir_deg: f64| Hour {
        temp_c: Some(8.0),
        rh_pct: Some(61.6),
        wind_ms: Some(2.0),
        wind_dir_deg: Some(wind_dir_deg),
        rain_mm: Some(0.1),
        cloud_pct: Some(90.0),
        provenance,
        ..Hour::default()
    };
    // Winds on both sides of north: their mean is north, not south.
    let list = (0..72).map(|i| hour(if i % 2 == 0 { 350.0 } else { 10.0 }));
    Weather {
        hourly: Some(HourlySeries::new(
            "2027-02-19T00:00:00Z".parse().unwrap(),
            list,
        )),
        ..Weather::default()
    }
}

#[test]
fn measured_hours_are_taken_as_they_are_in_the_orchards_units() {
    let mut orchard = season().orchard;
    orchard.units = UnitSystem::Metric;
    let (from, to) = (time("2027-02-20 09:00"), time("2027-02-20 11:30"));
    let (air, said) = conditions(&hours(Provenance::Observed), &orchard, from, to);
    assert_eq!(said, Some("air from the hours measured"));
    assert_eq!(air.wind.unwrap().to_string(), "2 m/s");
    assert_eq!(air.wind_from.as_deref(), Some("N"));
    assert_eq!(air.temperature.unwrap().to_string(), "8 C");
    assert_eq!(air.humidity_percent, Some(62.0));
    assert_eq!(air.sky.as_deref(), Some("cloudy"));
    assert_eq!(air.rain.as_deref(), Some("2.4 mm in the 24 h before"));
    orchard.units = UnitSystem::Us;
    let (air, said) = conditions(&hours(Provenance::Forecast), &orchard, from, to);
    assert_eq!(said, Some("air from the forecast"));
    // 2 m/s = 4.47 mph; 8 C = 46.4 F.
    assert_eq!(air.wind.unwrap().to_string(), "4 mph");
    assert_eq!(air.temperature.unwrap().to_string(), "46 F");
}

#[test]
fn typical_hours_and_other_days_say_nothing() {
    let orchard = season().orchard;
    let span = |d: &str| (time(&format!("{d} 09:00")), time(&format!("{d} 11:00")));
    let (from, to) = span("2027-02-20");
    let nothing = (Conditions::default(), None);
    assert_eq!(
        conditions(&hours(Provenance::Typical), &orchard, from, to),
        nothing
    );
    let (from, to) = span("2027-03-20");
    assert_eq!(
        conditions(&hours(Provenance::Observed), &orchard, from, to),
        nothing
    );
    assert_eq!(conditions(&Weather::default(), &orchard, from, to), nothing);
}

#[test]
fn from_the_days_extremes_only_a_temperature_is_reckoned_and_said_to_be() {
    let mut orchard = season().orchard;
    orchard.units = UnitSystem::Metric;
    let days = DailySeries::new(day("2027-02-19"), vec![-2.0; 3], vec![10.0; 3]).unwrap();
    let weather = Weather {
        daily: Some(days),
        ..Weather::default()
    };
    let at = |clock: &str| {
        let at = time(&format!("2027-02-20 {clock}"));
        let (air, said) = conditions(&weather, &orchard, at, at);
        assert_eq!(
            said,
            Some("temperature reckoned from the day's low and high")
        );
        assert_eq!((air.wind, air.humidity_percent), (None, None));
        air.temperature.unwrap().c()
    };
    let (morning, afternoon) = (at("07:00"), at("15:00"));
    assert!((-2.0..=2.0).contains(&morning), "{morning}");
    assert!((8.0..=10.0).contains(&afternoon), "{afternoon}");
}
