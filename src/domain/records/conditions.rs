//! The air while spraying, from the weather on file.

use super::Conditions;
use crate::domain::climate::hourly_series::{Hour, Provenance};
use crate::domain::climate::hours::{Extremes, HourlyShape};
use crate::domain::climate::weather::Weather;
use crate::domain::hours::weather::HourWeather;
use crate::domain::season::{Orchard, UnitSystem};
use crate::domain::units::{Speed, SpeedUnit, Temperature, TemperatureUnit};
use chrono::{Datelike, NaiveDate, NaiveDateTime, TimeDelta, TimeZone, Timelike, Utc};

/// Rain is looked for this long before the spray.
const RAIN_BEFORE_HOURS: i64 = 24;
/// The sixteen winds, from north through east.
const WINDS: [&str; 16] = [
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW",
    "NNW",
];

/// Said where the temperature is none that was read: an offer, to be confirmed before it is kept.
pub const RECKONED: &str = "temperature reckoned from the day's low and high";

/// The air between two local times, in the orchard's units, and where it comes
/// from. Hours measured or forecast are taken as they are; without any, the
/// temperature is reckoned from the day's low and high and said to be. What is
/// not known stays absent: the grower writes what was read in the orchard.
pub fn conditions(
    weather: &Weather,
    orchard: &Orchard,
    from: NaiveDateTime,
    to: NaiveDateTime,
) -> (Conditions, Option<&'static str>) {
    let hours = hours(weather, orchard, from, to);
    if hours.is_empty() {
        let temperature = from_extremes(weather, orchard, from + (to - from) / 2)
            .map(|c| temperature(c, orchard.units));
        let said = temperature.map(|_| RECKONED);
        let known = Conditions {
            temperature,
            ..Conditions::default()
        };
        return (known, said);
    }
    let observed = hours.iter().all(|h| h.provenance == Provenance::Observed);
    let said = if observed {
        "air from the hours measured"
    } else {
        "air from the forecast"
    };
    let air: Vec<HourWeather> = hours.iter().map(HourWeather::from).collect();
    let known = Conditions {
        wind: mean(air.iter().map(|h| h.wind_ms)).map(|ms| wind(ms, orchard.units)),
        wind_from: wind_from(&hours),
        temperature: mean(air.iter().map(|h| h.temp_c)).map(|c| temperature(c, orchard.units)),
        humidity_percent: mean(air.iter().map(|h| h.rh_pct)).map(f64::round),
        sky: mean(air.iter().map(|h| h.cloud_pct)).map(|p| sky(p).to_owned()),
        rain: rain(weather, orchard, from),
    };
    (known, Some(said))
}

/// The known hours a span touches.
fn hours(
    weather: &Weather,
    orchard: &Orchard,
    from: NaiveDateTime,
    to: NaiveDateTime,
) -> Vec<Hour> {
    let Some(series) = &weather.hourly else {
        return Vec::new();
    };
    let steps = (to - from).num_hours().clamp(0, 48);
    (0..=steps)
        .filter_map(|i| {
            let local = from.checked_add_signed(TimeDelta::hours(i))?;
            let at = orchard.time_zone.from_local_datetime(&local).earliest()?;
            series.at(at.with_timezone(&Utc))
        })
        .filter(|h| h.provenance > Provenance::Typical && !h.is_empty())
        .collect()
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let known: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
}

fn wind(ms: f64, units: UnitSystem) -> Speed {
    match units {
        UnitSystem::Us => {
            let mph = Speed::new(ms, SpeedUnit::Ms).to(SpeedUnit::Mph).value;
            Speed::new(mph.round(), SpeedUnit::Mph)
        }
        UnitSystem::Metric => Speed::new((ms * 10.0).round() / 10.0, SpeedUnit::Ms),
    }
}

fn temperature(c: f64, units: UnitSystem) -> Temperature {
    let own = match units {
        UnitSystem::Us => TemperatureUnit::F,
        UnitSystem::Metric => TemperatureUnit::C,
    };
    let there = Temperature::new(c, TemperatureUnit::C).to(own);
    Temperature::new(there.value.round(), own)
}

/// The mean of the directions as arrows, each as long as the wind was strong.
fn wind_from(hours: &[Hour]) -> Option<String> {
    let (mut north, mut east) = (0.0, 0.0);
    for hour in hours {
        if let (Some(deg), Some(ms)) = (hour.wind_dir_deg, hour.wind_ms) {
            north += ms * deg.to_radians().cos();
            east += ms * deg.to_radians().sin();
        }
    }
    if north.hypot(east) < 1e-6 {
        return None;
    }
    let deg = east.atan2(north).to_degrees().rem_euclid(360.0);
    let place = ((deg / 22.5).round() as usize) % WINDS.len();
    WINDS.get(place).map(|w| (*w).to_owned())
}

fn sky(cloud_pct: f64) -> &'static str {
    match cloud_pct {
        p if p < 25.0 => "clear or nearly so",
        p if p < 75.0 => "partly cloudy",
        _ => "cloudy",
    }
}

fn rain(weather: &Weather, orchard: &Orchard, from: NaiveDateTime) -> Option<String> {
    let before = from.checked_sub_signed(TimeDelta::hours(RAIN_BEFORE_HOURS))?;
    let known: Vec<f64> = hours(weather, orchard, before, from - TimeDelta::hours(1))
        .iter()
        .filter_map(|h| h.rain_mm)
        .collect();
    // A day with gaps says nothing sure.
    if known.len() < RAIN_BEFORE_HOURS as usize {
        return None;
    }
    let mm: f64 = known.iter().sum();
    Some(match orchard.units {
        UnitSystem::Us => format!("{:.2} in in the 24 h before", mm / 25.4),
        UnitSystem::Metric => format!("{mm:.1} mm in the 24 h before"),
    })
}

/// The temperature of an hour by the usual curve between the day's extremes.
fn from_extremes(weather: &Weather, orchard: &Orchard, at: NaiveDateTime) -> Option<f64> {
    let daily = weather.daily.as_ref()?;
    let zone = orchard.time_zone.from_local_datetime(&at).earliest()?;
    let solar = zone.with_timezone(&Utc).naive_utc()
        + TimeDelta::seconds((orchard.longitude * 240.0).round() as i64);
    let day = |date: Option<NaiveDate>| {
        let (tmin_c, tmax_c) = daily.day(date?)?;
        Some(Extremes { tmin_c, tmax_c })
    };
    let date = solar.date();
    let curve = HourlyShape::new(orchard.latitude).day(
        date.ordinal(),
        day(date.pred_opt()),
        day(Some(date))?,
        day(date.succ_opt()),
    );
    curve
        .get(solar.hour() as usize)
        .copied()
        .filter(|t| t.is_finite())
}
