//! The weather of a season: the files it names, read and joined.

use super::weather::{self, ImportError, ImportOptions, ImportReport};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::daily_weather::DailyWeather;
use crate::domain::climate::weather::Weather;
use crate::domain::season::Season;
use std::fs::{self, File};
use std::io::Write;
use std::path::{Component, Path, PathBuf};
use thiserror::Error;

/// Why the weather of a season cannot be had.
#[derive(Debug, Error)]
pub enum SeasonWeatherError {
    /// A file cannot be opened or written.
    #[error("{path}: {problem}; check the name in [weather] of the season file")]
    Io {
        /// Which file.
        path: String,
        /// What the system says.
        problem: std::io::Error,
    },
    /// A file's content is wrong.
    #[error(transparent)]
    Import(#[from] ImportError),
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
    {
        Ok(folder.join(path))
    } else {
        Err(SeasonWeatherError::Outside {
            path: weather::shown(name.as_bytes()),
        })
    }
}

fn read_days(
    path: &Path,
    options: &ImportOptions,
) -> Result<(DailyWeather, ImportReport), SeasonWeatherError> {
    let name = path.display().to_string();
    let input = File::open(path).map_err(|problem| SeasonWeatherError::Io {
        path: name.clone(),
        problem,
    })?;
    let read = weather::read_daily(input, &name, options)?;
    Ok((read.data, read.report))
}

/// Reads every daily file a season names. Files named later are joined into the
/// earlier ones and win where both have a day.
///
/// # Errors
/// Where a file is missing, wrong, or outside the season's folder.
pub fn load(season: &Season, folder: &Path) -> Result<Weather, SeasonWeatherError> {
    let options = ImportOptions::default();
    let daily = joined(season, &season.weather.daily, folder, &options)?;
    let forecast = joined(season, &season.weather.forecast, folder, &options)?;
    Ok(Weather {
        daily,
        forecast,
        hourly: None,
    })
}

fn joined(
    season: &Season,
    names: &[String],
    folder: &Path,
    options: &ImportOptions,
) -> Result<Option<DailySeries>, SeasonWeatherError> {
    let mut all: Option<DailySeries> = None;
    for name in names {
        let (days, _) = read_days(&inside(season, folder, name)?, options)?;
        let days = days.into_temperatures();
        match &mut all {
            Some(earlier) => earlier.merge(&days),
            None => all = Some(days),
        }
    }
    Ok(all)
}

/// A weather file brought into a season.
#[derive(Debug)]
pub struct Added {
    /// The season that names it.
    pub season: Season,
    /// The account of the import.
    pub report: ImportReport,
    /// The name it is kept under.
    pub kept_as: String,
}

/// Packs a daily file's days next to the season and gives the season that names it.
/// A file of the same name brought in before is replaced by the newer.
///
/// # Errors
/// Where the file is missing or wrong, or the packed days cannot be written.
pub fn add(
    season: &Season,
    folder: &Path,
    file: &Path,
    options: &ImportOptions,
) -> Result<Added, SeasonWeatherError> {
    let (days, report) = read_days(file, options)?;
    let stem = file
        .file_stem()
        .map_or_else(|| "weather".into(), |s| s.to_string_lossy().into_owned());
    let clean: String = stem
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || c == '-' {
                c
            } else {
                '-'
            }
        })
        .collect();
    let kept_as = format!("{clean}.days");
    let path = folder.join(&kept_as);
    let io = |problem| SeasonWeatherError::Io {
        path: path.display().to_string(),
        problem,
    };
    fs::create_dir_all(folder).map_err(io)?;
    let mut packed = tempfile::NamedTempFile::new_in(folder).map_err(io)?;
    packed
        .write_all(&weather::history::encode(&days))
        .map_err(io)?;
    packed.as_file().sync_all().map_err(io)?;
    packed.persist(&path).map_err(|e| io(e.error))?;
    let mut after = season.clone();
    if !after.weather.daily.contains(&kept_as) {
        after.weather.daily.push(kept_as.clone());
    }
    Ok(Added {
        season: after,
        report,
        kept_as,
    })
}
