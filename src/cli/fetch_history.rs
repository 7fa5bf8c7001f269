//! `weather fetch --history`: the weather of the place since 1981, kept with the season.

use super::beside::progress_words;
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::season::Season;
use crate::store::forecast::fetch::history::{
    self, CREDIT, History, HistoryConfig, HistoryError, NAME, Step, rounded,
};
use crate::store::places::Places;
use crate::store::season_weather::{self, check::Away};
use crate::store::settings::{Settings, place_of};
use chrono::Utc;
use std::io::Write;
use std::sync::atomic::AtomicBool;

/// Asks the archive for a season's place.
///
/// # Errors
/// With words for the person who asked.
pub fn fetched(
    season: &Season,
    hours: bool,
    called_off: &AtomicBool,
    progress: &mut dyn FnMut(Step),
) -> Result<History, Failure> {
    let places = Places::find().ok_or_else(|| {
        Failure::Disk("no home folder is set; set HOME or XDG_CACHE_HOME".to_owned())
    })?;
    let set = Settings::load(&places).map_err(|e| Failure::Input(e.to_string()))?;
    let mut config = HistoryConfig::new(hours);
    if let Some(address) = set.history_address {
        config.fetch.base_url = address;
    }
    if let Some(file) = set.history_certificate {
        let path = places.config.join(&file);
        let bytes = std::fs::read(&path).map_err(|e| {
            Failure::Input(format!(
                "{}: {e}; [history] certificate in the settings names this file",
                path.display()
            ))
        })?;
        config.fetch.own_certificate = Some(bytes);
    }
    history::fetch(
        &config,
        place_of(&season.orchard),
        season.orchard.time_zone,
        &places.cache,
        Utc::now(),
        called_off,
        progress,
    )
    .map_err(|e| {
        let text = format!("no history: {e}");
        match e {
            HistoryError::Refused(_) | HistoryError::OtherPlace(_) => Failure::Input(text),
            _ => Failure::Disk(format!("{text}; what came is kept, fetch again to go on")),
        }
    })
}

/// What a step is, in words.
pub fn step_words(step: &Step) -> Option<String> {
    match step {
        Step::Part { what, number, of } => Some(format!("{what} ({number} of {of})..")),
        Step::Net(p @ crate::store::forecast::fetch::Progress::Waiting { .. }) => {
            Some(progress_words(p))
        }
        Step::Net(_) => None,
    }
}

/// Fetches, keeps, and says what came; progress goes to standard error.
pub fn run(at: &At, hours: bool, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change_alone()?;
    let folder = opened
        .session
        .as_ref()
        .map(crate::store::session::Session::folder)
        .ok_or_else(|| Failure::Input("the practice season has no folder".to_owned()))?;
    let (latitude, longitude) = rounded(place_of(&opened.season.orchard));
    writeln!(
        super::told(),
        "asking {NAME} for {latitude} {longitude}: nothing else is sent"
    )?;
    let mut progress = |step: Step| {
        if let Some(words) = step_words(&step) {
            let _ = writeln!(super::told(), "{words}");
        }
    };
    let fetched = fetched(
        &opened.season,
        hours,
        &AtomicBool::new(false),
        &mut progress,
    )?;
    let today = Utc::now()
        .with_timezone(&opened.season.orchard.time_zone)
        .date_naive();
    let kept = season_weather::keep_history(&opened.season, &folder, &fetched, today)
        .map_err(|e| Failure::Disk(e.to_string()))?;
    opened.save(kept.season)?;
    for line in told(&opened.season, &fetched, &kept.corrected) {
        writeln!(out, "{line}")?;
    }
    at.log.note("the weather since 1981 was fetched");
    Ok(Exit::Fine)
}

/// What came, in lines.
pub fn told(season: &Season, fetched: &History, corrected: &str) -> Vec<String> {
    let days = fetched.days.temperatures();
    let known = days.iter().filter(|(_, day)| day.is_some()).count();
    let last = days.last().unwrap_or(days.first());
    let mut lines = vec![format!("{known} days, {} to {last}", days.first())];
    if let (Some(first), Some(end)) = (fetched.hours.first(), fetched.hours.last()) {
        let hours: usize = fetched.hours.iter().map(|h| h.len()).sum();
        lines.push(format!(
            "{hours} hours, {} to {}",
            first.first().format("%Y-%m-%d"),
            end.last().unwrap_or(end.first()).format("%Y-%m-%d")
        ));
    }
    for lacking in &fetched.lacking {
        lines.push(format!("not there: {lacking}"));
    }
    if let Some(away) = Away::of(&season.orchard, Some(fetched.place), fetched.cell_height_m) {
        lines.push(format!("Its cell: {away}; {corrected}"));
    }
    lines.push(CREDIT.to_owned());
    lines
}
