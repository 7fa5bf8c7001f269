//! `start`: a new season, by a few questions or by options.

use super::args::StartArgs;
use super::season_at::At;
use super::start_ask::Asker;
use super::{Exit, Failure};
use crate::domain::climate::weather::Weather;
use crate::domain::next_season::{self, StageSeen};
use crate::domain::outlook::{Estimates, swells_of_blocks};
use crate::domain::phenology::stage::Stage;
use crate::domain::season::starter::{Answers, laid_out, new_season, tasks_again};
use crate::domain::season::{
    BlockId, Calendar, NewBlock, Season, UnitSystem, read_blocks, read_day,
};
use crate::domain::zone::Zone;
use crate::store::disk::RealDisk;
use crate::store::places::Places;
use crate::store::session::{Mode, Session};
use crate::store::weather::ImportOptions;
use crate::store::{season_weather, starter};
use chrono::{Datelike, Days, NaiveDate, Utc};
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
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
        Some(from) => carried(at, args, from, places.as_ref())?,
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
        "  {} blocks, {open} tasks in three lanes; every line of the file is explained in it.",
        season.blocks.len()
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
        let added = season_weather::add(&season, &folder, file, &ImportOptions::default())
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
    let degrees = |most: f64| {
        move |t: &str| {
            let value: f64 = t
                .trim()
                .parse()
                .map_err(|_| format!("'{t}' is no number of degrees; write for instance 43.1"))?;
            if value.abs() <= most {
                Ok(value)
            } else {
                Err(format!("{value} lies outside -{most} to {most}"))
            }
        }
    };
    let latitude = asker.text(
        "latitude",
        args.latitude.as_deref(),
        "Degrees north (south negative)?",
        None,
        degrees(90.0),
    )?;
    let longitude = asker.text(
        "longitude",
        args.longitude.as_deref(),
        "Degrees east (west negative)?",
        None,
        degrees(180.0),
    )?;
    let here = iana_time_zone::get_timezone().unwrap_or_else(|_| "UTC".to_owned());
    let time_zone: Zone = asker.text(
        "zone",
        args.zone.as_deref(),
        "Time zone?",
        Some(&here),
        |t| {
            Zone::of_place(t).ok_or_else(|| {
                format!(
                    "'{t}' is no time zone; write for instance America/New_York or Europe/Madrid"
                )
            })
        },
    )?;
    let guess = if time_zone.name().starts_with("America/") {
        "us"
    } else {
        "metric"
    };
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
    let estimates = Estimates::compute(&new_season(&answers), &weather, today);
    if let Some(swell) = earliest_swell(&estimates) {
        answers.swell = swell;
    }
    let season = new_season(&answers);
    // Each task by the dates of its own blocks.
    Ok(match swells_of_blocks(&season, &estimates) {
        Some(swells) => laid_out(&season, &swells, today),
        None => season,
    })
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

/// The season after an earlier one.
fn carried(
    at: &At,
    args: &StartArgs,
    from: &str,
    places: Option<&Places>,
) -> Result<(Season, Vec<String>), Failure> {
    let path = if from == "last" {
        places
            .and_then(|p| p.latest_season(&RealDisk))
            .ok_or_else(|| {
                Failure::Input(
                    "there is no earlier season in the data folder; name its file with --from FILE"
                        .to_owned(),
                )
            })?
    } else {
        PathBuf::from(from)
    };
    let session = Session::open(Arc::new(RealDisk), None, &path, Mode::ReadOnly)
        .map_err(|e| Failure::from_open(&e))?;
    let last = session.season().clone();
    let leaf_drop_expected = super::season_at::iso_day(args.leaf_drop.as_deref(), "--leaf-drop")?;
    let seen = args
        .seen
        .iter()
        .map(|t| stage_seen(&last, t))
        .collect::<Result<Vec<_>, _>>()?;
    let answers = next_season::Answers {
        name: None,
        leaf_drop_expected,
        seen,
        lessons: args.lesson.clone(),
    };
    let carried =
        next_season::from_last(&last, &answers).map_err(|e| Failure::Input(e.to_string()))?;
    let mut season = carried.season;
    let mut notes = carried.notes;
    for ask in next_season::asks(&last) {
        if !answers
            .seen
            .iter()
            .any(|s| s.block == ask.block && s.stage == ask.stage)
        {
            let proposed = ask
                .proposed
                .map_or_else(String::new, |d| format!(" (your looks suggest about {d})"));
            notes.push(format!(
                "when did {} reach {}{proposed}? add it with --seen {}:{}:DATE; each date sharpens the estimate",
                ask.name,
                ask.stage.words(),
                ask.block,
                ask.stage.words().replace(' ', "-"),
            ));
        }
    }
    let folder = session.folder();
    carry_weather(
        &mut season,
        &folder,
        at.season.as_deref(),
        places,
        &mut notes,
    );
    let weather = season_weather::load(&last, &folder, None).unwrap_or_default();
    let today = season.dates.leaf_drop_expected;
    let swell_of = |s: &Season, day| earliest_swell(&Estimates::compute(s, &weather, day));
    let was = last
        .dates
        .leaf_drop_seen
        .unwrap_or(last.dates.leaf_drop_expected);
    if let (Some(old), Some(new)) = (swell_of(&last, was), swell_of(&season, today)) {
        season.tasks = tasks_again(&last, old, &season, new);
    }
    Ok((season, notes))
}

/// Weather files are named relative to the season file: those of another folder are left out, and said.
fn carry_weather(
    season: &mut Season,
    old: &Path,
    new: Option<&Path>,
    places: Option<&Places>,
    notes: &mut Vec<String>,
) {
    let target = match (new, places) {
        (Some(path), _) => path.parent().map(Path::to_path_buf),
        (None, Some(places)) => Some(places.seasons.clone()),
        (None, None) => None,
    };
    let same = target
        .and_then(|t| t.canonicalize().ok())
        .is_some_and(|t| t == old);
    if !same && !season.weather.daily.is_empty() {
        notes.push(format!(
            "the weather files stay in {}; bring them in with: barewood weather add FILE",
            old.display()
        ));
        season.weather.daily.clear();
        season.weather.hourly.clear();
    }
}

/// `block:stage:date`, with the stage in words joined by hyphens.
fn stage_seen(last: &Season, text: &str) -> Result<StageSeen, Failure> {
    let wrong = |why: &str| {
        Failure::Input(format!(
            "--seen {text}: {why}; write block:stage:date, for instance peaches:swell:2027-03-14"
        ))
    };
    let mut parts = text.splitn(3, ':');
    let (Some(block), Some(stage), Some(date)) = (parts.next(), parts.next(), parts.next()) else {
        return Err(wrong("three parts are needed"));
    };
    let block = BlockId::from(block);
    if last.block(&block).is_none() {
        return Err(wrong("there is no such block"));
    }
    Ok(StageSeen {
        block,
        stage: Stage::from_text(&stage.replace('-', " "))
            .ok_or_else(|| wrong("there is no such stage"))?,
        date: date.parse().map_err(|_| wrong("there is no such day"))?,
    })
}
