//! `weather`: bring files in, look at them.

use super::args::{ShowArgs, WeatherArgs, WeatherWhat};
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::temperature::{Temperature, TemperatureScale};
use crate::domain::outlook::{Estimates, swells_of_blocks};
use crate::domain::phenology::degree_days::{Cutoff, Method};
use crate::domain::season::{Season, Task, replan};
use crate::report::schemas;
use crate::report::weather_sums::{Sum, SumsRequest, weather_sums};
use crate::store::season_weather;
use crate::store::weather::{ImportOptions, read_daily};
use std::fs::File;
use std::io::Write;
use std::path::Path;
use std::str::FromStr;

/// Runs what was asked for.
pub fn run(at: &At, args: &WeatherArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    match &args.what {
        WeatherWhat::Add { file, scale } => add(at, file, scale.as_deref(), out),
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

/// Packs a file's days next to the season and notes it there.
fn add(at: &At, file: &Path, scale: Option<&str>, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let folder = opened.folder()?;
    let added = season_weather::add(&opened.season, &folder, file, &options(scale))
        .map_err(|e| Failure::Input(e.to_string()))?;
    writeln!(out, "{}", added.account)?;
    writeln!(out, "Kept as {}.", added.kept_as)?;
    opened.save(added.season)?;
    lay_out_anew(&mut opened, out)
}

/// A first plan that nobody has touched follows the swell that the temperatures suggest.
fn lay_out_anew(opened: &mut Opened, out: &mut dyn Write) -> Result<Exit, Failure> {
    let folder = opened.folder()?;
    let weather = season_weather::load(&opened.season, &folder, None)
        .map_err(|e| Failure::Input(e.to_string()))?;
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
        writeln!(
            out,
            "The plan was as `start` made it: laid out anew on the swell these temperatures suggest, {swell} at the earliest (1 in 10); {moved} tasks have other dates."
        )?;
    }
    Ok(Exit::Fine)
}

fn show(at: &At, args: &ShowArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (daily, latitude) = match &args.file {
        Some(path) => {
            let name = path.display().to_string();
            let input = File::open(path).map_err(|e| Failure::Disk(format!("{name}: {e}")))?;
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
