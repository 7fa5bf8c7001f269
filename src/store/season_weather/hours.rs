//! The hours of a season: observed files, forecast files, the forecast fetched last.

use super::add::TYPICAL;
use super::{SeasonWeatherError, inside};
use crate::domain::climate::hourly_series::{HourlySeries, Provenance};
use crate::domain::climate::weather::{self as domain, Weather};
use crate::domain::season::Season;
use crate::domain::zone::Zone;
use crate::store::forecast::fetch::Fetched;
use crate::store::forecast::{self, MOST_BYTES};
use crate::store::practice;
use crate::store::weather::{ImportOptions, format_of, read_hourly};
use crate::store::whole;
use std::io::Read;
use std::path::Path;

/// What a weather file holds, from its beginning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Days,
    Hours,
    /// A public forecast document.
    Forecast,
}

/// Bytes that tell the kind.
const HEAD: u64 = 8192;

/// The first bytes of a file.
pub(super) fn head_of(path: &Path) -> Result<Vec<u8>, SeasonWeatherError> {
    let mut head = Vec::new();
    whole::open_plain(path)
        .and_then(|f| f.take(HEAD).read_to_end(&mut head))
        .map_err(|problem| io(path, problem))?;
    Ok(head)
}

pub(super) fn kind_of(path: &Path) -> Result<Kind, SeasonWeatherError> {
    let head = head_of(path)?;
    let first = head.iter().find(|b| !b.is_ascii_whitespace());
    Ok(if first == Some(&b'{') {
        Kind::Forecast
    } else if format_of(&head).is_hourly() {
        Kind::Hours
    } else {
        Kind::Days
    })
}

/// Hours joined, with where the fetched ones come from.
#[derive(Debug, Clone, Default)]
pub struct Hours {
    /// The hours.
    pub series: HourlySeries,
    /// The forecast fetched last, if its hours are among them.
    pub fetched: Option<domain::Fetched>,
    /// Files that could not be read, a line each.
    pub lost: Vec<String>,
}

impl Hours {
    /// Joins the hours into the days of a season.
    #[must_use]
    pub fn join_into(self, mut days: Weather, zone: Zone) -> Weather {
        days.lost.extend(self.lost);
        if self.series.is_empty() {
            return days;
        }
        Weather {
            fetched: self.fetched,
            ..days.with_hours(self.series, zone)
        }
    }
}

/// Reads every hourly file a season names and joins in the forecast fetched last. What cannot be
/// read is left out and said.
pub fn load(season: &Season, folder: &Path, fetched: Option<Fetched>) -> Hours {
    let mut series = HourlySeries::default();
    let mut lost = Vec::new();
    // Files over sixty years apart are not of one orchard; the later one is left out.
    let mut take = |part: &HourlySeries| {
        let _ = series.merge(part);
    };
    let named = &season.weather;
    for (name, is_forecast) in named
        .hourly
        .iter()
        .map(|name| (name, false))
        .chain(named.forecast.iter().map(|name| (name, true)))
    {
        match hours_named(season, folder, name, is_forecast) {
            Ok(Some(part)) => take(&part),
            Ok(None) => {}
            Err(fault) => lost.push(super::lost(name, &fault)),
        }
    }
    let mut source = None;
    if let Some(fetched) = fetched {
        take(&fetched.forecast.series);
        source = Some(domain::Fetched {
            made: fetched.forecast.issued.unwrap_or(fetched.received),
            credit: fetched.forecast.credit.to_owned(),
        });
    }
    Hours {
        series,
        fetched: source,
        lost,
    }
}

/// The hours of one file; `None` where it is a forecast of days.
fn hours_named(
    season: &Season,
    folder: &Path,
    name: &str,
    is_forecast: bool,
) -> Result<Option<HourlySeries>, SeasonWeatherError> {
    let path = inside(season, folder, name)?;
    if super::is_built_in(season, &path, name) {
        return Ok(Some(practice::hours(&practice::weather())));
    }
    let options = ImportOptions::default();
    if !is_forecast {
        let hours = read_hours(&path, &options)?;
        return Ok(Some(if name.ends_with(TYPICAL) {
            hours.said_to_be(Provenance::Typical)
        } else {
            hours
        }));
    }
    Ok(match kind_of(&path)? {
        Kind::Days => None,
        Kind::Hours => Some(read_hours(&path, &options)?.said_to_be(Provenance::Forecast)),
        Kind::Forecast => Some(read_forecast(&path)?.0.series),
    })
}

fn read_hours(path: &Path, options: &ImportOptions) -> Result<HourlySeries, SeasonWeatherError> {
    let input = whole::open_plain(path).map_err(|problem| io(path, problem))?;
    Ok(read_hourly(input, &path.display().to_string(), options)?.data)
}

/// Reads a forecast document, with its bytes to keep.
pub(super) fn read_forecast(
    path: &Path,
) -> Result<(forecast::Forecast, Vec<u8>), SeasonWeatherError> {
    let mut bytes = Vec::new();
    whole::open_plain(path)
        .and_then(|f| f.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes))
        .map_err(|problem| io(path, problem))?;
    let read = forecast::read(&bytes).map_err(|problem| SeasonWeatherError::Forecast {
        path: path.display().to_string(),
        problem,
    })?;
    Ok((read, bytes))
}

fn io(path: &Path, problem: std::io::Error) -> SeasonWeatherError {
    SeasonWeatherError::Io {
        path: path.display().to_string(),
        problem,
    }
}
