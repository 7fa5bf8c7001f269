//! What each format says is read, in the right unit and hour; what cannot be used is told.

use barewood::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};
use barewood::store::forecast::{Forecast, ForecastError, read};
use serde_json::{Value, json};

pub const GRIDPOINT: &str = include_str!("../data/forecast/gridpoint.json");
pub const TIMESERIES: &str = include_str!("../data/forecast/timeseries.json");

fn at(series: &HourlySeries, time: &str) -> Hour {
    series
        .at(time.parse().unwrap())
        .unwrap_or_else(|| panic!("{time} is not covered"))
}

fn changed(sample: &str, change: impl FnOnce(&mut Value)) -> Result<Forecast, ForecastError> {
    let mut value: Value = serde_json::from_str(sample).unwrap();
    change(&mut value);
    read(value.to_string().as_bytes())
}

#[test]
fn grid_point_layers_are_spread_over_their_intervals() {
    let forecast = read(GRIDPOINT.as_bytes()).unwrap();
    assert_eq!(
        forecast.issued,
        Some("2026-02-10T05:31:00Z".parse().unwrap())
    );
    assert!(forecast.skipped.is_empty(), "{:?}", forecast.skipped);
    let s = &forecast.series;
    assert_eq!(
        (s.first().to_string().as_str(), s.len()),
        ("2026-02-10 06:00:00 UTC", 30)
    );
    assert!(s.hours().all(|h| h.provenance == Provenance::Forecast));
    let first = at(s, "2026-02-10T06:00:00Z");
    assert_eq!(
        (first.temp_c, first.dew_c, first.rh_pct),
        (Some(4.4), Some(2.2), Some(86.0))
    );
    // 9.26 km/h is five knots, 2.572 m/s.
    assert!((first.wind_ms.unwrap() - 2.572).abs() < 1e-3);
    assert_eq!(
        (first.gust_ms, first.cloud_pct, first.rain_chance_pct),
        (None, Some(78.0), Some(20.0))
    );
    assert_eq!(at(s, "2026-02-10T08:00:00Z").temp_c, Some(4.4));
    assert_eq!(at(s, "2026-02-10T09:00:00Z").temp_c, Some(3.9));
    assert_eq!(at(s, "2026-02-11T11:00:00Z").temp_c, Some(5.0));
    // "No applicable data" stays unknown; gusts of 36 km/h are 10 m/s.
    assert_eq!(at(s, "2026-02-10T12:00:00Z").rh_pct, None);
    assert!((at(s, "2026-02-10T13:00:00Z").gust_ms.unwrap() - 10.0).abs() < 1e-9);
    // 3 mm in six hours are half a millimetre an hour, and none before.
    assert_eq!(at(s, "2026-02-10T17:00:00Z").rain_mm, Some(0.0));
    assert_eq!(at(s, "2026-02-10T18:00:00Z").rain_mm, Some(0.5));
    let total: f64 = s.hours().filter_map(|h| h.rain_mm).sum();
    assert!((total - 3.0).abs() < 1e-9);
    assert_eq!(at(s, "2026-02-11T02:00:00Z").rain_mm, None);
}

#[test]
fn grid_point_faults_are_told_and_the_rest_is_kept() {
    let forecast = changed(GRIDPOINT, |v| {
        let p = &mut v["properties"];
        p["windSpeed"]["uom"] = json!("wmoUnit:furlong");
        p["relativeHumidity"]["values"][0]["value"] = json!("damp");
        p["dewpoint"]["values"][0]["validTime"] = json!("2026-02-10T06:00:00+00:00/PT");
        p["temperature"]["values"][0]["value"] = json!(4400);
        p.as_object_mut().unwrap().remove("skyCover");
    })
    .unwrap();
    let told = forecast.skipped.join("\n");
    for part in [
        "windSpeed: unit 'wmoUnit:furlong'",
        "relativeHumidity: 1 values that are no numbers",
        "dewpoint: 1 intervals",
        "temperature: 1 values outside",
        "no layer skyCover",
    ] {
        assert!(told.contains(part), "{part} in {told}");
    }
    // The series begins where the first usable value stands.
    assert_eq!(
        at(&forecast.series, "2026-02-10T09:00:00Z").temp_c,
        Some(3.9)
    );
    assert_eq!(at(&forecast.series, "2026-02-10T09:00:00Z").wind_ms, None);
}

#[test]
fn fahrenheit_layers_are_converted() {
    let forecast = changed(GRIDPOINT, |v| {
        v["properties"]["temperature"] = json!({"uom": "wmoUnit:degF", "values": [
            {"validTime": "2026-02-10T06:00:00+00:00/PT3H", "value": 41}]});
    })
    .unwrap();
    assert!((at(&forecast.series, "2026-02-10T06:00:00Z").temp_c.unwrap() - 5.0).abs() < 1e-9);
}

#[test]
fn a_time_series_is_read_with_its_finest_amounts() {
    let forecast = read(TIMESERIES.as_bytes()).unwrap();
    assert!(forecast.skipped.is_empty(), "{:?}", forecast.skipped);
    assert!(forecast.credit.contains("CC BY 4.0"));
    let s = &forecast.series;
    let first = at(s, "2026-02-10T06:00:00Z");
    assert_eq!(
        (first.temp_c, first.dew_c, first.rh_pct),
        (Some(3.2), Some(0.5), Some(82.6))
    );
    assert_eq!(
        (first.wind_ms, first.gust_ms, first.wind_dir_deg),
        (Some(2.5), Some(6.6), Some(151.8))
    );
    assert_eq!(
        (first.rain_mm, first.rain_chance_pct, first.cloud_pct),
        (Some(0.0), Some(3.1), Some(58.0))
    );
    assert_eq!(at(s, "2026-02-10T07:00:00Z").rain_mm, Some(0.4));
    // Six hours apart: a straight line for values, an even spread for the 6 mm.
    let between = at(s, "2026-02-10T11:00:00Z");
    assert_eq!(
        (between.temp_c, between.rain_mm, between.wind_dir_deg),
        (Some(7.5), Some(1.0), None)
    );
    assert_eq!(at(s, "2026-02-10T13:00:00Z").rain_mm, Some(1.0));
    assert_eq!(at(s, "2026-02-10T14:00:00Z").temp_c, Some(9.0));
    assert_eq!(s.len(), 9);
    let total: f64 = s.hours().filter_map(|h| h.rain_mm).sum();
    assert!((total - 6.4).abs() < 1e-9, "{total}");
}

#[test]
fn a_time_series_with_other_units_is_converted_or_skipped() {
    let forecast = changed(TIMESERIES, |v| {
        let units = &mut v["properties"]["meta"]["units"];
        units["air_temperature"] = json!("kelvin");
        units["wind_speed"] = json!("leagues");
        for step in v["properties"]["timeseries"].as_array_mut().unwrap() {
            let t = step["data"]["instant"]["details"]["air_temperature"]
                .as_f64()
                .unwrap();
            step["data"]["instant"]["details"]["air_temperature"] = json!(t + 273.15);
        }
        v["properties"]["timeseries"][1]["time"] = json!("seven o'clock");
    })
    .unwrap();
    assert!((at(&forecast.series, "2026-02-10T08:00:00Z").temp_c.unwrap() - 6.0).abs() < 1e-9);
    let told = forecast.skipped.join("\n");
    assert!(
        told.contains("wind_speed: unit 'leagues'") && told.contains("1 steps without"),
        "{told}"
    );
}

#[test]
fn steps_out_of_order_make_the_same_forecast() {
    let turned = changed(TIMESERIES, |v| {
        v["properties"]["timeseries"]
            .as_array_mut()
            .unwrap()
            .reverse();
    })
    .unwrap();
    assert_eq!(turned, read(TIMESERIES.as_bytes()).unwrap());
}

#[test]
fn what_is_no_forecast_is_refused_with_its_reason() {
    assert!(matches!(read(b""), Err(ForecastError::NotJson(_))));
    assert!(matches!(read(b"<html>"), Err(ForecastError::NotJson(_))));
    assert!(matches!(
        read(&GRIDPOINT.as_bytes()[..900]),
        Err(ForecastError::NotJson(_))
    ));
    assert_eq!(read(b"{}"), Err(ForecastError::UnknownFormat));
    assert_eq!(read(b"[1, 2]"), Err(ForecastError::UnknownFormat));
    assert!(matches!(
        read(br#"{"properties":{"timeseries":[]}}"#),
        Err(ForecastError::Empty(_))
    ));
    assert_eq!(
        read(&vec![b' '; (16 << 20) + 1]),
        Err(ForecastError::TooLarge)
    );
    let deep = "[".repeat(100_000);
    assert!(matches!(
        read(deep.as_bytes()),
        Err(ForecastError::NotJson(_))
    ));
}

#[test]
fn a_forecast_over_centuries_is_cut_not_allocated() {
    let forecast = changed(GRIDPOINT, |v| {
        v["properties"]["temperature"]["values"][2]["validTime"] =
            json!("9000-02-10T06:00:00+00:00/P7D");
    })
    .unwrap();
    assert!(forecast.series.len() <= 40 * 24);
    assert!(
        forecast.skipped.iter().any(|s| s.contains("forty days")),
        "{:?}",
        forecast.skipped
    );
}
