//! The weather of a season: the files it names, read and joined.

mod add;
pub mod check;
pub mod correct;
mod history;
mod hours;
mod list;

pub use add::{AddOptions, Added, Seen, add, see};
pub use history::{Kept, has_history, keep_history};
pub use hours::{Hours, load as load_hours};
pub use list::{Listed, list, remove, undo};

use super::forecast::ForecastError;
use super::forecast::fetch::Fetched;
use super::practice;
use super::weather::any::Refused;
use super::weather::{self, ImportError, ImportOptions, ImportReport};
use super::whole;
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::daily_weather::{DailyColumn, DailyWeather};
use crate::domain::climate::weather::Weather;
use crate::domain::season::Season;
use chrono::NaiveDate;
use std::collections::BTreeMap;
use std::path::{Component, Path, PathBuf};
use thiserror::Error;

/// Why the weather of a season cannot be had.
#[derive(Debug, Error)]
pub enum SeasonWeatherError {
    /// A file cannot be opened or written.
    #[error("{path}: {}", what_to_do(problem))]
    Io {
        /// Which file.
        path: String,
        /// What the system says.
        problem: std::io::Error,
    },
    /// A file's content is wrong.
    #[error(transparent)]
    Import(#[from] ImportError),
    /// A forecast's content is wrong.
    #[error("{path}: {problem}; fetch or save the forecast again")]
    Forecast {
        /// Which file.
        path: String,
        /// What is wrong.
        problem: ForecastError,
    },
    /// A table cannot be taken as it is.
    #[error("{0}")]
    Table(Refused),
    /// It may be of another place, or in another unit.
    #[error("{0}")]
    Elsewhere(String),
    /// Nothing of the name is brought in.
    #[error("{0}")]
    NotThere(String),
    /// A name leads out of the season's folder.
    #[error(
        "{path}: weather files live in the season's folder; bring it in with: barewood weather add {path} (or write allow_outside = true under [weather])"
    )]
    Outside {
        /// The name.
        path: String,
    },
}

/// A name from the season file as a path in its folder; names that lead out are
/// refused unless the season says `allow_outside = true`.
fn inside(season: &Season, folder: &Path, name: &str) -> Result<PathBuf, SeasonWeatherError> {
    let path = Path::new(name);
    if season.weather.allow_outside
        || path
            .components()
            .all(|c| matches!(c, Component::Normal(_) | Component::CurDir))
            && stays_inside(folder, path)
    {
        Ok(folder.join(path))
    } else {
        Err(SeasonWeatherError::Outside {
            path: weather::shown(name.as_bytes()),
        })
    }
}

/// A link in the folder may still lead out of it; what is not there is told when it is read.
fn stays_inside(folder: &Path, path: &Path) -> bool {
    let real = |path: &Path| path.canonicalize().ok();
    match (real(folder), real(&folder.join(path))) {
        (Some(folder), Some(file)) => file.starts_with(folder),
        _ => true,
    }
}

fn read_days(
    path: &Path,
    options: &ImportOptions,
) -> Result<(DailyWeather, ImportReport), SeasonWeatherError> {
    let name = path.display().to_string();
    let input = whole::open_plain(path).map_err(|problem| SeasonWeatherError::Io {
        path: name.clone(),
        problem,
    })?;
    let read = weather::read_daily(input, &name, options)?;
    Ok((read.data, read.report))
}

/// The days of one file outside any season.
///
/// # Errors
/// Where it is missing or wrong.
pub fn days_of(file: &Path) -> Result<DailySeries, SeasonWeatherError> {
    add::days_alone(file)
}

/// Reads every weather file a season names, and joins in the forecast fetched last. Files named
/// later are joined into the earlier ones and win where both have a day or an hour; observed
/// beats forecast whatever the order. A file that is missing, wrong or outside the season's folder
/// costs its data and a line in `lost`, nothing else: the rest of the season needs no weather.
pub fn load(season: &Season, folder: &Path, fetched: Option<Fetched>) -> Weather {
    let days = load_days(season, folder);
    hours::load(season, folder, fetched).join_into(days, season.orchard.time_zone)
}

/// What the system says of a file, and what to do about it.
fn what_to_do(problem: &std::io::Error) -> String {
    match problem.kind() {
        std::io::ErrorKind::NotFound => {
            "there is no such file; look for a slip in the name, or write the whole path".to_owned()
        }
        std::io::ErrorKind::IsADirectory => {
            "this is a folder; name the files in it, for instance with *.csv".to_owned()
        }
        std::io::ErrorKind::PermissionDenied => {
            format!("{problem}; copy it to a place of your own, or ask whose it is")
        }
        _ => format!("{problem}; try again, or with a copy of the file"),
    }
}

/// What to say of a file that a season names and that cannot be had.
fn lost(name: &str, fault: &SeasonWeatherError) -> String {
    let name = weather::shown(name.as_bytes());
    match fault {
        SeasonWeatherError::Io { problem, .. }
            if problem.kind() == std::io::ErrorKind::NotFound =>
        {
            format!(
                "weather file {name} is missing: put it back beside the season, or add another (weather add)"
            )
        }
        SeasonWeatherError::Outside { .. } => fault.to_string(),
        _ => format!("weather file {name} cannot be read and is left out: {fault}"),
    }
}

/// The daily files alone: what the first screen needs.
pub fn load_days(season: &Season, folder: &Path) -> Weather {
    let mut lost_files = Vec::new();
    let mut rain_mm = BTreeMap::new();
    let daily = joined(
        season,
        folder,
        &season.weather.daily,
        &mut lost_files,
        &mut rain_mm,
    );
    // Forecasts of hours, and what is wrong with files, are the business of those who read hours.
    let of_days = |name: &&String| {
        inside(season, folder, name)
            .and_then(|path| hours::kind_of(&path))
            .is_ok_and(|kind| kind == hours::Kind::Days)
    };
    let names: Vec<String> = season
        .weather
        .forecast
        .iter()
        .filter(of_days)
        .cloned()
        .collect();
    // Rain to come is no rain yet.
    let mut to_come = BTreeMap::new();
    let forecast = joined(season, folder, &names, &mut lost_files, &mut to_come);
    Weather {
        daily,
        forecast,
        rain_mm,
        lost: lost_files,
        ..Weather::default()
    }
}

fn joined(
    season: &Season,
    folder: &Path,
    names: &[String],
    lost_files: &mut Vec<String>,
    rain_mm: &mut BTreeMap<NaiveDate, f32>,
) -> Option<DailySeries> {
    let mut all: Option<DailySeries> = None;
    for name in names {
        let days = match days_named(season, folder, name) {
            Ok(days) => {
                take_rain(season, &days, rain_mm);
                days.into_temperatures()
            }
            Err(fault) => {
                lost_files.push(lost(name, &fault));
                continue;
            }
        };
        match &mut all {
            Some(earlier) => earlier.merge(&days),
            None => all = Some(days),
        }
    }
    all
}

fn days_named(
    season: &Season,
    folder: &Path,
    name: &str,
) -> Result<DailyWeather, SeasonWeatherError> {
    let path = inside(season, folder, name)?;
    if is_built_in(season, &path, name) {
        return Ok(DailyWeather::new(practice::weather()));
    }
    Ok(read_days(&path, &ImportOptions::default())?.0)
}

/// The rain of this season's days: of decades nobody asks.
fn take_rain(season: &Season, days: &DailyWeather, rain_mm: &mut BTreeMap<NaiveDate, f32>) {
    let column = days.column(DailyColumn::RainMm);
    let first = days.temperatures().first();
    let from = usize::try_from((season.starts() - first).num_days()).unwrap_or(0);
    for (at, mm) in column.iter().enumerate().skip(from) {
        if let Some(day) = days.temperatures().date_at(at).filter(|_| mm.is_finite()) {
            rain_mm.insert(day, *mm);
        }
    }
}

/// The practice season's weather is invented by the program: its season file opens without it.
fn is_built_in(season: &Season, path: &Path, name: &str) -> bool {
    let known = name == practice::WEATHER_NAME || practice::HOURS_NAMES.contains(&name);
    season.practice && known && !path.exists()
}

#[cfg(test)]
mod tests;
