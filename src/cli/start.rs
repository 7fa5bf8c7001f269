//! `start`: a new season, by a few questions or by options.

mod carried;
mod place;

use super::args::StartArgs;
use super::season_at::At;
use super::start_ask::Asker;
use super::{Exit, Failure};
use crate::domain::climate::weather::Weather;
use crate::domain::outlook::{Estimates, swells_of_blocks};
use crate::domain::place::zone_doubt;
use crate::domain::season::starter::{Answers, Swell, laid_out, new_season};
use crate::domain::season::{Calendar, NewBlock, Season, UnitSystem, read_blocks, read_day};
use crate::domain::units::count;
use crate::domain::zone::Zone;
use crate::store::disk::RealDisk;
use crate::store::places::Places;
use crate::store::session::Session;
use crate::store::{season_weather, starter};
use chrono::{Datelike, Days, NaiveDate, Utc};
use std::io::{IsTerminal, Write};
use std::path::PathBuf;
use std::sync::Arc;

/// Makes a season file and says where it is.
pub fn run(at: &At, args: &StartArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    make(at, args, out)?;
    let next = if args.weather.is_empty() {
        "Next: barewood weather add FILE (daily temperatures of your place), then: barewood"
    } else {
        "Next: barewood"
    };
    writeln!(out, "{next}")?;
    Ok(Exit::Fine)
}

/// Makes a season file, and gives its place.
pub fn make(at: &At, args: &StartArgs, out: &mut dyn Write) -> Result<PathBuf, Failure> {
    let places = Places::find();
    let (season, notes) = match &args.from {
        Some(from) => carried::season(at, args, from, places.as_ref())?,
        None => (fresh(at, args, out)?, Vec::new()),
    };
    let path = match (&at.season, &places) {
        (Some(path), _) => path.clone(),
        (None, Some(places)) => starter::place(&places.seasons, &season),
        (None, None) => {
            return Err(Failure::Disk(
                "no home folder is set; say where to keep the season with --season FILE".to_owned(),
            ));
        }
    };
    let text = starter::text(&season)?;
    let session = Session::create(Arc::new(RealDisk), places, &path, &text)
        .map_err(|e| Failure::from_open(&e))?;
    at.log.note(&format!("made: {}", path.display()));
    writeln!(out, "Made {}", path.display())?;
    bring_in(session, &args.weather, out)?;
    for note in notes {
        writeln!(out, "  note: {note}")?;
    }
    let open = season.tasks.iter().filter(|t| t.state.is_open()).count();
    writeln!(
        out,
        "  {}, {} in three lanes; every line of the file is explained in it.",
        count(season.blocks.len(), "block", "blocks"),
        count(open, "task", "tasks")
    )?;
    writeln!(
        out,
        "  Materials are starting points, not labels: read yours, correct them, and note the day."
    )?;
    Ok(path)
}

/// Keeps weather files next to a season just made.
fn bring_in(mut session: Session, files: &[PathBuf], out: &mut dyn Write) -> Result<(), Failure> {
    let folder = session.folder();
    for file in files {
        let season = session.season().clone();
        let today = Utc::now()
            .with_timezone(&season.orchard.time_zone)
            .date_naive();
        let options = season_weather::AddOptions::on(today);
        let added = season_weather::add(&season, &folder, std::slice::from_ref(file), &options)
            .map_err(|e| Failure::Input(e.to_string()))?;
        writeln!(out, "{}\nKept as {}.", added.account, added.kept_as)?;
        session
            .save(&added.season)
            .map_err(|e| Failure::Disk(e.to_string()))?;
    }
    Ok(())
}

/// A first season.
fn fresh(at: &At, args: &StartArgs, out: &mut dyn Write) -> Result<Season, Failure> {
    let may_ask = !args.yes && std::io::stdin().is_terminal();
    let mut asker = Asker::new(may_ask, out);
    let name = asker.text(
        "name",
        args.name.as_deref(),
        "What is the place called?",
        Some("My orchard"),
        |t| Ok(t.to_owned()),
    )?;
    let (place, told) = place::where_is(&mut asker, args)?;
    let (latitude, longitude) = (place.latitude_deg, place.longitude_deg);
    let us = place.country_code.map_or_else(
        || place.zone.is_some_and(|z| z.name().starts_with("America/")),
        |code| code == "US",
    );
    let here = place.zone.map_or_else(
        || iana_time_zone::get_timezone().unwrap_or_else(|_| "UTC".to_owned()),
        |zone| zone.name().to_owned(),
    );
    // A place knows its clock: nobody is asked for it.
    let zone = args
        .zone
        .clone()
        .or(place.zone.map(|z| z.name().to_owned()));
    let time_zone: Zone = asker.text("zone", zone.as_deref(), "Time zone?", Some(&here), |t| {
        Zone::of_place(t).ok_or_else(|| {
            format!("'{t}' is no time zone; write for instance America/New_York or Europe/Madrid")
        })
    })?;
    let guess = if us { "us" } else { "metric" };
    let units = asker.text(
        "units",
        args.units.as_deref(),
        "Units, us or metric?",
        Some(guess),
        |t| match t.trim() {
            "us" => Ok(UnitSystem::Us),
            "metric" => Ok(UnitSystem::Metric),
            other => Err(format!("'{other}' is neither us nor metric")),
        },
    )?;
    let today = super::season_at::iso_day(at.on.as_deref(), "--on")?
        .unwrap_or_else(|| Utc::now().with_timezone(&time_zone).date_naive());
    let usual = usual_leaf_drop(latitude, today);
    let calendar = Calendar {
        today,
        from: today,
        starts: today.checked_sub_days(Days::new(183)).unwrap_or(today),
    };
    let leaf_drop = asker.text(
        "leaf-drop",
        args.leaf_drop.as_deref(),
        "When were the leaves down, or when will they be?",
        Some(&usual.to_string()),
        |t| read_day(t, &calendar).map_err(|e| e.to_string()),
    )?;
    let blocks = if args.block.is_empty() {
        asker.blocks()?
    } else {
        given_blocks(&args.block)?
    };
    let mut answers = Answers {
        name,
        latitude,
        longitude,
        time_zone,
        units,
        leaf_drop,
        swell: leaf_drop
            .checked_add_days(Days::new(110))
            .unwrap_or(leaf_drop),
        blocks,
    };
    // A first plan hangs on the swell of the earliest block: as the temperatures given suggest
    // it, or latitude alone.
    let weather = daily_of(&args.weather)?;
    let made = |answers: &Answers| {
        let mut season = new_season(answers);
        season.orchard.elevation = place.elevation_m.and_then(|m| place::height(m, units));
        season
    };
    let estimates = Estimates::compute(&made(&answers), &weather, today);
    if let Some(swell) = earliest_swell(&estimates) {
        answers.swell = swell;
    }
    for line in told {
        writeln!(out, "{line}")?;
    }
    if let Some(doubt) = zone_doubt(time_zone, latitude, longitude) {
        writeln!(out, "  note: {doubt}; --zone sets another")?;
    }
    for line in estimates.ground.lines() {
        writeln!(out, "  note: {line}")?;
    }
    let season = made(&answers);
    // Each task by the dates of its own blocks, and none before today.
    let swells = swells_of_blocks(&season, &estimates)
        .unwrap_or_else(|| vec![Swell::about(answers.swell); season.blocks.len()]);
    Ok(laid_out(&season, &swells, today))
}

/// The days of the files given; the plan of a first season hangs on them.
fn daily_of(files: &[PathBuf]) -> Result<Weather, Failure> {
    let mut weather = Weather::default();
    for file in files {
        let days = season_weather::days_of(file).map_err(|e| Failure::Input(e.to_string()))?;
        match &mut weather.daily {
            Some(earlier) => earlier.merge(&days),
            None => weather.daily = Some(days),
        }
    }
    Ok(weather)
}

fn earliest_swell(estimates: &Estimates) -> Option<NaiveDate> {
    estimates.blocks.iter().map(|b| b.swell.p10()).min()
}

/// Mid-November in the north, mid-May in the south, of the dormant year nearest
/// to a day: only a proposal that the grower can change.
fn usual_leaf_drop(latitude: f64, today: NaiveDate) -> NaiveDate {
    let month = if latitude < 0.0 { 5 } else { 11 };
    let in_year = |year| NaiveDate::from_ymd_opt(year, month, 20).unwrap_or(today);
    [today.year() - 1, today.year(), today.year() + 1]
        .map(in_year)
        .into_iter()
        .min_by_key(|d| (*d - today).num_days().abs())
        .unwrap_or(today)
}

fn given_blocks(texts: &[String]) -> Result<Vec<NewBlock>, Failure> {
    let wrong = |why: String| Failure::Input(format!("--block: {why}"));
    let read: Result<Vec<_>, _> = texts.iter().map(|t| read_blocks(t)).collect();
    let blocks = read.map_err(wrong)?.concat();
    if blocks.is_empty() {
        return Err(wrong(
            "no tree is named; write for instance peach:redhaven:6".to_owned(),
        ));
    }
    Ok(blocks)
}
