//! `weather fetch`: the forecast from a public service, kept for the board.

use super::args::FetchArgs;
use super::beside::{fetched_words, progress_words};
use super::season_at::At;
use super::{Exit, Failure};
use crate::store::forecast::fetch::{self, FetchConfig, Service};
use crate::store::places::Places;
use crate::store::season_weather::{self, check::Away};
use crate::store::settings::{self, Settings, place_of};
use chrono::Utc;
use std::io::Write;
use std::sync::atomic::AtomicBool;

/// Fetches, and says what came; progress goes to standard error.
pub fn run(at: &At, args: &FetchArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    if args.history {
        return super::fetch_history::run(at, !args.days_only, out);
    }
    let season = at.look()?.season;
    if season.practice {
        return Err(Failure::Input(
            "this is the practice season: its forecast is invented; begin your own with: barewood start".to_owned(),
        ));
    }
    let places = Places::find().ok_or_else(|| {
        Failure::Disk("no home folder is set; set HOME or XDG_CACHE_HOME".to_owned())
    })?;
    let set = Settings::load(&places).map_err(|e| Failure::Input(e.to_string()))?;
    let named = args.service.as_deref().and_then(Service::from_key);
    let (config, from_settings) = match (named, set.forecast) {
        (Some(service), _) => {
            let contact = args.contact.as_deref().unwrap_or_default();
            (FetchConfig::of(service, contact), false)
        }
        (None, Some(config)) => (config, true),
        (None, None) => {
            return Err(Failure::Input(format!(
                "no service is named; add --service us or --service norway, with --contact; or write in {}:\n\n{}",
                settings::path(&places).display(),
                settings::example(Service::Norwegian, "me@example.org")
            )));
        }
    };
    let mut progress = |p| {
        let _ = writeln!(super::told(), "{}", progress_words(&p));
    };
    let fetched = fetch::fetch(
        &config,
        place_of(&season.orchard),
        &places.cache,
        Utc::now(),
        &AtomicBool::new(false),
        &mut progress,
    )
    .map_err(|e| Failure::Disk(format!("no forecast: {e}")))?;
    at.log.note(&fetched_words(&fetched));
    writeln!(out, "{}", fetched_words(&fetched))?;
    for skipped in &fetched.forecast.skipped {
        writeln!(out, "skipped: {skipped}")?;
    }
    let place = fetched.forecast.place;
    let away = Away::of(
        &season.orchard,
        place.map(|p| (p.latitude, p.longitude)),
        place.and_then(|p| p.elevation_m),
    );
    if let Some(away) = away {
        let far = if away.is_far() {
            ": NOTE, that is far; are latitude and longitude of the season right?"
        } else {
            ""
        };
        writeln!(out, "It is for a place {away}{far}")?;
    }
    // What was once fetched of the past is renewed along: the gap to yesterday closes.
    if season_weather::has_history(&season) {
        super::fetch_history::run(at, false, out)?;
    }
    if !from_settings {
        writeln!(
            out,
            "To have board and commands use it from now on, write in {}:\n\n{}",
            settings::path(&places).display(),
            settings::example(config.service, args.contact.as_deref().unwrap_or_default())
        )?;
    }
    Ok(Exit::Fine)
}
