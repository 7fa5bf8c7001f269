//! Which column of an hourly CSV holds what.

use super::header::{is_rain, rain_unit, take_scale, wind_unit, words};
use crate::domain::climate::temperature::TemperatureScale;

/// What a column of an hourly file holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum HourlyHeader {
    /// Time in UTC unless the cell names an offset.
    Utc,
    /// Time that must name its offset.
    Time,
    /// Temperature, with the scale if the name tells it.
    Temp(Option<TemperatureScale>),
    /// Dew point, with the scale if the name tells it.
    Dew(Option<TemperatureScale>),
    Rh,
    /// Wind, with metres a second per unit.
    Wind(f64),
    /// Gusts, with metres a second per unit.
    Gust(f64),
    WindDirection,
    /// Rain, with millimetres per unit.
    Rain(f64),
    /// Chance of rain, %.
    RainChance,
    /// Sky covered by cloud, %.
    Cloud,
}

/// Whether a column name is that of a time of day with its date.
pub(super) fn is_time(name: &str) -> bool {
    matches!(
        recognise(name.as_bytes()),
        Some(HourlyHeader::Utc | HourlyHeader::Time)
    )
}

/// What a column holds, from its name; `None` if it is not recognised.
pub(super) fn recognise(name: &[u8]) -> Option<HourlyHeader> {
    let mut words = words(name);
    match words
        .iter()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .as_slice()
    {
        ["utc"] | ["time" | "datetime" | "timestamp", "utc"] | ["utc", "time"] => {
            return Some(HourlyHeader::Utc);
        }
        ["time" | "datetime" | "timestamp" | "local"] | ["local", "time"] => {
            return Some(HourlyHeader::Time);
        }
        ["rh" | "humidity", ..] | ["relative", "humidity", ..] => return Some(HourlyHeader::Rh),
        ["wind", "dir" | "direction", ..] | ["winddir" | "wdir", ..] => {
            return Some(HourlyHeader::WindDirection);
        }
        ["rain" | "precip", "chance" | "probability", ..] => return Some(HourlyHeader::RainChance),
        ["cloud" | "clouds" | "cloudiness", ..] => return Some(HourlyHeader::Cloud),
        ["gust" | "gusts", ..] | ["wind", "gust" | "gusts", ..] => {
            return wind_unit(&words).map(HourlyHeader::Gust);
        }
        ["wind" | "windspeed" | "wspd", ..] => return wind_unit(&words).map(HourlyHeader::Wind),
        _ if is_rain(&words) => return rain_unit(&words).map(HourlyHeader::Rain),
        _ => {}
    }
    let scale = take_scale(&mut words);
    match words
        .iter()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .as_slice()
    {
        ["temp" | "temperature" | "t"] | ["air", "temp" | "temperature"] => {
            Some(HourlyHeader::Temp(scale))
        }
        ["dew" | "dewp" | "dewpoint"] | ["dew", "point"] => Some(HourlyHeader::Dew(scale)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::climate::temperature::TemperatureScale::{Celsius, Fahrenheit};

    #[test]
    fn names_in_common_use() {
        for (name, expected) in [
            ("utc", Some(HourlyHeader::Utc)),
            ("local", Some(HourlyHeader::Time)),
            ("temp_c", Some(HourlyHeader::Temp(Some(Celsius)))),
            ("Dew point (°F)", Some(HourlyHeader::Dew(Some(Fahrenheit)))),
            ("dewp_c", Some(HourlyHeader::Dew(Some(Celsius)))),
            ("rh_pct", Some(HourlyHeader::Rh)),
            ("wind_ms", Some(HourlyHeader::Wind(1.0))),
            ("gust_ms", Some(HourlyHeader::Gust(1.0))),
            ("wind_dir_deg", Some(HourlyHeader::WindDirection)),
            ("precip_mm", Some(HourlyHeader::Rain(1.0))),
            ("rain_chance_pct", Some(HourlyHeader::RainChance)),
            ("cloud_pct", Some(HourlyHeader::Cloud)),
            ("pressure_hpa", None),
            ("wind", None),
        ] {
            assert_eq!(recognise(name.as_bytes()), expected, "{name}");
        }
    }
}
