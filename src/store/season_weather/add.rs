//! Bringing weather files in: each is looked at, checked against place and climate, kept beside
//! the season under a name of its own, and joined day by day. Nothing that was there goes.

use super::check::{self, Away};
use super::hours::{self, Kind};
use super::list::insert;
use super::{SeasonWeatherError, load_days, read_days};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::daily_weather::{DailyColumn, DailyWeather};
use crate::domain::climate::hourly_series::{HourlySeries, Provenance};
use crate::domain::season::{Brought, Season, WeatherKind};
use crate::store::weather::any::dates::DateOrder;
use crate::store::weather::any::forms::Degrees;
use crate::store::weather::any::{self, Looked, Refused, ZoneGiven};
use crate::store::weather::{
    ImportError, ImportOptions, ImportReport, Imported, Station, WeatherFormat, format_of, history,
    read_hourly, write_hourly,
};
use crate::store::whole;
use chrono::{DateTime, NaiveDate, TimeDelta, TimeZone, Utc};
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// The largest file read whole; anything larger is a plain table and read line by line.
const MOST_BYTES: u64 = 1 << 28;

/// How the hours of a typical year end: they were never seen.
pub(super) const TYPICAL: &str = "typical.csv";

/// Files up to this size are held whole.
const HELD_WHOLE: u64 = 32 << 20;

/// How files are to be brought in.
#[derive(Debug, Clone, Default)]
pub struct AddOptions {
    /// What the files do not say themselves.
    pub import: ImportOptions,
    /// Who measured it, where the files do not tell.
    pub kind: Option<WeatherKind>,
    /// Take it although it may be of elsewhere.
    pub anyway: bool,
    /// The last day that can have been seen: what is later is a forecast.
    pub today: NaiveDate,
}

impl AddOptions {
    /// Plain, as of a day.
    pub fn on(today: NaiveDate) -> Self {
        Self {
            today,
            ..Self::default()
        }
    }
}

/// Weather files brought into a season.
#[derive(Debug)]
pub struct Added {
    /// The season that names them.
    pub season: Season,
    /// The account of the import.
    pub account: String,
    /// The names they are kept under, with commas between.
    pub kept_as: String,
}

/// One record read, of one file or of two that make one.
#[derive(Clone)]
struct Piece {
    source: String,
    stem: String,
    account: Vec<String>,
    days: Option<DailyWeather>,
    hours: Option<HourlySeries>,
    /// A forecast document as it came.
    forecast: Option<Vec<u8>>,
    place: Option<(f64, f64)>,
    height_m: Option<f64>,
    kind: WeatherKind,
    typical: bool,
}

/// Keeps weather files next to a season and gives the season that names them. Nothing is
/// replaced: a file of the same name brought in before stays beside the new one.
///
/// # Errors
/// Where a file is missing or wrong, leaves something open, or may be of elsewhere; or what is
/// kept cannot be written.
pub fn add(
    season: &Season,
    folder: &Path,
    files: &[PathBuf],
    options: &AddOptions,
) -> Result<Added, SeasonWeatherError> {
    let before = load_days(season, folder).daily;
    let orchard = any::Orchard {
        zone: season.orchard.time_zone,
        monthly_means_c: check::monthly_means_c(season),
    };
    let mut after = season.clone();
    let mut pieces = Vec::new();
    let mut halves: Vec<(PathBuf, Looked, ImportOptions)> = Vec::new();
    for file in files {
        let import = with_memory(season, file, &options.import);
        match read_piece(folder, file, &import, &orchard)? {
            Found::Whole(piece) => pieces.push(*piece),
            Found::Half(looked) => halves.push((file.clone(), *looked, import)),
        }
        remember(&mut after, file, &options.import);
    }
    if let Some((file, _, import)) = halves.first().cloned() {
        let all = halves.into_iter().map(|(_, looked, _)| looked).collect();
        pieces.push(piece_of(&file, all, &import)?);
    }
    let mut accounts = Vec::new();
    let mut kept = Vec::new();
    for piece in pieces {
        check_piece(&piece, season, &orchard, options)?;
        let (account, names) = keep_piece(&mut after, folder, piece, before.as_ref(), options)?;
        accounts.push(account);
        kept.extend(names);
    }
    Ok(Added {
        season: after,
        account: accounts.join("\n"),
        kept_as: kept.join(", "),
    })
}

enum Found {
    Whole(Box<Piece>),
    Half(Box<Looked>),
}

fn name_of(file: &Path) -> String {
    file.file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned())
}

/// What was said of a file of this name before, under what is said now.
fn with_memory(season: &Season, file: &Path, said: &ImportOptions) -> ImportOptions {
    let name = name_of(file);
    let mut options = said.clone();
    options.file_name = Some(file.display().to_string());
    let Some(known) = season.weather.tables.iter().find(|t| t.name == name) else {
        return options;
    };
    let or = |now: &mut Option<String>, before: &Option<String>| {
        if now.is_none() {
            now.clone_from(before);
        }
    };
    or(&mut options.date_column, &known.day);
    or(&mut options.time_column, &known.time);
    or(&mut options.tmin_column, &known.low);
    or(&mut options.tmax_column, &known.high);
    or(&mut options.temp_column, &known.temp);
    or(&mut options.sheet, &known.sheet);
    if options.degrees().is_none()
        && let Some(degrees) = known.unit.as_deref().and_then(Degrees::from_key)
    {
        options.set_degrees(degrees);
    }
    options.dates = options
        .dates
        .or_else(|| known.dates.as_deref().and_then(DateOrder::from_key));
    if options.zone == ZoneGiven::AsTheFileSays
        && let Some(zone) = known
            .zone
            .as_deref()
            .and_then(|z| ZoneGiven::from_key(z).ok())
    {
        options.zone = zone;
    }
    options
}

/// Notes in the season how a file of this name is read.
fn remember(season: &mut Season, file: &Path, said: &ImportOptions) {
    let name = name_of(file);
    let mut now = season
        .weather
        .tables
        .iter()
        .find(|t| t.name == name)
        .cloned()
        .unwrap_or_default();
    let before = now.clone();
    let put = |slot: &mut Option<String>, value: Option<String>| {
        if value.is_some() {
            *slot = value;
        }
    };
    put(&mut now.day, said.date_column.clone());
    put(&mut now.time, said.time_column.clone());
    put(&mut now.low, said.tmin_column.clone());
    put(&mut now.high, said.tmax_column.clone());
    put(&mut now.temp, said.temp_column.clone());
    put(&mut now.sheet, said.sheet.clone());
    put(&mut now.unit, said.degrees().map(|d| d.key().to_owned()));
    put(&mut now.dates, said.dates.map(|d| d.key().to_owned()));
    put(&mut now.zone, said.zone_text.clone());
    if now == before {
        return;
    }
    now.name.clone_from(&name);
    season.weather.tables.retain(|t| t.name != name);
    season.weather.tables.push(now);
}

fn io(path: &Path, problem: std::io::Error) -> SeasonWeatherError {
    SeasonWeatherError::Io {
        path: path.display().to_string(),
        problem,
    }
}

/// Reads a file in whichever form it is.
fn read_piece(
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
pub(super) fn days_alone(file: &Path) -> Result<DailySeries, SeasonWeatherError> {
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
fn plain(
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

fn place_of(station: Option<&Station>) -> Option<(f64, f64)> {
    let station = station?;
    station.latitude_deg.zip(station.longitude_deg)
}

fn table_piece(
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
fn look_at(
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

fn piece_of(
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

/// What was understood of a file that is not brought in yet.
#[derive(Debug, Clone, Default)]
pub struct Seen {
    /// What was understood, in short lines.
    pub lines: Vec<String>,
    /// Names of the columns, where it is a table.
    pub columns: Vec<String>,
    /// Its first rows.
    pub rows: Vec<Vec<String>>,
    /// What has to be answered first.
    pub asks: Vec<String>,
    /// What speaks against its being of this orchard.
    pub against: Option<String>,
}

/// Looks at a file as [`add`] would, and keeps nothing.
///
/// # Errors
/// Where it is missing or wrong.
pub fn see(
    season: &Season,
    folder: &Path,
    file: &Path,
    options: &AddOptions,
) -> Result<Seen, SeasonWeatherError> {
    let before = load_days(season, folder).daily;
    let orchard = any::Orchard {
        zone: season.orchard.time_zone,
        monthly_means_c: check::monthly_means_c(season),
    };
    let import = with_memory(season, file, &options.import);
    let mut seen = Seen::default();
    // An archive's own form has no columns to show.
    if let Ok(looked) = look_at(file, &import, &orchard) {
        seen.columns = looked.understood.columns;
        seen.rows = looked.understood.first_rows;
        seen.lines = looked.understood.lines;
    }
    match read_piece(folder, file, &import, &orchard) {
        Ok(Found::Whole(piece)) => {
            if let Some(first) = piece.account.first() {
                seen.lines.extend(first.lines().map(str::to_owned));
            }
            if let Some(away) = Away::of(&season.orchard, piece.place, piece.height_m) {
                seen.lines.push(format!("place: {away}"));
            }
            if let (Some(days), Some(old)) = (&piece.days, &before) {
                seen.lines.extend(joined_lines(days.temperatures(), old));
            }
            let checked = check_piece(&piece, season, &orchard, options);
            seen.against = checked.err().map(|e| e.to_string());
        }
        Ok(Found::Half(_)) => seen.asks.push(
            "it holds minima or maxima alone; bring in both files with: barewood weather add FILE FILE".to_owned(),
        ),
        Err(SeasonWeatherError::Table(Refused::Asks { asks, .. })) => {
            seen.asks = asks.iter().map(|a| a.what.clone()).collect();
        }
        Err(other) => return Err(other),
    }
    Ok(seen)
}

/// What speaks against a piece being of this orchard.
fn check_piece(
    piece: &Piece,
    season: &Season,
    orchard: &any::Orchard,
    options: &AddOptions,
) -> Result<(), SeasonWeatherError> {
    if options.anyway {
        return Ok(());
    }
    let mut against = Vec::new();
    if let Some(away) = Away::of(&season.orchard, piece.place, piece.height_m)
        && away.is_far()
    {
        against.push(format!("it is of a place {away}"));
    }
    if let Some(days) = &piece.days {
        let means = check::month_means(days.temperatures());
        against.extend(check::against_climate(
            &means,
            orchard.monthly_means_c.as_ref(),
        ));
    }
    if against.is_empty() {
        return Ok(());
    }
    Err(SeasonWeatherError::Elsewhere(format!(
        "{}: not brought in: {}; if it is meant, add --anyway (a wrong unit: --unit F or --unit C)",
        piece.source,
        against.join("; ")
    )))
}

/// The name of what is kept, from the file's own, with nothing in it that a path could mind.
fn stem_of(file: &Path) -> String {
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

/// Writes bytes under a name nobody has; one that holds the same bytes already does.
pub(super) fn put(
    folder: &Path,
    stem: &str,
    ending: &str,
    bytes: &[u8],
) -> Result<String, SeasonWeatherError> {
    for number in 1..10_000 {
        let name = if number == 1 {
            format!("{stem}.{ending}")
        } else {
            format!("{stem}-{number}.{ending}")
        };
        let path = folder.join(&name);
        match whole::read_plain(&path) {
            Ok(there) if there == bytes => return Ok(name),
            Ok(_) => {}
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
                whole::put(&path, bytes).map_err(|e| io(&path, e))?;
                return Ok(name);
            }
            Err(e) => return Err(io(&path, e)),
        }
    }
    Err(io(
        &folder.join(stem),
        std::io::Error::other("ten thousand files of this name are there already"),
    ))
}

/// The part of a record from one day to another, rain, wind and humidity along.
fn part(days: &DailyWeather, from: NaiveDate, to: NaiveDate) -> Option<DailyWeather> {
    let temperatures = days.temperatures().slice(from, to);
    if temperatures.is_empty() {
        return None;
    }
    let skip = days.temperatures().index_of(temperatures.first())?;
    let mut part = DailyWeather::new(temperatures);
    for column in DailyColumn::ALL {
        let values = days.column(column);
        let n = part.temperatures().len();
        if let Some(values) = values.get(skip..(skip + n).min(values.len())) {
            part = part.with(column, values.to_vec());
        }
    }
    Some(part)
}

fn known(days: &DailySeries) -> usize {
    days.iter().filter(|(_, day)| day.is_some()).count()
}

/// Keeps what a piece holds and names it in the season.
fn keep_piece(
    season: &mut Season,
    folder: &Path,
    piece: Piece,
    before: Option<&DailySeries>,
    options: &AddOptions,
) -> Result<(String, Vec<String>), SeasonWeatherError> {
    let mut lines = piece.account.clone();
    let mut names = Vec::new();
    let kind = options.kind.unwrap_or(piece.kind);
    lines.push(
        match Away::of(&season.orchard, piece.place, piece.height_m) {
            Some(away) => format!("  place: {away}"),
            None => "  place: the file does not say where it is of".to_owned(),
        },
    );
    let mut brought = Brought {
        file: String::new(),
        source: piece.source.clone(),
        kind,
        since: options.today,
        to: options.today,
        on: options.today,
        latitude: piece.place.map(|p| p.0),
        longitude: piece.place.map(|p| p.1),
        note: None,
    };
    if let Some(bytes) = &piece.forecast {
        let name = put(folder, &piece.stem, "forecast.json", bytes)?;
        note(season, &mut names, |w| &mut w.forecast, name, &brought);
    }
    if let Some(days) = &piece.days {
        let first = days.temperatures().first();
        let last = days.temperatures().last().unwrap_or(first);
        if let Some(seen) = part(days, first, last.min(options.today)) {
            brought.since = seen.temperatures().first();
            brought.to = seen.temperatures().last().unwrap_or(first);
            if let Some(old) = before {
                lines.extend(joined_lines(seen.temperatures(), old));
            }
            let name = if Path::new(&piece.stem)
                .extension()
                .is_some_and(|e| e == "days")
            {
                piece.stem.clone()
            } else {
                put(folder, &piece.stem, "days", &history::encode(&seen))?
            };
            superseded(season, folder, &brought, seen.temperatures());
            note(season, &mut names, |w| &mut w.daily, name, &brought);
        }
        let ahead = options
            .today
            .succ_opt()
            .and_then(|next| part(days, first.max(next), last));
        if let Some(ahead) = ahead.filter(|a| known(a.temperatures()) > 0) {
            lines.push(format!(
                "  {} days after {} were taken as a forecast, not as seen",
                known(ahead.temperatures()),
                options.today
            ));
            brought.since = ahead.temperatures().first();
            brought.to = ahead.temperatures().last().unwrap_or(brought.since);
            let stem = format!("{}-ahead", piece.stem.trim_end_matches(".days"));
            let name = put(folder, &stem, "days", &history::encode(&ahead))?;
            note(season, &mut names, |w| &mut w.forecast, name, &brought);
        }
    }
    if let Some(hours) = &piece.hours {
        let zone = season.orchard.time_zone;
        let day_of = |t: DateTime<Utc>| t.with_timezone(&zone).date_naive();
        let end = options
            .today
            .succ_opt()
            .and_then(|d| d.and_hms_opt(0, 0, 0))
            .and_then(|t| zone.from_local_datetime(&t).earliest())
            .map(|t| t.with_timezone(&Utc));
        let (seen, ahead) = match end {
            Some(end) if !piece.typical => split_hours(hours, end),
            _ => (Some(hours.clone()), None),
        };
        for (part, is_ahead) in [(seen, false), (ahead, true)] {
            let Some(part) = part else { continue };
            brought.since = day_of(part.first());
            brought.to = part.last().map_or(brought.since, day_of);
            let bytes = write_hourly(&part).into_bytes();
            if is_ahead {
                lines.push(format!(
                    "  {} hours after {} were taken as a forecast, not as seen",
                    part.len(),
                    options.today
                ));
                let stem = format!("{}-ahead", piece.stem);
                let name = put(folder, &stem, "hours.csv", &bytes)?;
                note(season, &mut names, |w| &mut w.forecast, name, &brought);
            } else {
                let ending = if piece.typical { TYPICAL } else { "hours.csv" };
                let name = put(folder, &piece.stem, ending, &bytes)?;
                note(season, &mut names, |w| &mut w.hourly, name, &brought);
            }
        }
    }
    Ok((lines.join("\n"), names))
}

/// Names a kept file in the season, with where it came from.
pub(super) fn note(
    season: &mut Season,
    names: &mut Vec<String>,
    list: impl Fn(&mut crate::domain::season::WeatherFiles) -> &mut Vec<String>,
    name: String,
    brought: &Brought,
) {
    let weather = &mut season.weather;
    weather.brought.retain(|b| b.file != name);
    let others = weather.brought.clone();
    let names_there = list(weather);
    names_there.retain(|n| *n != name);
    insert(names_there, &others, &name, brought.kind);
    weather.brought.push(Brought {
        file: name.clone(),
        ..brought.clone()
    });
    names.push(name);
}

/// An earlier file from the same source whose every day the new one has stands no longer in the
/// list; it stays on the disk.
pub(super) fn superseded(season: &mut Season, folder: &Path, now: &Brought, days: &DailySeries) {
    let covered = |b: &Brought| {
        b.source == now.source
            && b.kind == now.kind
            && season.weather.daily.contains(&b.file)
            && read_days(&folder.join(&b.file), &ImportOptions::default()).is_ok_and(|(old, _)| {
                old.temperatures()
                    .iter()
                    .all(|(date, day)| day.is_none() || days.day(date).is_some())
            })
    };
    let gone: Vec<String> = season
        .weather
        .brought
        .iter()
        .filter(|b| covered(b))
        .map(|b| b.file.clone())
        .collect();
    season.weather.daily.retain(|n| !gone.contains(n));
    season.weather.brought.retain(|b| !gone.contains(&b.file));
}

/// What joining does to the days that are there.
fn joined_lines(new: &DailySeries, old: &DailySeries) -> Vec<String> {
    let fresh = new
        .iter()
        .filter(|(date, day)| day.is_some() && old.day(*date).is_none())
        .count();
    let mut lines = vec![format!(
        "  joined: {fresh} days new, {} that were there already",
        known(new) - fresh
    )];
    if let Some(shared) = check::shared(new, old)
        && shared.apart_c > check::UNLIKE_C
    {
        lines.push(format!(
            "  NOTE: on the {} days both have they differ by {:.1} °C on the mean (this {:.1}, there {:.1}): is one of another place? barewood weather list, weather remove",
            shared.days, shared.apart_c, shared.new_c, shared.old_c
        ));
    }
    lines
}

/// Hours before a moment, and from it on.
fn split_hours(
    hours: &HourlySeries,
    end: DateTime<Utc>,
) -> (Option<HourlySeries>, Option<HourlySeries>) {
    let before = usize::try_from((end - hours.first()).num_hours().max(0)).unwrap_or(0);
    let seen = HourlySeries::new(hours.first(), hours.hours().take(before));
    let ahead = HourlySeries::new(
        hours.first() + TimeDelta::try_hours(before as i64).unwrap_or_default(),
        hours.hours().skip(before),
    );
    let some = |s: HourlySeries| (!s.is_empty()).then_some(s);
    (some(seen), some(ahead))
}
