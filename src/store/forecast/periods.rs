//! The hourly forecast of the US national service in words and whole degrees
//! (`/gridpoints/…/forecast/hourly` of its published description): periods of an hour, each with
//! temperature and unit, wind as text, chance of rain, dew point and humidity.

use chrono::{DateTime, TimeDelta};
use serde_json::Value;

use super::grid::{Field, HourGrid, hour_number};
use super::unit::{Quantity, conversion};
use super::{Forecast, time};

/// Metres a second in a mile an hour.
const MPH: f64 = 0.447_04;

pub(super) fn read(properties: &Value) -> Forecast {
    let mut grid = HourGrid::default();
    let mut skipped = Vec::new();
    let (mut long, mut timeless) = (0_usize, 0_usize);
    let periods = properties
        .get("periods")
        .and_then(Value::as_array)
        .map_or(&[][..], Vec::as_slice);
    for period in periods {
        let at = |key: &str| {
            let text = period.get(key)?.as_str()?;
            DateTime::parse_from_rfc3339(text).ok()
        };
        let (Some(start), Some(end)) = (at("startTime"), at("endTime")) else {
            timeless += 1;
            continue;
        };
        if end - start != TimeDelta::hours(1) {
            long += 1;
            continue;
        }
        let hour = hour_number(start.to_utc());
        let mut put = |field: Field, quantity: Quantity, value: Option<f64>| {
            if let Some(value) = value.filter(|v| quantity.possible().contains(v)) {
                grid.put(hour, field, value);
            }
        };
        let measured = |key: &str, quantity: Quantity| {
            let found = period.get(key)?;
            let unit = found.get("unitCode").and_then(Value::as_str)?;
            let (factor, offset) = conversion(quantity, unit)?;
            Some(found.get("value")?.as_f64()? * factor + offset)
        };
        let temperature = match period.get("temperature") {
            Some(Value::Number(n)) => n.as_f64().and_then(|t| {
                match period.get("temperatureUnit").and_then(Value::as_str)? {
                    "F" => Some((t - 32.0) / 1.8),
                    "C" => Some(t),
                    _ => None,
                }
            }),
            _ => measured("temperature", Quantity::Temperature),
        };
        put(Field::Temp, Quantity::Temperature, temperature);
        let dew = measured("dewpoint", Quantity::Temperature);
        put(Field::DewPoint, Quantity::Temperature, dew);
        let humidity = measured("relativeHumidity", Quantity::Percent);
        put(Field::Humidity, Quantity::Percent, humidity);
        let chance = measured("probabilityOfPrecipitation", Quantity::Percent);
        put(Field::RainChance, Quantity::Percent, chance);
        let wind = period.get("windSpeed").and_then(Value::as_str);
        put(Field::Wind, Quantity::Speed, wind.and_then(speed_ms));
        let from = period.get("windDirection").and_then(Value::as_str);
        put(Field::WindFrom, Quantity::Angle, from.and_then(bearing_deg));
    }
    if long > 0 {
        skipped.push(format!(
            "{long} periods longer than an hour: save the hourly forecast (/forecast/hourly) or the layers of the grid point"
        ));
    }
    if timeless > 0 {
        skipped.push(format!("{timeless} periods without a time"));
    }
    Forecast {
        series: grid.series(),
        issued: time(properties.get("updateTime")),
        credit: "US National Weather Service",
        skipped,
        place: None,
    }
}

/// `5 mph`, `5 to 10 mph`: of two the stronger, which is the one that stops a spray.
fn speed_ms(text: &str) -> Option<f64> {
    let unit = match text.rsplit(' ').next()? {
        "mph" => MPH,
        "km/h" => 1.0 / 3.6,
        _ => return None,
    };
    let numbers = text.split(' ').filter_map(|w| w.parse::<f64>().ok());
    numbers
        .filter(|n| n.is_finite())
        .reduce(f64::max)
        .map(|n| n * unit)
}

fn bearing_deg(text: &str) -> Option<f64> {
    const POINTS: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    let place = POINTS.iter().position(|p| *p == text)?;
    Some(place as f64 * 22.5)
}

#[cfg(test)]
mod tests {
    use crate::store::forecast;

    #[test]
    fn hours_in_words_are_read_and_half_days_are_told() {
        let period = |end: &str| {
            format!(
                r#"{{"geometry":{{"type":"Polygon","coordinates":[[[-77.6,43.0],[-77.6,43.2],[-77.4,43.2],[-77.4,43.0],[-77.6,43.0]]]}},
                "properties":{{"updateTime":"2027-02-08T05:00:00+00:00","periods":[{{"startTime":"2027-02-08T06:00:00-05:00","endTime":"{end}",
                "temperature":41,"temperatureUnit":"F","probabilityOfPrecipitation":{{"unitCode":"wmoUnit:percent","value":20}},
                "dewpoint":{{"unitCode":"wmoUnit:degC","value":-1.5}},"relativeHumidity":{{"unitCode":"wmoUnit:percent","value":63}},
                "windSpeed":"5 to 10 mph","windDirection":"SW"}}]}}}}"#
            )
        };
        let read = forecast::read(period("2027-02-08T07:00:00-05:00").as_bytes()).unwrap();
        let hour = read.series.get(0).unwrap();
        assert_eq!(read.series.first().to_string(), "2027-02-08 11:00:00 UTC");
        assert_eq!((hour.temp_c, hour.dew_c), (Some(5.0), Some(-1.5)));
        assert!((hour.wind_ms.unwrap() - 4.4704).abs() < 1e-9);
        assert_eq!(hour.wind_dir_deg, Some(225.0));
        let place = read.place.unwrap();
        assert!((place.latitude - 43.1).abs() < 1e-9 && (place.longitude + 77.5).abs() < 1e-9);
        let long = forecast::read(period("2027-02-08T18:00:00-05:00").as_bytes());
        assert!(long.unwrap_err().to_string().contains("hourly"));
    }
}
