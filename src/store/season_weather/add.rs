//! Bringing weather files in: each is looked at, checked against place and climate, kept beside
//! the season under a name of its own, and joined day by day. Nothing that was there goes.

mod keep;
mod piece;

use keep::{joined_lines, keep_piece};
pub(super) use keep::{note, put, superseded};
pub(super) use piece::days_alone;
use piece::{Piece, look_at, name_of, piece_of, read_piece};

use super::check::{self, Away};
use super::{SeasonWeatherError, load_days};
use crate::domain::season::{Season, WeatherKind};
use crate::store::weather::ImportOptions;
use crate::store::weather::any::dates::DateOrder;
use crate::store::weather::any::forms::Degrees;
use crate::store::weather::any::{self, Looked, Refused, ZoneGiven};
use chrono::NaiveDate;
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
    /// Do days both have differ so much that one of them may be of elsewhere?
    pub is_in_doubt: bool,
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
    let mut is_in_doubt = false;
    for piece in pieces {
        let shared = piece.days.as_ref().zip(before.as_ref());
        is_in_doubt |= !options.anyway
            && shared.is_some_and(|(new, old)| check::is_unlike(new.temperatures(), old));
        check_piece(&piece, season, &orchard, options)?;
        let (account, names) = keep_piece(&mut after, folder, piece, before.as_ref(), options)?;
        accounts.push(account);
        kept.extend(names);
    }
    Ok(Added {
        season: after,
        account: accounts.join("\n"),
        kept_as: kept.join(", "),
        is_in_doubt,
    })
}

enum Found {
    Whole(Box<Piece>),
    Half(Box<Looked>),
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
        against.extend(check::few_days_against_climate(
            days.temperatures(),
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
