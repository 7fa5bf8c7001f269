//! `start`: a new season, by a few questions or by options.

use super::args::StartArgs;
use super::season_at::At;
use super::start_ask::Asker;
use super::{Exit, Failure};
use crate::domain::climate::weather::Weather;
use crate::domain::next_season::{self, StageSeen};
use crate::domain::outlook::{Estimates, swells_of_blocks};
use crate::domain::phenology::stage::Stage;
use crate::domain::place::{self, Found, Place, Town, zone_doubt};
use crate::domain::season::starter::{Answers, laid_out, new_season, tasks_again};
use crate::domain::season::{
    BlockId, Calendar, NewBlock, Season, UnitSystem, read_blocks, read_day,
};
use crate::domain::units::Length;
use crate::domain::zone::Zone;
use crate::store::disk::RealDisk;
use crate::store::places::Places;
use crate::store::session::{Mode, Session};
use crate::store::{season_weather, starter, whole};
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
    let (place, told) = where_is(&mut asker, args)?;
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
        season.orchard.elevation = place.elevation_m.and_then(|m| height(m, units));
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
    // Each task by the dates of its own blocks.
    Ok(match swells_of_blocks(&season, &estimates) {
        Some(swells) => laid_out(&season, &swells, today),
        None => season,
    })
}

/// How many towns of one name are listed.
const MOST_LISTED: usize = 8;

/// Where the orchard is: by name, by coordinates, or asked; with what to say of it.
fn where_is(asker: &mut Asker<'_>, args: &StartArgs) -> Result<(Place, Vec<String>), Failure> {
    let degrees = |option: &'static str, text: &str, most: f64| {
        let value: f64 = text.trim().parse().map_err(|_| {
            Failure::Input(format!(
                "--{option}: '{text}' is no number of degrees; write for instance 43.1"
            ))
        })?;
        if value.abs() <= most {
            Ok(value)
        } else {
            Err(Failure::Input(format!(
                "--{option}: {value} lies outside -{most} to {most}"
            )))
        }
    };
    let pair = match (&args.latitude, &args.longitude) {
        (Some(north), Some(east)) => Some((
            degrees("latitude", north, 90.0)?,
            degrees("longitude", east, 180.0)?,
        )),
        (None, None) => None,
        _ => {
            return Err(Failure::Input(
                "--latitude and --longitude belong together; or name the town: --place \"Geneva, New York\""
                    .to_owned(),
            ));
        }
    };
    let written = args
        .place
        .clone()
        .or_else(|| pair.map(|(north, east)| format!("{north}, {east}")));
    let place = asker.text(
        "place",
        written.as_deref(),
        "Where? A town with its state or country, or latitude and longitude:",
        None,
        |text| match place::find(text, MOST_LISTED) {
            Found::One(place) => Ok(place),
            Found::Several(towns, all) => Err(several(text, &towns, all)),
            Found::None(why) => Err(why),
        },
    )?;
    // Coordinates given beside a town are those of the orchard; height and clock are the town's.
    let place = match pair.filter(|_| args.place.is_some()) {
        Some((latitude_deg, longitude_deg)) => Place {
            latitude_deg,
            longitude_deg,
            ..place
        },
        None => place,
    };
    let height = place.elevation_m.map_or_else(
        || "height not known (write elevation under [orchard])".to_owned(),
        |m| format!("{m:.0} m high"),
    );
    let zone = place.zone.map_or("", Zone::name);
    let told = vec![format!(
        "Place: {} ({:.2}, {:.2}), {height} {zone}",
        place.words, place.latitude_deg, place.longitude_deg
    )];
    Ok((place, told))
}

/// Several towns of one name, to choose from.
fn several(text: &str, towns: &[Town], all: usize) -> String {
    let mut lines = format!("{all} towns are called '{text}'; add the state or country:");
    for town in towns {
        lines.push_str("\n  ");
        lines.push_str(&town.words());
    }
    if all > towns.len() {
        lines.push_str("\n  ..");
    }
    lines
}

/// A height in the owner's units.
fn height(elevation_m: f64, units: UnitSystem) -> Option<Length> {
    let text = match units {
        UnitSystem::Us => format!("{:.0} ft", elevation_m / 0.3048),
        UnitSystem::Metric => format!("{elevation_m:.0} m"),
    };
    text.parse().ok()
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
    let target = match (at.season.as_deref(), places) {
        (Some(path), _) => path.parent().map(|p| {
            if p.as_os_str().is_empty() {
                PathBuf::from(".")
            } else {
                p.to_path_buf()
            }
        }),
        (None, Some(places)) => Some(places.seasons.clone()),
        (None, None) => None,
    };
    carry_weather(&mut season, &folder, target.as_deref(), &mut notes);
    let weather = season_weather::load(&last, &folder, None);
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

/// Weather files are named relative to the season file: where the new one lies in another folder
/// they are copied beside it, and what cannot be copied is said and left out.
fn carry_weather(season: &mut Season, old: &Path, new: Option<&Path>, notes: &mut Vec<String>) {
    let same = new.is_some_and(|new| {
        let whole = |p: &Path| p.canonicalize().ok();
        whole(new).is_some() && whole(new) == whole(old)
    });
    let Some(new) = new.filter(|_| !same) else {
        return;
    };
    let allow_outside = season.weather.allow_outside;
    let mut copied = 0;
    let mut copy = |names: &mut Vec<String>| {
        names.retain_mut(|name| {
            let is_plain = Path::new(name.as_str())
                .components()
                .all(|c| matches!(c, std::path::Component::Normal(_)));
            if !is_plain {
                // A path of its own: as it leads somewhere, or nowhere, it stays.
                return allow_outside && Path::new(name.as_str()).is_absolute();
            }
            let from = old.join(&*name);
            match copy_beside(&from, new, name) {
                Ok(kept_as) => {
                    copied += 1;
                    *name = kept_as;
                    true
                }
                Err(fault) => {
                    notes.push(format!(
                        "weather file {name} was not taken along ({}); bring it in with: barewood weather add {}",
                        fault.kind(),
                        from.display()
                    ));
                    false
                }
            }
        });
    };
    copy(&mut season.weather.daily);
    copy(&mut season.weather.hourly);
    if copied > 0 {
        notes.push(format!(
            "{copied} weather files were copied from {} to {}",
            old.display(),
            new.display()
        ));
    }
}

/// Copies a file into a folder under its name, or one like it where another file has that.
fn copy_beside(from: &Path, folder: &Path, name: &str) -> std::io::Result<String> {
    let bytes = whole::read_plain(from)?;
    let (stem, ending) = name.split_once('.').unwrap_or((name, ""));
    for number in 1..1000 {
        let kept_as = match number {
            1 => name.to_owned(),
            n => format!("{stem}-{n}.{ending}"),
        };
        let to = folder.join(&kept_as);
        match whole::read_plain(&to) {
            Ok(there) if there == bytes => return Ok(kept_as),
            Ok(_) => {}
            Err(_) => {
                if let Some(parent) = to.parent() {
                    std::fs::create_dir_all(parent)?;
                }
                whole::put(&to, &bytes)?;
                return Ok(kept_as);
            }
        }
    }
    Err(std::io::Error::from(std::io::ErrorKind::AlreadyExists))
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
