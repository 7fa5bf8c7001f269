//! TMY3: a typical year put together from months of different years. Two header lines, dates
//! MM/DD/YYYY and hours 01:00–24:00 in local standard time; missing is -9900.
//!
//! The years in the file mean nothing together, so its days are laid on one year
//! ([`super::ImportOptions::typical_year`]).

use std::io::BufRead;

use super::hour_grid::HourGrid;
use super::hourly_csv::put;
use super::hourly_header::HourlyHeader;
use super::number;
use super::problem::{ImportError, shown};
use super::report::{ImportReport, Station};
use super::sniff::WeatherFormat;
use super::table::{Lines, Table};
use super::{ImportOptions, Imported};
use crate::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};
use crate::domain::climate::temperature::TemperatureScale::Celsius;

/// The year typical days are laid on unless told otherwise: no 29 February, as in the file.
const DEFAULT_YEAR: i32 = 2001;

/// Columns kept, by their names in the format.
const COLUMNS: [(&[u8], HourlyHeader); 6] = [
    (b"Dry-bulb (C)", HourlyHeader::Temp(Some(Celsius))),
    (b"Dew-point (C)", HourlyHeader::Dew(Some(Celsius))),
    (b"RHum (%)", HourlyHeader::Rh),
    (b"Wspd (m/s)", HourlyHeader::Wind(1.0)),
    (b"Wdir (degrees)", HourlyHeader::WindDirection),
    (b"Lprecip depth (mm)", HourlyHeader::Rain(1.0)),
];

pub(super) fn read(
    input: impl BufRead,
    file: &str,
    options: &ImportOptions,
) -> Result<Imported<HourlySeries>, ImportError> {
    let mut lines = Lines::new(input, file);
    lines.advance_to_content()?;
    let (station, utc_offset_h) = station(lines.line(), file, lines.number())?;
    let mut table = Table::open(lines)?;
    let column = |name: &[u8]| {
        table
            .header()
            .iter()
            .position(|h| h.eq_ignore_ascii_case(name))
    };
    let kept: Vec<_> = COLUMNS
        .iter()
        .filter_map(|&(name, what)| Some((column(name)?, name, what)))
        .collect();
    let (Some(date), Some(clock), Some(_)) = (
        column(b"Date (MM/DD/YYYY)"),
        column(b"Time (HH:MM)"),
        column(b"Dry-bulb (C)"),
    ) else {
        return Err(ImportError::one(
            file,
            table.header_line(),
            "a column for date, time or dry-bulb temperature is missing",
            "keep both header lines of the TMY3 file as they came",
        ));
    };
    let mut report = ImportReport::new(file, WeatherFormat::Tmy3);
    report.station = Some(station);
    let mut grid = HourGrid::new(file, report);
    let year = options.typical_year.unwrap_or(DEFAULT_YEAR);
    while let Some((row, point)) = table.next()? {
        grid.report.rows += 1;
        let Some(local) = local_hour(row.cell(date), row.cell(clock), year) else {
            grid.problems.add(row.line, Some(b"Date (MM/DD/YYYY)"), || {
                let what = format!(
                    "\"{} {}\" is no hour of a year",
                    shown(row.cell(date)),
                    shown(row.cell(clock))
                );
                (
                    what,
                    "write for example 02/09/1988 and an hour from 01:00 to 24:00".into(),
                )
            });
            continue;
        };
        let mut hour = Hour {
            provenance: Provenance::Typical,
            ..Hour::default()
        };
        for &(column, name, what) in &kept {
            match number::number(row.cell(column), point) {
                Ok(Some(value)) => put(&mut grid, &mut hour, what, value, (row.line, name)),
                Ok(None) => {}
                Err(number::NotANumber) => {
                    grid.problems.bad_number(row.line, name, row.cell(column));
                }
            }
        }
        grid.put(local - utc_offset_h, row.line, hour);
    }
    let (data, report) = grid.finish(file, options.strict)?;
    Ok(Imported { data, report })
}

/// Identifier, name, state, hours from UTC, latitude, longitude, elevation.
fn station(line: &[u8], file: &str, number: u64) -> Result<(Station, i64), ImportError> {
    let cells = super::table::split_header(line);
    let value = |index: usize| {
        cells
            .get(index)
            .and_then(|cell| number::number(cell.as_bytes(), b'.').ok().flatten())
    };
    let Some(offset) = value(3).filter(|hours| (-14.0..=14.0).contains(hours)) else {
        return Err(ImportError::one(
            file,
            number,
            "the fourth field of the first line is not the offset from UTC in hours",
            "it should read like 723170,\"NAME\",NC,-5.0,36.1,-79.95,273",
        ));
    };
    let text = |index: usize| cells.get(index).map(|cell| shown(cell.as_bytes()));
    let station = Station {
        id: text(0).unwrap_or_default(),
        name: text(1).filter(|name| !name.is_empty()),
        latitude_deg: value(4).filter(|v| v.abs() <= 90.0),
        longitude_deg: value(5).filter(|v| v.abs() <= 180.0),
        elevation_m: value(6),
    };
    Ok((station, offset.round() as i64))
}

/// Hour number since 1970 in local standard time, on the typical year; 24:00 is the next day's 0.
/// A 29 February is dropped onto 1 March's eve only if the typical year has one.
fn local_hour(date: &[u8], clock: &[u8], year: i32) -> Option<i64> {
    let [m0, m1, b'/', d0, d1, b'/', ..] = date.trim_ascii() else {
        return None;
    };
    let (month, day) = (number::digits(&[*m0, *m1])?, number::digits(&[*d0, *d1])?);
    let [h0, h1, b':', b'0', b'0'] = clock.trim_ascii() else {
        return None;
    };
    let hour = number::digits(&[*h0, *h1]).filter(|hour| (1..=24).contains(hour))?;
    let date = number::civil(u32::try_from(year).ok()?, month, day).ok()?;
    Some((i64::from(chrono::Datelike::num_days_from_ce(&date)) - 719_163) * 24 + i64::from(hour))
}
