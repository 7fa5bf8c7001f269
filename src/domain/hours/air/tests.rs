use super::*;
use crate::domain::climate::hourly_series::Hour;

fn seattle() -> Site {
    Site {
        latitude: 47.45,
        longitude: -122.31,
        elevation_m: 130.0,
        zone: "America/Los_Angeles".parse().unwrap(),
    }
}

#[test]
fn days_are_those_of_the_orchards_clock_also_when_it_changes() {
    let first = "2015-03-07T08:00:00Z".parse().unwrap();
    let series = HourlySeries::new(first, vec![Hour::default(); 72]);
    let air = Air::new(series, seattle(), Settings::default());
    let day = |text: &str| air.day(text.parse().unwrap()).len();
    assert_eq!(day("2015-03-07"), 24);
    assert_eq!(day("2015-03-08"), 23);
    assert_eq!(day("2015-03-09"), 24);
    assert_eq!(day("2016-01-01"), 0);
    assert_eq!(air.local(26).to_string(), "2015-03-08 03:00:00");
}

#[test]
fn nothing_known_stays_unknown_throughout() {
    let first = "2015-02-07T08:00:00Z".parse().unwrap();
    let air = Air::new(
        HourlySeries::new(first, vec![Hour::default(); 24]),
        seattle(),
        Settings::default(),
    );
    assert_eq!(air.depression_c(3), None);
    assert_eq!(air.bark(3), Bark::Unknown);
    assert_eq!(air.inversion(3), Inversion::Unknown);
    assert_eq!(air.rain_over(&(0..30)), (0.0, 30));
    assert_eq!(air.coldest(&(0..24)), (None, 24));
    assert!(!air.evaporation(3).is_known());
    assert!(air.sun_deg(12).unwrap() > 0.0);
}

#[test]
fn an_empty_timeline_is_no_trouble() {
    let air = Air::new(HourlySeries::default(), seattle(), Settings::default());
    assert!(air.is_empty());
    assert!(air.day("2015-02-07".parse().unwrap()).is_empty());
    assert_eq!(air.bark(0), Bark::Unknown);
}
