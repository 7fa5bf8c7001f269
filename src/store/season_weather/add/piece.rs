//! One file read: what it holds, in the orchard's days and hours.

use super::super::hours::{self, Kind};
use super::super::{SeasonWeatherError, read_days};
use super::{Found, HELD_WHOLE, MOST_BYTES, io};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::daily_weather::DailyWeather;
use crate::domain::climate::hourly_series::{HourlySeries, Provenance};
use crate::domain::season::WeatherKind;
use crate::store::weather::any::{self, Looked, Refused};
use crate::store::weather::{
    ImportError, ImportOptions, ImportReport, Imported, Station, WeatherFormat, format_of,
    read_hourly,
};
use crate::store::whole;
use std::fs;
use std::io::Read as _;
use std::path::Path;

/// One record read, of one file or of two that make one.
#[derive(Clone)]
pub(super) struct Piece {
    pub(super) source: String,
    pub(super) stem: String,
    pub(super) account: Vec<String>,
    pub(super) days: Option<DailyWeather>,
    pub(super) hours: Option<HourlySeries>,
    /// A forecast document as it came.
    pub(super) forecast: Option<Vec<u8>>,
    pub(super) place: Option<(f64, f64)>,
    pub(super) height_m: Option<f64>,
    pub(super) kind: WeatherKind,
    pub(super) typical: bool,
}

pub(super) fn name_of(file: &Path) -> String {
    file.file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned())
}

/// Reads a file in whichever form it is.
pub(super) fn read_piece(
    folder: &Path,
    file: &Path,
    import: &ImportOptions,
    orchard: &any::Orchard,
) -> Result<Found, SeasonWeatherError> {
    let name = file.display().to_string();
    let mut piece = Piece {
        source: name_of(file),
        stem: stem_of(file),
        account: Vec::new(),
        days: None,
        hours: None,
        forecast: None,
        place: None,
        height_m: None,
        kind: WeatherKind::Own,
        typical: false,
    };
    let kind = hours::kind_of(file)?;
    if kind == Kind::Forecast {
        match hours::read_forecast(file) {
            Ok((read, bytes)) => {
                let mut account = format!(
                    "{name}: forecast of {} hours from {}, data of {}",
                    read.series.len(),
                    read.series.first().format("%Y-%m-%d %H:%M UTC"),
                    read.credit
                );
                for skipped in &read.skipped {
                    account.push_str("\nskipped: ");
                    account.push_str(skipped);
                }
                piece.account.push(account);
                piece.place = read.place.map(|p| (p.latitude, p.longitude));
                piece.height_m = read.place.and_then(|p| p.elevation_m);
                piece.forecast = Some(bytes);
                return Ok(Found::Whole(Box::new(piece)));
            }
            // JSON that is no forecast may still hold a table.
            Err(no_forecast) => {
                return table_piece(file, import, orchard).map_err(|error| match error {
                    SeasonWeatherError::Table(Refused::Wrong(_)) => no_forecast,
                    other => other,
                });
            }
        }
    }
    let head = hours::head_of(file)?;
    let format = format_of(&head);
    let in_folder = file.parent().is_some_and(|p| p == folder);
    match format {
        WeatherFormat::History if in_folder => piece.stem = name_of(file),
        WeatherFormat::DailyCsv | WeatherFormat::HourlyCsv => {
            // A file too large to be held whole is read line by line; of the others the table
            // reader understands more: place, rain, orders of days.
            let large = fs::metadata(file).is_ok_and(|m| m.len() > HELD_WHOLE);
            let hourly = format.is_hourly();
            if large && let Ok(piece) = plain(piece.clone(), file, &name, import, hourly) {
                return Ok(Found::Whole(Box::new(piece)));
            }
            return match table_piece(file, import, orchard) {
                Ok(found) => Ok(found),
                Err(asked) => plain(piece, file, &name, import, hourly)
                    .map(|piece| Found::Whole(Box::new(piece)))
                    .map_err(|_| asked),
            };
        }
        _ => {}
    }
    let piece = plain(piece, file, &name, import, format.is_hourly())?;
    Ok(Found::Whole(Box::new(piece)))
}

/// The days of a file in whichever form it is, outside any season.
pub(in super::super) fn days_alone(file: &Path) -> Result<DailySeries, SeasonWeatherError> {
    let orchard = any::Orchard {
        zone: crate::domain::zone::Zone::UTC,
        monthly_means_c: None,
    };
    let import = ImportOptions {
        file_name: Some(file.display().to_string()),
        ..ImportOptions::default()
    };
    let found = read_piece(Path::new(""), file, &import, &orchard)?;
    let days = match found {
        Found::Whole(piece) => piece.days.map(DailyWeather::into_temperatures),
        Found::Half(_) => None,
    };
    days.ok_or_else(|| {
        ImportError::one(
            &file.display().to_string(),
            0,
            "there are no whole days in it",
            "begin the season without it, then: barewood weather add FILE",
        )
        .into()
    })
}

/// Reads a file with the reader of its own form.
pub(super) fn plain(
    mut piece: Piece,
    file: &Path,
    name: &str,
    import: &ImportOptions,
    hourly: bool,
) -> Result<Piece, SeasonWeatherError> {
    let report: ImportReport = if hourly {
        let input = whole::open_plain(file).map_err(|e| io(file, e))?;
        let read = read_hourly(input, name, import)?;
        piece.typical = read
            .data
            .hours()
            .any(|h| h.provenance == Provenance::Typical);
        piece.hours = Some(read.data);
        read.report
    } else {
        let (days, report) = read_days(file, import)?;
        piece.days = Some(days);
        report
    };
    if matches!(
        report.format,
        WeatherFormat::StationCsv | WeatherFormat::StationDly
    ) || report.station.is_some()
    {
        piece.kind = WeatherKind::Station;
    }
    let station = report.station.clone();
    piece.place = place_of(station.as_ref());
    piece.height_m = station.and_then(|s| s.elevation_m);
    piece.account.push(report.to_string());
    Ok(piece)
}

pub(super) fn place_of(station: Option<&Station>) -> Option<(f64, f64)> {
    let station = station?;
    station.latitude_deg.zip(station.longitude_deg)
}

pub(super) fn table_piece(
    file: &Path,
    import: &ImportOptions,
    orchard: &any::Orchard,
) -> Result<Found, SeasonWeatherError> {
    let looked = look_at(file, import, orchard)?;
    if looked.is_half() {
        return Ok(Found::Half(Box::new(looked)));
    }
    piece_of(file, vec![looked], import).map(|p| Found::Whole(Box::new(p)))
}

/// Looks at a file as a table.
pub(super) fn look_at(
    file: &Path,
    import: &ImportOptions,
    orchard: &any::Orchard,
) -> Result<Looked, SeasonWeatherError> {
    let mut input = whole::open_plain(file).map_err(|e| io(file, e))?;
    let size = input.metadata().map_err(|e| io(file, e))?.len();
    let name = file.display().to_string();
    if size > MOST_BYTES {
        return Err(ImportError::one(
            &name,
            0,
            "larger than 256 MB",
            "split it; the record of one place is smaller",
        )
        .into());
    }
    let mut bytes = Vec::new();
    input.read_to_end(&mut bytes).map_err(|e| io(file, e))?;
    Ok(any::look(&bytes, &name, import, orchard)?)
}

pub(super) fn piece_of(
    file: &Path,
    looked: Vec<Looked>,
    import: &ImportOptions,
) -> Result<Piece, SeasonWeatherError> {
    let mut account: Vec<String> = Vec::new();
    for one in &looked {
        for line in &one.understood.lines {
            account.push(format!("  {line}"));
        }
    }
    let station = looked.iter().find_map(|l| l.understood.station.clone());
    let is_archive = looked.iter().any(|l| l.understood.is_grid);
    let is_station = looked.iter().any(|l| l.understood.form.is_some())
        || station.as_ref().is_some_and(|s| !s.id.is_empty());
    let read = any::take(looked, import).map_err(SeasonWeatherError::Table)?;
    let told = |report: &ImportReport| report.to_string();
    let mut head = Vec::new();
    if let Some(Imported { report, .. }) = &read.hours {
        head.push(told(report));
    }
    if let Some(Imported { report, .. }) = &read.days {
        head.push(told(report));
    }
    if read.skipped > 0 {
        account.push(format!("  {} lines without a day left aside", read.skipped));
    }
    head.extend(account);
    Ok(Piece {
        source: name_of(file),
        stem: stem_of(file),
        account: head,
        days: read.days.map(|i| i.data),
        hours: read.hours.map(|i| i.data),
        forecast: None,
        place: place_of(station.as_ref()),
        height_m: station.and_then(|s| s.elevation_m),
        kind: match (is_archive, is_station) {
            (true, _) => WeatherKind::Archive,
            (_, true) => WeatherKind::Station,
            _ => WeatherKind::Own,
        },
        typical: read.typical,
    })
}

/// The name of what is kept, from the file's own, with nothing in it that a path could mind.
pub(super) fn stem_of(file: &Path) -> String {
    let stem = file
        .file_stem()
        .map_or_else(|| "weather".into(), |s| s.to_string_lossy().into_owned());
    let stem = stem.strip_suffix(".csv").unwrap_or(&stem);
    let clean: String = stem
        .chars()
        .take(80)
        .map(|c| {
            if c.is_alphanumeric() || c == '-' {
                c
            } else {
                '-'
            }
        })
        .collect();
    if clean.is_empty() {
        "weather".to_owned()
    } else {
        clean
    }
}
