//! The practice season: built in, invented, and said to be. It opens where
//! there is no season yet; nothing of it is written until its user says so.

mod hours;
mod weather;

pub use hours::{hours, hours_csv};
pub use weather::{weather, weather_csv};

use super::season_file::{Loaded, Problems, read};
use crate::domain::climate::weather::Weather;
use crate::domain::zone::Zone;
use chrono::NaiveDate;

/// The season's text, with its comments.
pub const SEASON_TEXT: &str = include_str!("../../sample-season.toml");

/// The weather file it names; it is built in.
pub const WEATHER_NAME: &str = "practice.csv";

/// The hourly files it names, measured and forecast; built in as well.
pub const HOURS_NAMES: [&str; 2] = ["practice-hours.csv", "practice-forecast.csv"];

/// Its daily temperatures alone: what the first screen needs.
pub fn daily_weather() -> Weather {
    Weather {
        daily: Some(weather()),
        ..Weather::default()
    }
}

/// Its days with the hours joined in, as they fall in a time zone.
pub fn with_hours(days: Weather, zone: Zone) -> Weather {
    let hours = days.daily.as_ref().map(hours);
    match hours {
        Some(hours) => days.with_hours(hours, zone),
        None => days,
    }
}

/// All of its weather, days and hours, by the clock of the place.
pub fn whole_weather(zone: Zone) -> Weather {
    with_hours(daily_weather(), zone)
}

/// The day it opens on unless another is asked for: late winter, with the
/// critical sprays still ahead.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 2, 8).unwrap_or_default()
}

/// Reads the practice season.
///
/// # Errors
/// None in a program whose tests pass.
pub fn season() -> Result<Loaded, Problems> {
    read(SEASON_TEXT, "practice season")
}
