//! A practice season kept as one's own, and paths as people type them.

use crate::domain::season::Season;
use crate::store::{practice, season_file};
use std::path::{Path, PathBuf};

/// Puts the invented weather a kept practice season names beside it, where nothing of that name
/// is there yet.
pub(super) fn write_practice_weather(season: &Season, folder: &Path) -> Result<(), String> {
    let weather = &season.weather;
    let named = |name: &str| {
        [&weather.daily, &weather.hourly, &weather.forecast]
            .iter()
            .any(|list| list.iter().any(|n| n == name))
            && !folder.join(name).exists()
    };
    let put = |name: &str, text: String| {
        let path = folder.join(name);
        std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))
    };
    if named(practice::WEATHER_NAME) {
        put(practice::WEATHER_NAME, practice::weather_csv())?;
    }
    for (name, text) in practice::HOURS_NAMES.into_iter().zip(practice::hours_csv()) {
        if named(name) {
            put(name, text)?;
        }
    }
    Ok(())
}

/// The practice season's text with its comments, as the owner's own.
pub(super) fn season_text(season: &Season) -> Result<String, String> {
    let practice = practice::season().map_err(|e| e.to_string())?;
    season_file::write(practice::SEASON_TEXT, &practice.season, season).map_err(|e| e.to_string())
}

/// A path as typed, with `~` for the home folder.
pub(in crate::cli) fn expand(place: &str) -> Result<PathBuf, String> {
    let place = place.trim();
    if place.is_empty() {
        return Err("write where to keep it, for instance ~/orchard/2026-27.toml".to_owned());
    }
    match (place.strip_prefix("~/"), std::env::var_os("HOME")) {
        (Some(rest), Some(home)) => Ok(Path::new(&home).join(rest)),
        _ => Ok(PathBuf::from(place)),
    }
}
