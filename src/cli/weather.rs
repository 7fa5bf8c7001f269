//! `weather`: bring files in, look at them.

use super::args::{AddArgs, ShowArgs, WeatherArgs, WeatherWhat};
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::temperature::{Temperature, TemperatureScale};
use crate::domain::outlook::{Estimates, swells_of_blocks};
use crate::domain::phenology::degree_days::{Cutoff, Method};
use crate::domain::season::{Season, Task, WeatherKind, replan};
use crate::domain::units::count;
use crate::report::schemas;
use crate::report::weather_sums::{Sum, SumsRequest, weather_sums};
use crate::store::season_weather::{self, AddOptions};
use crate::store::session::Mode;
use crate::store::weather::any::ZoneGiven;
use crate::store::weather::any::dates::DateOrder;
use crate::store::weather::any::forms::Degrees;
use crate::store::weather::{ImportOptions, read_daily};
use chrono::{NaiveDate, Utc};
use std::io::Write;
use std::str::FromStr;

/// Runs what was asked for.
pub fn run(at: &At, args: &WeatherArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    match &args.what {
        WeatherWhat::Add(args) => add(at, args, out),
        WeatherWhat::List { output } => list(at, output.json, out),
        WeatherWhat::Remove { file } => remove(at, file, out),
        WeatherWhat::Undo => undo(at, out),
        WeatherWhat::Show(args) => show(at, args, out),
        WeatherWhat::Fetch(args) => super::fetch::run(at, args, out),
    }
}

fn options(scale: Option<&str>) -> ImportOptions {
    let scale = scale.map(|s| match s {
        "F" | "f" => TemperatureScale::Fahrenheit,
        _ => TemperatureScale::Celsius,
    });
    ImportOptions {
        scale,
        ..ImportOptions::default()
    }
}

/// What the command line says of the files.
fn add_options(args: &AddArgs, opened: &Opened) -> Result<AddOptions, Failure> {
    let mut import = ImportOptions {
        date_column: args.date_column.clone(),
        time_column: args.time.clone(),
        tmin_column: args.tmin.clone(),
        tmax_column: args.tmax.clone(),
        temp_column: args.temp.clone(),
        sheet: args.sheet.clone(),
        dates: args.dates.as_deref().and_then(DateOrder::from_key),
        zone_text: args.zone.clone(),
        ..ImportOptions::default()
    };
    if let Some(degrees) = args.unit.as_deref().and_then(Degrees::from_key) {
        import.set_degrees(degrees);
    }
    if let Some(zone) = &args.zone {
        import.zone =
            ZoneGiven::from_key(zone).map_err(|e| Failure::Input(format!("--zone: {e}")))?;
    }
    let kind = args
        .source
        .as_deref()
        .and_then(|s| WeatherKind::ALL.into_iter().find(|k| k.key() == s));
    Ok(AddOptions {
        import,
        kind,
        anyway: args.anyway,
        today: seen_until(opened),
    })
}

/// The last day that can have been seen: looking back with --on does not unsee what came after.
fn seen_until(opened: &Opened) -> NaiveDate {
    let now = Utc::now()
        .with_timezone(&opened.season.orchard.time_zone)
        .date_naive();
    opened.today.max(now)
}

/// Brings files in and notes them in the season.
fn add(at: &At, args: &AddArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let folder = opened.folder()?;
    let options = add_options(args, &opened)?;
    let added = season_weather::add(&opened.season, &folder, &args.files, &options)
        .map_err(|e| Failure::Input(e.to_string()))?;
    for line in added.account.lines() {
        let indent = line.len() - line.trim_start().len();
        let blank = " ".repeat(indent);
        for (i, part) in wrapped(line, 76 - indent.min(20)).iter().enumerate() {
            let more = if i > 0 { "  " } else { "" };
            writeln!(out, "{blank}{more}{part}")?;
        }
    }
    writeln!(out, "Kept as {}.", added.kept_as)?;
    opened.save(added.season)?;
    if added.is_in_doubt {
        let words = "The plan was left as it is until you know which days are of this place: take the wrong ones out with barewood weather remove. Days that are meant all the same: take them out and bring them in again with --anyway.";
        for line in wrapped(words, 78) {
            writeln!(out, "{line}")?;
        }
        return Ok(Exit::Fine);
    }
    lay_out_anew(&mut opened, out)
}

fn list(at: &At, json: bool, out: &mut dyn Write) -> Result<Exit, Failure> {
    let read = at.read_alone(Mode::ReadOnly, false)?;
    let Some(session) = &read.session else {
        writeln!(out, "The practice season's weather is built in.")?;
        return Ok(Exit::Fine);
    };
    let listed = season_weather::list(&read.season, &session.folder());
    if json {
        let rows: Vec<serde_json::Value> = listed
            .iter()
            .map(|l| {
                let b = l.brought.as_ref();
                serde_json::json!({
                    "file": l.file,
                    "holds": l.holds,
                    "days": l.days,
                    "kind": b.map(|b| b.kind.key()),
                    "source": b.map(|b| b.source.clone()),
                    "first": b.map(|b| b.since.to_string()),
                    "last": b.map(|b| b.to.to_string()),
                    "brought_in": b.map(|b| b.on.to_string()),
                    "note": b.and_then(|b| b.note.clone()),
                    "trouble": l.trouble,
                })
            })
            .collect();
        writeln!(out, "{}", serde_json::Value::from(rows))?;
        return Ok(Exit::Fine);
    }
    if listed.is_empty() {
        writeln!(
            out,
            "This season has no weather files; bring some in with: barewood weather add FILE"
        )?;
        return Ok(Exit::Fine);
    }
    writeln!(
        out,
        "Weather files in the order they are joined: later ones win."
    )?;
    for one in &listed {
        writeln!(out, "{}", one.file)?;
        let mut facts = vec![one.holds.to_owned()];
        if let Some(days) = one.days {
            facts.push(format!("{days} known"));
        }
        if let Some(b) = &one.brought {
            facts.push(format!("{} to {}", b.since, b.to));
            facts.push(b.kind.words().to_owned());
        }
        writeln!(out, "  {}", facts.join(", "))?;
        if let Some(b) = &one.brought {
            writeln!(out, "  from {}, brought in {}", b.source, b.on)?;
            for line in b.note.iter().flat_map(|n| wrapped(n, 76)) {
                writeln!(out, "  {line}")?;
            }
        }
        for line in one.trouble.iter().flat_map(|t| wrapped(t, 76)) {
            writeln!(out, "  ! {line}")?;
        }
    }
    Ok(Exit::Fine)
}

/// Text in lines of at most so many characters.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        if let Some(line) = lines.last_mut() {
            if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
                lines.push(word.to_owned());
            } else {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
            }
        }
    }
    lines
}

fn remove(at: &At, file: &str, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = changed_without_weather(at)?;
    let after =
        season_weather::remove(&opened.season, file).map_err(|e| Failure::Input(e.to_string()))?;
    opened.save(after)?;
    writeln!(
        out,
        "{file} is left out of the season; the file stays. Back with: barewood weather undo"
    )?;
    Ok(Exit::Fine)
}

fn undo(at: &At, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = changed_without_weather(at)?;
    let path = opened
        .session
        .as_ref()
        .map(|s| s.path().to_owned())
        .ok_or_else(|| Failure::Input("the practice season is not written".to_owned()))?;
    let after =
        season_weather::undo(&opened.season, &path).map_err(|e| Failure::Input(e.to_string()))?;
    let names = |s: &Season| {
        let all = [&s.weather.daily, &s.weather.hourly, &s.weather.forecast];
        let all: Vec<String> = all.into_iter().flatten().cloned().collect();
        if all.is_empty() {
            "none".to_owned()
        } else {
            all.join(", ")
        }
    };
    writeln!(out, "Weather files before: {}", names(&opened.season))?;
    writeln!(out, "Weather files now: {}", names(&after))?;
    opened.save(after)?;
    Ok(Exit::Fine)
}

/// A season to change whose weather may be broken: that is what is to be mended.
fn changed_without_weather(at: &At) -> Result<super::season_at::Alone, Failure> {
    at.change_alone()
}

/// Days of a winter: on fewer no plan is laid out anew.
const LEAST_DAYS: usize = 120;

/// A first plan that nobody has touched follows the swell that the temperatures suggest.
fn lay_out_anew(opened: &mut Opened, out: &mut dyn Write) -> Result<Exit, Failure> {
    let folder = opened.folder()?;
    let weather = season_weather::load(&opened.season, &folder, None);
    let known = weather
        .daily
        .as_ref()
        .map_or(0, |d| d.iter().filter(|(_, day)| day.is_some()).count());
    if known < LEAST_DAYS {
        return Ok(Exit::Fine);
    }
    let estimates = Estimates::compute(&opened.season, &weather, opened.today);
    let Some(swell) = estimates.blocks.iter().map(|b| b.swell.p10()).min() else {
        return Ok(Exit::Fine);
    };
    let season = &opened.season;
    let dates = |e: &Estimates| swells_of_blocks(season, e);
    let Some((before, now)) = dates(&opened.estimates).zip(dates(&estimates)) else {
        return Ok(Exit::Fine);
    };
    let Some(tasks) = replan::laid_out_anew(season, &before, &now) else {
        return Ok(Exit::Fine);
    };
    let other = |t: &&Task| opened.season.task(&t.id).is_some_and(|o| o.date != t.date);
    let moved = tasks.iter().filter(other).count();
    if moved > 0 {
        let after = Season {
            tasks,
            ..opened.season.clone()
        };
        opened.save(after)?;
        let words = format!(
            "The plan was as `start` made it: laid out anew on the swell these temperatures suggest, {swell} at the earliest (1 in 10); {} other dates.",
            count(moved, "task has", "tasks have")
        );
        for line in wrapped(&words, 78) {
            writeln!(out, "{line}")?;
        }
    }
    Ok(Exit::Fine)
}

fn show(at: &At, args: &ShowArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (daily, latitude) = match &args.file {
        Some(path) => {
            let name = path.display().to_string();
            let input = crate::store::whole::open_plain(path)
                .map_err(|e| Failure::Disk(format!("{name}: {e}")))?;
            let read = read_daily(input, &name, &options(args.scale.as_deref()))
                .map_err(|e| Failure::Input(e.to_string()))?;
            if args.sums.is_none() {
                if args.output.json {
                    schemas::WEATHER_FILE.write(&read.report.json(), out)?;
                } else {
                    writeln!(out, "{}", read.report)?;
                }
                return Ok(Exit::Fine);
            }
            (read.data.into_temperatures(), None)
        }
        None => {
            let opened = at.look()?;
            let latitude = opened.season.orchard.latitude;
            let daily = opened
                .weather
                .daily
                .clone()
                .ok_or_else(|| Failure::Input("this season has no daily temperatures; bring some in with: barewood weather add FILE".to_owned()))?;
            if args.sums.is_none() {
                writeln!(out, "{}", span_line(&daily))?;
                return Ok(Exit::Fine);
            }
            (daily, Some(latitude))
        }
    };
    let request = request(args, latitude)?;
    let table = weather_sums(&daily, &request).map_err(|e| Failure::Input(e.to_string()))?;
    if args.output.json {
        schemas::WEATHER.write(&table.json(), out)?;
    } else {
        write!(out, "{}", table.text())?;
    }
    Ok(Exit::Fine)
}

fn span_line(daily: &DailySeries) -> String {
    let missing: usize = daily.gaps().iter().map(|g| g.days).sum();
    match daily.last() {
        Some(last) => format!(
            "Daily temperatures {} to {last}, {missing} days missing.",
            daily.first()
        ),
        None => "No daily temperatures.".to_owned(),
    }
}

fn parsed<T: FromStr>(text: Option<&str>, option: &str) -> Result<Option<T>, Failure>
where
    T::Err: std::fmt::Display,
{
    text.map(|t| {
        t.parse()
            .map_err(|e| Failure::Input(format!("{option}: {e}")))
    })
    .transpose()
}

fn request(args: &ShowArgs, latitude: Option<f64>) -> Result<SumsRequest, Failure> {
    let sum = match args.sums.as_deref().unwrap_or("dd") {
        "dd" => Sum::DegreeDays {
            base: parsed::<Temperature>(args.base.as_deref(), "--base")?.ok_or_else(|| {
                Failure::Input("degree days need a base, for instance --base 43F".to_owned())
            })?,
            method: parsed::<Method>(Some(&args.method), "--method")?.unwrap_or(Method::SingleSine),
            cutoff: parsed::<Cutoff>(Some(&args.cutoff), "--cutoff")?.unwrap_or(Cutoff::None),
            upper: parsed::<Temperature>(args.upper.as_deref(), "--upper")?,
        },
        "chill-hours" => Sum::ChillHours,
        "utah" => Sum::Utah,
        "portions" => Sum::Portions,
        "gdh" => Sum::Gdh,
        "gdh-linear" => Sum::GdhLinear,
        other => {
            return Err(Failure::Input(format!(
                "--sums {other}: there is no such sum; write dd, chill-hours, utah, portions, gdh or gdh-linear"
            )));
        }
    };
    let given: Option<f64> = parsed(args.latitude.as_deref(), "--latitude")?;
    Ok(SumsRequest {
        sum,
        from: super::season_at::iso_day(args.from.as_deref(), "--from")?,
        to: super::season_at::iso_day(args.to.as_deref(), "--to")?,
        latitude_deg: given.or(latitude),
    })
}
