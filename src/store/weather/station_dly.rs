//! Fixed-width `.dly` of the global historical daily archive: a line holds one element of one
//! month, as 31 groups of value (5 characters) and measurement, quality and source flag.

use std::io::BufRead;

use chrono::NaiveDate;

use super::day_grid::{DayGrid, Field};
use super::number::{self, BadDate};
use super::problem::{ImportError, shown};
use super::report::{ImportReport, Station};
use super::sniff::WeatherFormat;
use super::station_csv::{ELEMENTS, from_raw};
use super::table::Lines;
use super::{ImportOptions, Imported};
use crate::domain::climate::daily_weather::DailyWeather;

pub(super) fn read(
    input: impl BufRead,
    file: &str,
    options: &ImportOptions,
) -> Result<Imported<DailyWeather>, ImportError> {
    let mut lines = Lines::new(input, file);
    let mut grid = DayGrid::new(file, ImportReport::new(file, WeatherFormat::StationDly));
    let mut id: Vec<u8> = Vec::new();
    while lines.advance_to_content()? {
        let (line, text) = (lines.number(), lines.line());
        let part = |from: usize, to: usize| text.get(from..to.min(text.len())).unwrap_or_default();
        grid.report.rows += 1;
        if grid.report.station.is_none() {
            id = part(0, 11).to_vec();
            grid.report.station = Some(Station {
                id: shown(&id),
                ..Station::default()
            });
        } else if part(0, 11) != id {
            grid.problems.other_station(line, &id, part(0, 11));
            continue;
        }
        let Some(&(name, field, unit)) = ELEMENTS.iter().find(|(name, _, _)| *name == part(17, 21))
        else {
            continue;
        };
        let (year, month) = (number::digits(part(11, 15)), number::digits(part(15, 17)));
        let (Some(year), Some(month)) = (year, month) else {
            grid.problems.add(line, Some(b"year and month"), || {
                let what = format!("\"{}\" is not a year and month", shown(part(11, 17)));
                (
                    what,
                    "characters 12 to 17 hold six digits such as 202402".into(),
                )
            });
            continue;
        };
        if let Err(bad) = number::civil(year, month, 1) {
            grid.problems.add(line, Some(b"year and month"), || {
                bad.texts(&shown(part(11, 17)))
            });
            continue;
        }
        for day in 1..=31_u32 {
            let from = 21 + (day as usize - 1) * 8;
            let Some(value) = value(&mut grid, part(from, from + 5), line, name) else {
                continue;
            };
            if !part(from + 6, from + 7).trim_ascii().is_empty() {
                grid.report.flagged += 1;
                continue;
            }
            match number::civil(year, month, day) {
                Ok(date) => put(&mut grid, date, line, (field, from_raw(value, unit)), name),
                Err(bad) => impossible_day(&mut grid, line, name, bad, (year, month, day)),
            }
        }
    }
    let (data, report) = grid.finish(file, options.strict)?;
    Ok(Imported { data, report })
}

/// A value group; `None` if missing or (noted) unreadable.
fn value(grid: &mut DayGrid, group: &[u8], line: u64, name: &[u8]) -> Option<f64> {
    match number::number(group, b'.') {
        Ok(Some(value)) if value.fract() == 0.0 => Some(value),
        Ok(None) => None,
        _ => {
            grid.problems.add(line, Some(name), || {
                let what = format!("\"{}\" is not a value in whole tenths", shown(group));
                (
                    what,
                    "keep the columns of the file as they came; -9999 means missing".into(),
                )
            });
            None
        }
    }
}

/// The same day comes once for each element, so only a second value of one element is a repeat.
fn put(grid: &mut DayGrid, date: NaiveDate, line: u64, (field, value): (Field, f64), name: &[u8]) {
    let day = grid.open_element(date, field, line);
    grid.put(day, field, value, line, name);
}

fn impossible_day(
    grid: &mut DayGrid,
    line: u64,
    name: &[u8],
    bad: BadDate,
    (year, month, day): (u32, u32, u32),
) {
    grid.problems.add(line, Some(name), || {
        let (what, _) = bad.texts(&format!("{year:04}-{month:02}-{day:02}"));
        (what, "days past the end of a month hold -9999".into())
    });
}
