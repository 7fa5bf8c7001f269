//! What weather a season has, taking some out, and taking the last change back.

use super::{SeasonWeatherError, inside, read_days};
use crate::domain::season::{Brought, Season, WeatherFiles, WeatherKind};
use crate::store::disk::{Disk, RealDisk};
use crate::store::weather::ImportOptions;
use crate::store::{backups, season_file};
use std::path::Path;

/// A weather file a season names.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// The name it is kept under.
    pub file: String,
    /// What it holds: `days`, `hours` or `forecast`.
    pub holds: &'static str,
    /// Where it came from, where that is noted.
    pub brought: Option<Brought>,
    /// Days with a minimum and a maximum, for files of days.
    pub days: Option<usize>,
    /// What is amiss with it.
    pub trouble: Option<String>,
}

/// The weather files of a season, in the order they are joined: later ones win.
pub fn list(season: &Season, folder: &Path) -> Vec<Listed> {
    let named = &season.weather;
    let kinds = [
        ("days", &named.daily),
        ("hours", &named.hourly),
        ("forecast", &named.forecast),
    ];
    let mut listed = Vec::new();
    for (holds, names) in kinds {
        for name in names {
            let (days, trouble) = match inside(season, folder, name) {
                Err(error) => (None, Some(error.to_string())),
                Ok(path) if holds == "days" => match read_days(&path, &ImportOptions::default()) {
                    Ok((_, report)) => (Some(report.kept), None),
                    Err(error) => (None, Some(error.to_string())),
                },
                Ok(path) if path.is_file() => (None, None),
                Ok(_) => (None, Some("the file is not there".to_owned())),
            };
            listed.push(Listed {
                file: name.clone(),
                holds,
                brought: named.brought.iter().find(|b| b.file == *name).cloned(),
                days,
                trouble,
            });
        }
    }
    listed
}

/// The season without a weather file; the file itself stays where it is.
///
/// # Errors
/// Where the season names no such file.
pub fn remove(season: &Season, name: &str) -> Result<Season, SeasonWeatherError> {
    let mut after = season.clone();
    let weather = &mut after.weather;
    let mut gone = 0;
    for list in [
        &mut weather.daily,
        &mut weather.hourly,
        &mut weather.forecast,
    ] {
        let before = list.len();
        list.retain(|n| n != name);
        gone += before - list.len();
    }
    if gone == 0 {
        let known: Vec<&str> = [&weather.daily, &weather.hourly, &weather.forecast]
            .into_iter()
            .flatten()
            .map(String::as_str)
            .collect();
        let has = if known.is_empty() {
            "it has none".to_owned()
        } else {
            format!("it has: {}", known.join(", "))
        };
        return Err(SeasonWeatherError::NotThere(format!(
            "this season has no weather file '{}'; {has}",
            crate::store::weather::shown(name.as_bytes())
        )));
    }
    weather.brought.retain(|b| b.file != name);
    Ok(after)
}

/// The season with the weather files it named before the last change of them: every earlier
/// version of the season is asked in turn. Asked again, it gives the later ones back.
///
/// # Errors
/// Where no earlier version named others.
pub fn undo(season: &Season, path: &Path) -> Result<Season, SeasonWeatherError> {
    const MOST_BYTES: u64 = 20 << 20;
    for backup in backups::list(&RealDisk, path) {
        let Some(earlier) = RealDisk
            .read(&backup.path, MOST_BYTES)
            .ok()
            .and_then(|bytes| String::from_utf8(bytes).ok())
            .and_then(|text| {
                season_file::read_beside(&text, "earlier", &season.shared_targets).ok()
            })
        else {
            continue;
        };
        let files = earlier.season.weather;
        if names(&files) != names(&season.weather) {
            let mut after = season.clone();
            after.weather = files;
            return Ok(after);
        }
    }
    Err(SeasonWeatherError::NotThere(
        "no earlier version of this season named other weather files".to_owned(),
    ))
}

fn names(files: &WeatherFiles) -> [&Vec<String>; 3] {
    [&files.daily, &files.hourly, &files.forecast]
}

/// Puts a name into a list where its kind belongs: weaker kinds before, so that stronger ones
/// win; of one kind the newer after the older.
pub(super) fn insert(list: &mut Vec<String>, brought: &[Brought], name: &str, kind: WeatherKind) {
    let kind_of = |file: &str| {
        brought
            .iter()
            .find(|b| b.file == file)
            // What its owner named by hand stands as a station's record.
            .map_or(WeatherKind::Station, |b| b.kind)
    };
    let at = list
        .iter()
        .position(|n| kind_of(n) > kind)
        .unwrap_or(list.len());
    list.insert(at, name.to_owned());
}
