//! By-station CSV of the global historical daily archive: values in tenths, each element with a
//! column of attributes "measurement flag, quality flag, source flag".

use std::io::BufRead;

use super::day_grid::{DayGrid, Field};
use super::number;
use super::problem::{ImportError, shown};
use super::report::{ImportReport, Station};
use super::sniff::WeatherFormat;
use super::table::{Lines, Row, Table};
use super::{ImportOptions, Imported};
use crate::domain::climate::daily_weather::DailyWeather;

/// Elements kept, with the unit of the raw value in ours.
pub(super) const ELEMENTS: [(&[u8], Field, f64); 5] = [
    (b"TMIN", Field::Tmin, 0.1),
    (b"TMAX", Field::Tmax, 0.1),
    (b"PRCP", Field::Rain, 0.1),
    (b"AWND", Field::Wind, 0.1),
    (b"RHAV", Field::Rh, 1.0),
];

/// Raw values are whole numbers; dividing by ten rounds correctly where times 0.1 would not.
pub(super) fn from_raw(raw: f64, unit: f64) -> f64 {
    if unit < 1.0 { raw / 10.0 } else { raw }
}

struct Element {
    value: usize,
    attributes: Option<usize>,
    field: Field,
    unit: f64,
    name: &'static [u8],
}

pub(super) fn read(
    input: impl BufRead,
    file: &str,
    options: &ImportOptions,
) -> Result<Imported<DailyWeather>, ImportError> {
    let mut table = Table::open(Lines::new(input, file))?;
    let column = |name: &[u8]| {
        table
            .header()
            .iter()
            .position(|h| h.eq_ignore_ascii_case(name))
    };
    let elements: Vec<Element> = ELEMENTS
        .iter()
        .filter_map(|&(name, field, unit)| {
            let attributes = column(&[name, b"_ATTRIBUTES"].concat());
            column(name).map(|value| Element {
                value,
                attributes,
                field,
                unit,
                name,
            })
        })
        .collect();
    for (name, _, _) in ELEMENTS.iter().take(2) {
        if column(name).is_none() {
            let what = format!("this station file has no column {}", shown(name));
            return Err(ImportError::one(
                file,
                table.header_line(),
                &what,
                "choose a station that reports both TMIN and TMAX",
            ));
        }
    }
    let (Some(station), Some(date)) = (column(b"STATION"), column(b"DATE")) else {
        return Err(ImportError::one(
            file,
            table.header_line(),
            "no column STATION or DATE",
            "keep the header as it came",
        ));
    };
    let place = [b"NAME".as_slice(), b"LATITUDE", b"LONGITUDE", b"ELEVATION"].map(column);
    let mut grid = DayGrid::new(file, ImportReport::new(file, WeatherFormat::StationCsv));
    let mut id: Vec<u8> = Vec::new();
    while let Some((row, point)) = table.next()? {
        grid.report.rows += 1;
        if grid.report.station.is_none() {
            id = row.cell(station).to_vec();
            grid.report.station = Some(station_of(&row, station, place));
        } else if row.cell(station) != id {
            grid.problems
                .other_station(row.line, &id, row.cell(station));
            continue;
        }
        let day = match number::date(row.cell(date)) {
            Ok(found) => grid.open_day(found, row.line),
            Err(bad) => {
                grid.problems.add(row.line, Some(b"DATE"), || {
                    bad.texts(&shown(row.cell(date)))
                });
                continue;
            }
        };
        for element in &elements {
            take(&mut grid, day, &row, point, element);
        }
    }
    let (data, report) = grid.finish(file, options.strict)?;
    Ok(Imported { data, report })
}

fn take(grid: &mut DayGrid, day: usize, row: &Row<'_>, point: u8, element: &Element) {
    let cell = row.cell(element.value).trim_ascii();
    let value = match number::number(cell, point) {
        Ok(Some(value)) if value.fract() == 0.0 && !cell.contains(&point) => value,
        Ok(None) => return,
        Ok(Some(_)) => {
            grid.problems.add(row.line, Some(element.name), || {
                let what = format!(
                    "\"{}\" has a decimal point, the raw archive counts whole tenths",
                    shown(cell)
                );
                (
                    what,
                    "name the columns date, tmin_c, tmax_c if the values are in whole degrees"
                        .into(),
                )
            });
            return;
        }
        Err(number::NotANumber) => {
            grid.problems.bad_number(row.line, element.name, cell);
            return;
        }
    };
    let failed = element.attributes.is_some_and(|column| {
        let mut flags = row.cell(column).split(|&b| b == b',');
        flags
            .nth(1)
            .is_some_and(|quality| !quality.trim_ascii().is_empty())
    });
    if failed {
        grid.report.flagged += 1;
    } else {
        grid.put(
            day,
            element.field,
            from_raw(value, element.unit),
            row.line,
            element.name,
        );
    }
}

fn station_of(
    row: &Row<'_>,
    id: usize,
    [name, latitude, longitude, elevation]: [Option<usize>; 4],
) -> Station {
    let degrees = |column: Option<usize>, most: f64| {
        let value = number::number(row.cell(column?), b'.').ok().flatten()?;
        (value.abs() <= most).then_some(value)
    };
    Station {
        id: shown(row.cell(id)),
        name: name
            .map(|column| shown(row.cell(column)))
            .filter(|name| !name.is_empty()),
        latitude_deg: degrees(latitude, 90.0),
        longitude_deg: degrees(longitude, 180.0),
        elevation_m: degrees(elevation, 9000.0),
    }
}
