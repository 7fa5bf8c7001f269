//! Daily CSV: a header with known names (or names given), one line a day, any order.

use std::io::BufRead;

use chrono::NaiveDate;

use super::day_grid::{DayGrid, Field};
use super::header::{DailyHeader, recognise};
use super::number::{self, BadDate};
use super::problem::{ImportError, Problems, shown};
use super::report::{ImportReport, Station};
use super::sniff::WeatherFormat;
use super::table::{Lines, Row, Table};
use super::{ImportOptions, Imported};
use crate::domain::climate::daily_weather::DailyWeather;
use crate::domain::climate::temperature::TemperatureScale;

/// Where the date stands.
#[derive(Debug, Clone, Copy)]
enum DateColumns {
    One(usize),
    Parts(usize, usize, usize),
}

/// The unit a column is written in.
#[derive(Debug, Clone, Copy)]
enum Unit {
    Scale(TemperatureScale),
    Times(f64),
}

impl Unit {
    fn convert(self, value: f64) -> f64 {
        match self {
            Self::Scale(scale) => scale.to_celsius(value),
            Self::Times(factor) => value * factor,
        }
    }
}

/// A column that is kept.
#[derive(Debug, Clone, Copy)]
struct Value {
    column: usize,
    field: Field,
    unit: Unit,
}

struct Layout {
    date: DateColumns,
    values: Vec<Value>,
    station: Option<usize>,
    unknown: Vec<String>,
}

pub(super) fn read(
    input: impl BufRead,
    file: &str,
    options: &ImportOptions,
) -> Result<Imported<DailyWeather>, ImportError> {
    let mut table = Table::open(Lines::new(input, file))?;
    let layout = layout(&table, file, options)?;
    let header = table.header().to_vec();
    let name = |column: usize| header.get(column).map_or(b"".as_slice(), Vec::as_slice);
    let mut report = ImportReport::new(file, WeatherFormat::DailyCsv);
    report.unknown_columns.clone_from(&layout.unknown);
    let mut grid = DayGrid::new(file, report);
    let mut station: Option<Vec<u8>> = None;
    while let Some((row, point)) = table.next()? {
        grid.report.rows += 1;
        if let Some(column) = layout.station {
            one_station(&mut station, row.cell(column), row.line, &mut grid.problems);
        }
        let date = match date_of(&row, layout.date) {
            Ok(date) => date,
            Err((column, bad)) => {
                grid.problems.add(row.line, Some(name(column)), || {
                    bad.texts(&shown(row.cell(column)))
                });
                continue;
            }
        };
        let day = grid.open_day(date, row.line);
        for value in &layout.values {
            let cell = row.cell(value.column);
            match number::number(cell, point) {
                Ok(Some(found)) => grid.put(
                    day,
                    value.field,
                    value.unit.convert(found),
                    row.line,
                    name(value.column),
                ),
                Ok(None) => {}
                Err(number::NotANumber) => {
                    // A trace of rain written as a letter must not cost sixty years of temperatures.
                    let needed = matches!(value.field, Field::Tmin | Field::Tmax);
                    let list = if needed {
                        &mut grid.problems
                    } else {
                        &mut grid.report.remarks
                    };
                    list.bad_number(row.line, name(value.column), cell);
                }
            }
        }
    }
    if let Some(id) = station {
        grid.report.station = Some(Station {
            id: shown(&id),
            ..Station::default()
        });
    }
    let (data, report) = grid.finish(file, options.strict)?;
    Ok(Imported { data, report })
}

/// A file is one place's record: another station on a later line is a problem.
fn one_station(seen: &mut Option<Vec<u8>>, cell: &[u8], line: u64, problems: &mut Problems) {
    match seen {
        None => *seen = Some(cell.to_vec()),
        Some(seen) if seen != cell => problems.other_station(line, seen, cell),
        Some(_) => {}
    }
}

fn date_of(row: &Row<'_>, columns: DateColumns) -> Result<NaiveDate, (usize, BadDate)> {
    match columns {
        DateColumns::One(column) => number::date(row.cell(column)).map_err(|bad| (column, bad)),
        DateColumns::Parts(year, month, day) => {
            let part = |column: usize| {
                number::digits(row.cell(column).trim_ascii()).ok_or((column, BadDate::Form))
            };
            number::civil(part(year)?, part(month)?, part(day)?).map_err(|bad| (day, bad))
        }
    }
}

fn layout<R: BufRead>(
    table: &Table<'_, R>,
    file: &str,
    options: &ImportOptions,
) -> Result<Layout, ImportError> {
    let mut problems = Problems::new(file);
    let line = table.header_line();
    let known: Vec<Option<DailyHeader>> = table
        .header()
        .iter()
        .map(|name| named(name, options))
        .collect();
    let mut find = |what: &str, wanted: &dyn Fn(&DailyHeader) -> bool| {
        let mut places = (0..known.len())
            .filter(|&i| known.get(i).copied().flatten().is_some_and(|h| wanted(&h)));
        let first = places.next();
        if let Some(second) = places.next() {
            problems.add(line, table.header().get(second).map(Vec::as_slice), || {
                let what = format!("a second column for the {what}");
                (what, "keep one, or name the one to use".into())
            });
        }
        first
    };
    let date = find("date", &|h| *h == DailyHeader::Date);
    let low = find("minimum", &|h| matches!(h, DailyHeader::Tmin(_)));
    let high = find("maximum", &|h| matches!(h, DailyHeader::Tmax(_)));
    let side = [
        find("rain", &|h| matches!(h, DailyHeader::Rain(_))),
        find("wind", &|h| matches!(h, DailyHeader::Wind(_))),
        find("humidity", &|h| *h == DailyHeader::Rh),
    ];
    let station = find("station", &|h| *h == DailyHeader::Station);
    let parts = match (
        find("year", &|h| *h == DailyHeader::Year),
        find("month", &|h| *h == DailyHeader::Month),
        find("day", &|h| *h == DailyHeader::Day),
    ) {
        (Some(year), Some(month), Some(day)) => Some(DateColumns::Parts(year, month, day)),
        _ => None,
    };
    let date = date.map(DateColumns::One).or(parts);
    for (found, what, example) in [
        (date.is_some(), "date", "date (or year, month and day)"),
        (low.is_some(), "daily minimum", "tmin_c (or tmin_f)"),
        (high.is_some(), "daily maximum", "tmax_c (or tmax_f)"),
    ] {
        if !found {
            problems.add(line, None, || {
                let what = format!("no column for the {what} among: {}", table.names());
                (what, format!("name one {example}"))
            });
        }
    }
    let mut values = Vec::new();
    for column in [low, high].into_iter().flatten() {
        let (field, scale) = match known.get(column).copied().flatten() {
            Some(DailyHeader::Tmax(scale)) => (Field::Tmax, scale),
            Some(DailyHeader::Tmin(scale)) => (Field::Tmin, scale),
            _ => continue,
        };
        if let Some(scale) = scale.or(options.scale) {
            values.push(Value {
                column,
                field,
                unit: Unit::Scale(scale),
            });
        } else {
            problems.add(line, table.header().get(column).map(Vec::as_slice), || {
                let what = "the name does not say whether °C or °F".to_string();
                (
                    what,
                    "write for example tmin_c or tmin_f in the header, or give the unit".into(),
                )
            });
        }
    }
    for column in side.into_iter().flatten() {
        let (field, factor) = match known.get(column).copied().flatten() {
            Some(DailyHeader::Rain(mm)) => (Field::Rain, mm),
            Some(DailyHeader::Wind(ms)) => (Field::Wind, ms),
            _ => (Field::Rh, 1.0),
        };
        values.push(Value {
            column,
            field,
            unit: Unit::Times(factor),
        });
    }
    let (true, Some(date)) = (problems.is_empty(), date) else {
        return Err(ImportError::Content(problems));
    };
    let unknown = table
        .header()
        .iter()
        .zip(&known)
        .filter(|(_, known)| known.is_none());
    Ok(Layout {
        date,
        values,
        station,
        unknown: unknown.map(|(name, _)| shown(name)).take(50).collect(),
    })
}

/// What a column holds: as the caller says, else as its name says.
fn named(name: &[u8], options: &ImportOptions) -> Option<DailyHeader> {
    let is = |given: &Option<String>| {
        given
            .as_ref()
            .is_some_and(|given| given.trim().as_bytes().eq_ignore_ascii_case(name))
    };
    let mut words = super::header::words(name);
    let scale = super::header::take_scale(&mut words);
    if is(&options.date_column) {
        return Some(DailyHeader::Date);
    }
    if is(&options.tmin_column) {
        return Some(DailyHeader::Tmin(scale));
    }
    if is(&options.tmax_column) {
        return Some(DailyHeader::Tmax(scale));
    }
    // A name given by the caller takes the place of what another column's name suggests.
    recognise(name).filter(|header| match header {
        DailyHeader::Date => options.date_column.is_none(),
        DailyHeader::Tmin(_) => options.tmin_column.is_none(),
        DailyHeader::Tmax(_) => options.tmax_column.is_none(),
        _ => true,
    })
}
