//! What was read is kept beside the season, each import as a file of its own.

use super::super::check::{self, Away};
use super::super::list::insert;
use super::super::{SeasonWeatherError, read_days};
use super::piece::Piece;
use super::{AddOptions, TYPICAL, io};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::daily_weather::{DailyColumn, DailyWeather};
use crate::domain::climate::hourly_series::HourlySeries;
use crate::domain::season::{Brought, Season};
use crate::domain::units::count;
use crate::store::weather::{ImportOptions, history, write_hourly};
use crate::store::whole;
use chrono::{DateTime, NaiveDate, TimeDelta, TimeZone, Utc};
use std::path::Path;

/// Writes bytes under a name nobody has; one that holds the same bytes already does.
pub(in super::super) fn put(
    folder: &Path,
    stem: &str,
    ending: &str,
    bytes: &[u8],
) -> Result<String, SeasonWeatherError> {
    for number in 1..10_000 {
        let name = if number == 1 {
            format!("{stem}.{ending}")
        } else {
            format!("{stem}-{number}.{ending}")
        };
        let path = folder.join(&name);
        match whole::read_plain(&path) {
            Ok(there) if there == bytes => return Ok(name),
            Ok(_) => {}
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
                whole::put(&path, bytes).map_err(|e| io(&path, e))?;
                return Ok(name);
            }
            Err(e) => return Err(io(&path, e)),
        }
    }
    Err(io(
        &folder.join(stem),
        std::io::Error::other("ten thousand files of this name are there already"),
    ))
}

/// The part of a record from one day to another, rain, wind and humidity along.
pub(super) fn part(days: &DailyWeather, from: NaiveDate, to: NaiveDate) -> Option<DailyWeather> {
    let temperatures = days.temperatures().slice(from, to);
    if temperatures.is_empty() {
        return None;
    }
    let skip = days.temperatures().index_of(temperatures.first())?;
    let mut part = DailyWeather::new(temperatures);
    for column in DailyColumn::ALL {
        let values = days.column(column);
        let n = part.temperatures().len();
        if let Some(values) = values.get(skip..(skip + n).min(values.len())) {
            part = part.with(column, values.to_vec());
        }
    }
    Some(part)
}

pub(super) fn known(days: &DailySeries) -> usize {
    days.iter().filter(|(_, day)| day.is_some()).count()
}

/// Keeps what a piece holds and names it in the season.
pub(super) fn keep_piece(
    season: &mut Season,
    folder: &Path,
    piece: Piece,
    before: Option<&DailySeries>,
    options: &AddOptions,
) -> Result<(String, Vec<String>), SeasonWeatherError> {
    let mut lines = piece.account.clone();
    let mut names = Vec::new();
    let kind = options.kind.unwrap_or(piece.kind);
    lines.push(
        match Away::of(&season.orchard, piece.place, piece.height_m) {
            Some(away) => format!("  place: {away}"),
            None => "  place: the file does not say where it is of".to_owned(),
        },
    );
    let mut brought = Brought {
        file: String::new(),
        source: piece.source.clone(),
        kind,
        since: options.today,
        to: options.today,
        on: options.today,
        latitude: piece.place.map(|p| p.0),
        longitude: piece.place.map(|p| p.1),
        note: None,
    };
    if let Some(bytes) = &piece.forecast {
        let name = put(folder, &piece.stem, "forecast.json", bytes)?;
        note(season, &mut names, |w| &mut w.forecast, name, &brought);
    }
    if let Some(days) = &piece.days {
        let first = days.temperatures().first();
        let last = days.temperatures().last().unwrap_or(first);
        if let Some(seen) = part(days, first, last.min(options.today)) {
            brought.since = seen.temperatures().first();
            brought.to = seen.temperatures().last().unwrap_or(first);
            if let Some(old) = before {
                lines.extend(joined_lines(seen.temperatures(), old));
            }
            let name = if Path::new(&piece.stem)
                .extension()
                .is_some_and(|e| e == "days")
            {
                piece.stem.clone()
            } else {
                put(folder, &piece.stem, "days", &history::encode(&seen))?
            };
            superseded(season, folder, &brought, seen.temperatures());
            note(season, &mut names, |w| &mut w.daily, name, &brought);
        }
        let ahead = options
            .today
            .succ_opt()
            .and_then(|next| part(days, first.max(next), last));
        if let Some(ahead) = ahead.filter(|a| known(a.temperatures()) > 0) {
            lines.push(format!(
                "  {} days after {} were taken as a forecast, not as seen",
                known(ahead.temperatures()),
                options.today
            ));
            brought.since = ahead.temperatures().first();
            brought.to = ahead.temperatures().last().unwrap_or(brought.since);
            let stem = format!("{}-ahead", piece.stem.trim_end_matches(".days"));
            let name = put(folder, &stem, "days", &history::encode(&ahead))?;
            note(season, &mut names, |w| &mut w.forecast, name, &brought);
        }
    }
    if let Some(hours) = &piece.hours {
        let zone = season.orchard.time_zone;
        let day_of = |t: DateTime<Utc>| t.with_timezone(&zone).date_naive();
        let end = options
            .today
            .succ_opt()
            .and_then(|d| d.and_hms_opt(0, 0, 0))
            .and_then(|t| zone.from_local_datetime(&t).earliest())
            .map(|t| t.with_timezone(&Utc));
        let (seen, ahead) = match end {
            Some(end) if !piece.typical => split_hours(hours, end),
            _ => (Some(hours.clone()), None),
        };
        for (part, is_ahead) in [(seen, false), (ahead, true)] {
            let Some(part) = part else { continue };
            brought.since = day_of(part.first());
            brought.to = part.last().map_or(brought.since, day_of);
            let bytes = write_hourly(&part).into_bytes();
            if is_ahead {
                lines.push(format!(
                    "  {} hours after {} were taken as a forecast, not as seen",
                    part.len(),
                    options.today
                ));
                let stem = format!("{}-ahead", piece.stem);
                let name = put(folder, &stem, "hours.csv", &bytes)?;
                note(season, &mut names, |w| &mut w.forecast, name, &brought);
            } else {
                let ending = if piece.typical { TYPICAL } else { "hours.csv" };
                let name = put(folder, &piece.stem, ending, &bytes)?;
                note(season, &mut names, |w| &mut w.hourly, name, &brought);
            }
        }
    }
    Ok((lines.join("\n"), names))
}

/// Names a kept file in the season, with where it came from.
pub(in super::super) fn note(
    season: &mut Season,
    names: &mut Vec<String>,
    list: impl Fn(&mut crate::domain::season::WeatherFiles) -> &mut Vec<String>,
    name: String,
    brought: &Brought,
) {
    let weather = &mut season.weather;
    weather.brought.retain(|b| b.file != name);
    let others = weather.brought.clone();
    let names_there = list(weather);
    names_there.retain(|n| *n != name);
    insert(names_there, &others, &name, brought.kind);
    weather.brought.push(Brought {
        file: name.clone(),
        ..brought.clone()
    });
    names.push(name);
}

/// An earlier file from the same source whose every day the new one has stands no longer in the
/// list; it stays on the disk.
pub(in super::super) fn superseded(
    season: &mut Season,
    folder: &Path,
    now: &Brought,
    days: &DailySeries,
) {
    let covered = |b: &Brought| {
        b.source == now.source
            && b.kind == now.kind
            && season.weather.daily.contains(&b.file)
            && read_days(&folder.join(&b.file), &ImportOptions::default()).is_ok_and(|(old, _)| {
                old.temperatures()
                    .iter()
                    .all(|(date, day)| day.is_none() || days.day(date).is_some())
            })
    };
    let gone: Vec<String> = season
        .weather
        .brought
        .iter()
        .filter(|b| covered(b))
        .map(|b| b.file.clone())
        .collect();
    season.weather.daily.retain(|n| !gone.contains(n));
    season.weather.brought.retain(|b| !gone.contains(&b.file));
}

/// What joining does to the days that are there.
pub(super) fn joined_lines(new: &DailySeries, old: &DailySeries) -> Vec<String> {
    let fresh = new
        .iter()
        .filter(|(date, day)| day.is_some() && old.day(*date).is_none())
        .count();
    let mut lines = vec![format!(
        "  joined: {} new, {} there already",
        count(fresh, "day", "days"),
        known(new) - fresh
    )];
    if let Some(shared) = check::shared(new, old)
        && shared.apart_c > check::UNLIKE_C
    {
        lines.push(format!(
            "  NOTE: on {} that both have they differ by {:.1} °C on the mean (this {:.1}, there {:.1}): is one of another place? barewood weather list, weather remove",
            count(shared.days, "day", "days"),
            shared.apart_c, shared.new_c, shared.old_c
        ));
    }
    lines
}

/// Hours before a moment, and from it on.
pub(super) fn split_hours(
    hours: &HourlySeries,
    end: DateTime<Utc>,
) -> (Option<HourlySeries>, Option<HourlySeries>) {
    let before = usize::try_from((end - hours.first()).num_hours().max(0)).unwrap_or(0);
    let seen = HourlySeries::new(hours.first(), hours.hours().take(before));
    let ahead = HourlySeries::new(
        hours.first() + TimeDelta::try_hours(before as i64).unwrap_or_default(),
        hours.hours().skip(before),
    );
    let some = |s: HourlySeries| (!s.is_empty()).then_some(s);
    (some(seen), some(ahead))
}
