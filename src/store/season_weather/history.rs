//! Keeping what the archive of past weather answered, corrected to the orchard.

use super::SeasonWeatherError;
use super::add::{note, put, superseded};
use super::correct::Correction;
use crate::domain::climate::daily::DailySeries;
use crate::domain::season::{Brought, Season, WeatherKind};
use crate::store::forecast::fetch::history::{CREDIT, History, NAME};
use crate::store::weather::{ImportOptions, history, write_hourly};
use chrono::NaiveDate;
use std::path::Path;

/// A season with its history kept.
#[derive(Debug)]
pub struct Kept {
    /// The season that names it.
    pub season: Season,
    /// What was corrected, in words.
    pub corrected: String,
}

/// Has this season the archive's weather?
pub fn has_history(season: &Season) -> bool {
    season.weather.brought.iter().any(is_history)
}

fn is_history(brought: &Brought) -> bool {
    brought.kind == WeatherKind::Archive && brought.source == NAME
}

/// The days of own thermometers and stations, joined.
fn own(season: &Season, folder: &Path) -> Option<DailySeries> {
    let archives: Vec<&str> = season
        .weather
        .brought
        .iter()
        .filter(|b| b.kind == WeatherKind::Archive)
        .map(|b| b.file.as_str())
        .collect();
    let mut all: Option<DailySeries> = None;
    for name in &season.weather.daily {
        if archives.contains(&name.as_str()) {
            continue;
        }
        let Ok((days, _)) = super::inside(season, folder, name)
            .and_then(|path| super::read_days(&path, &ImportOptions::default()))
        else {
            continue;
        };
        let days = days.into_temperatures();
        match &mut all {
            Some(all) => all.merge(&days),
            None => all = Some(days),
        }
    }
    all
}

/// Keeps days and hours of the archive beside a season: files of their own, under everything that
/// was measured, so that an own day always wins.
///
/// # Errors
/// Where they cannot be written.
pub fn keep_history(
    season: &Season,
    folder: &Path,
    fetched: &History,
    today: NaiveDate,
) -> Result<Kept, SeasonWeatherError> {
    let mut after = season.clone();
    let mut names = Vec::new();
    let orchard_m = season.orchard.elevation.as_ref().map(|e| e.m());
    let own = own(season, folder);
    let correction = Correction::new(
        fetched.days.temperatures(),
        fetched.cell_height_m,
        orchard_m,
        own.as_ref(),
    );
    let corrected = correction.words();
    let mut brought = Brought {
        file: String::new(),
        source: NAME.to_owned(),
        kind: WeatherKind::Archive,
        since: today,
        to: today,
        on: today,
        latitude: Some(fetched.place.0),
        longitude: Some(fetched.place.1),
        note: Some(format!(
            "received {}; {corrected}. {CREDIT}",
            fetched.received.format("%Y-%m-%d %H:%M UTC")
        )),
    };
    let days = correction.days(&fetched.days);
    let name = put(folder, "history", "days", &history::encode(&days))?;
    brought.since = days.temperatures().first();
    brought.to = days.temperatures().last().unwrap_or(brought.since);
    superseded(&mut after, folder, &brought, days.temperatures());
    note(&mut after, &mut names, |w| &mut w.daily, name, &brought);
    // The whole acknowledgement stands once.
    brought.note = Some(format!(
        "received {}",
        fetched.received.format("%Y-%m-%d %H:%M UTC")
    ));
    for hours in &fetched.hours {
        let Some(last) = hours.last() else { continue };
        let hours = correction.hours(hours);
        let year = hours.first().format("%Y").to_string();
        let stem = format!("history-{year}");
        let name = put(folder, &stem, "hours.csv", write_hourly(&hours).as_bytes())?;
        // The year as it came before: the new one has all of its hours.
        let old: Vec<String> = after
            .weather
            .brought
            .iter()
            .filter(|b| is_history(b) && b.file != name && b.file.starts_with(&stem))
            .map(|b| b.file.clone())
            .collect();
        after.weather.hourly.retain(|n| !old.contains(n));
        after.weather.brought.retain(|b| !old.contains(&b.file));
        brought.since = hours.first().date_naive();
        brought.to = last.date_naive();
        note(&mut after, &mut names, |w| &mut w.hourly, name, &brought);
    }
    Ok(Kept {
        season: after,
        corrected,
    })
}
