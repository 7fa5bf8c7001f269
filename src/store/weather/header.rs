//! Which column of a daily CSV holds what: names in common use, with their units.

use crate::domain::climate::temperature::TemperatureScale::{self, Celsius, Fahrenheit};

/// What a column of a daily file holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum DailyHeader {
    Date,
    Year,
    Month,
    Day,
    /// Minimum, with the scale if the name tells it.
    Tmin(Option<TemperatureScale>),
    /// Maximum, with the scale if the name tells it.
    Tmax(Option<TemperatureScale>),
    /// Rain, with millimetres per unit.
    Rain(f64),
    /// Wind, with metres a second per unit.
    Wind(f64),
    Rh,
    Station,
}

/// The name in lower-case words: "Min Temp (°F)" becomes min, temp, f.
pub(super) fn words(name: &[u8]) -> Vec<String> {
    let name = String::from_utf8_lossy(name.get(..100).unwrap_or(name)).to_ascii_lowercase();
    name.split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_string)
        .collect()
}

/// Takes a temperature unit off the end of the words.
pub(super) fn take_scale(words: &mut Vec<String>) -> Option<TemperatureScale> {
    let scale = match words.last().map(String::as_str) {
        Some("c" | "degc" | "celsius" | "centigrade") => Celsius,
        Some("f" | "degf" | "fahrenheit") => Fahrenheit,
        _ => return None,
    };
    words.pop();
    if words
        .last()
        .is_some_and(|word| matches!(word.as_str(), "deg" | "degree" | "degrees"))
    {
        words.pop();
    }
    Some(scale)
}

/// Millimetres in the unit named at the end of the words.
pub(super) fn rain_unit(words: &[String]) -> Option<f64> {
    match words.last().map(String::as_str)? {
        "mm" => Some(1.0),
        "cm" => Some(10.0),
        "in" | "inch" | "inches" => Some(25.4),
        _ => None,
    }
}

/// Metres a second in the unit named at the end of the words.
pub(super) fn wind_unit(words: &[String]) -> Option<f64> {
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        [.., "ms" | "mps"] | [.., "m", "s" | "s1"] => Some(1.0),
        [.., "kmh" | "kph"] | [.., "km", "h"] => Some(1.0 / 3.6),
        [.., "mph"] | [.., "mi", "h"] => Some(0.447_04),
        [.., "kn" | "kt" | "knots"] => Some(1852.0 / 3600.0),
        _ => None,
    }
}

/// Whether the words speak of rain.
pub(super) fn is_rain(words: &[String]) -> bool {
    words.first().is_some_and(|word| {
        matches!(
            word.as_str(),
            "rain" | "rainfall" | "prec" | "precip" | "precipitation" | "prcp"
        )
    })
}

/// What a column holds, from its name; `None` if it is not recognised.
pub(super) fn recognise(name: &[u8]) -> Option<DailyHeader> {
    let mut words = words(name);
    match words
        .iter()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .as_slice()
    {
        ["date" | "yyyymmdd"] | ["obs", "date"] => return Some(DailyHeader::Date),
        ["year" | "yr"] => return Some(DailyHeader::Year),
        ["month" | "mo"] => return Some(DailyHeader::Month),
        ["day" | "dy"] => return Some(DailyHeader::Day),
        ["station"] | ["station", "id"] => return Some(DailyHeader::Station),
        ["rh" | "humidity", ..] | ["relative", "humidity", ..] => return Some(DailyHeader::Rh),
        ["wind" | "windspeed", ..] => return wind_unit(&words).map(DailyHeader::Wind),
        _ if is_rain(&words) => return rain_unit(&words).map(DailyHeader::Rain),
        _ => {}
    }
    let scale = take_scale(&mut words);
    words.retain(|word| {
        !matches!(
            word.as_str(),
            "air" | "daily" | "t" | "temp" | "temperature"
        )
    });
    let (low, high) = (DailyHeader::Tmin(scale), DailyHeader::Tmax(scale));
    match words.as_slice() {
        [one] => match one.as_str() {
            "tmin" | "min" | "minimum" | "mintemp" | "tempmin" | "tmn" | "tn" | "tasmin"
            | "low" => Some(low),
            "tmax" | "max" | "maximum" | "maxtemp" | "tempmax" | "tmx" | "tx" | "tasmax"
            | "high" => Some(high),
            _ => None,
        },
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_common_use() {
        for (name, expected) in [
            ("date", Some(DailyHeader::Date)),
            ("DATE", Some(DailyHeader::Date)),
            ("tmin_c", Some(DailyHeader::Tmin(Some(Celsius)))),
            ("TMAX", Some(DailyHeader::Tmax(None))),
            ("Min Temp (°F)", Some(DailyHeader::Tmin(Some(Fahrenheit)))),
            (
                "max temperature [deg C]",
                Some(DailyHeader::Tmax(Some(Celsius))),
            ),
            ("temp_max", Some(DailyHeader::Tmax(None))),
            ("high_f", Some(DailyHeader::Tmax(Some(Fahrenheit)))),
            ("Minimum", Some(DailyHeader::Tmin(None))),
            ("prec_mm", Some(DailyHeader::Rain(1.0))),
            ("Rain (in)", Some(DailyHeader::Rain(25.4))),
            ("rain", None),
            ("wind_ms", Some(DailyHeader::Wind(1.0))),
            ("wind (m/s)", Some(DailyHeader::Wind(1.0))),
            ("wind km/h", Some(DailyHeader::Wind(1.0 / 3.6))),
            ("rh_pct", Some(DailyHeader::Rh)),
            ("weather", None),
            ("tmean_c", None),
            ("", None),
        ] {
            assert_eq!(recognise(name.as_bytes()), expected, "{name}");
        }
    }
}
