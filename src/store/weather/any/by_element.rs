//! The global daily archive with one element a line (`USW00014768,20270101,TMAX,56,,,W,`), as its
//! files by year and by station come (format: the archive's readme). Values are whole tenths.

use super::super::report::Station;
use super::dates;
use super::find::Separator;
use super::taken::{DayCells, Taken};
use crate::store::weather::problem::shown;

const SIGN: Separator = Separator::Sign(b',');

/// Reads it; `None` where the text is of another kind.
pub(super) fn read(lines: &[&str], file: &str) -> Option<Taken> {
    let first = lines.iter().position(|l| !l.trim().is_empty());
    let is = |line: &&str| {
        let cells = SIGN.split(line);
        (7..=8).contains(&cells.len())
            && cells.first().is_some_and(|c| c.len() == 11)
            && cells
                .get(1)
                .is_some_and(|c| c.len() == 8 && dates::when(c).is_some())
            && cells.get(2).is_some_and(|c| {
                c.len() == 4
                    && c.bytes()
                        .all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
            })
            && cells.get(3).is_some_and(|c| c.parse::<i32>().is_ok())
    };
    let rows = lines.iter().skip(first.unwrap_or(0));
    // Newer files begin with a line of names.
    let named = rows
        .clone()
        .next()
        .is_some_and(|l| l.to_uppercase().starts_with("ID,DATE,ELEMENT"));
    let rows: Vec<(usize, &&str)> = rows
        .enumerate()
        .skip(usize::from(named))
        .filter(|(_, l)| !l.trim().is_empty())
        .collect();
    if rows.is_empty() || !rows.iter().take(3).all(|(_, l)| is(l)) {
        return None;
    }
    let mut taken = Taken::new(file);
    let mut station = String::new();
    for (index, line) in rows {
        let number = (first.unwrap_or(0) + index + 1) as u64;
        let cells = SIGN.split(line);
        let cell = |i: usize| cells.get(i).copied().unwrap_or_default();
        taken.rows += 1;
        if station.is_empty() {
            cell(0).clone_into(&mut station);
            taken.station = Some(Station {
                id: shown(cell(0).as_bytes()),
                ..Station::default()
            });
        } else if station != cell(0) {
            taken
                .problems
                .other_station(number, station.as_bytes(), cell(0).as_bytes());
            continue;
        }
        let value: Option<i32> = cell(3).trim().parse().ok();
        let Some(dates::Day::Sure(date)) = dates::when(cell(1)).map(|w| w.day) else {
            taken.problems.add(number, Some(b"DATE"), || {
                (
                    format!("\"{}\" is no day", shown(cell(1).as_bytes())),
                    "correct it, or leave the line out".into(),
                )
            });
            continue;
        };
        let Some(value) = value.filter(|v| *v != -9999) else {
            continue;
        };
        if !cell(5).trim().is_empty() {
            taken.flagged += 1;
            continue;
        }
        let mut day = DayCells::empty(number);
        let tenths = f64::from(value) / 10.0;
        match cell(2) {
            "TMIN" => day.low_c = tenths,
            "TMAX" => day.high_c = tenths,
            "PRCP" => day.rain_mm = tenths,
            "AWND" => day.wind_ms = tenths,
            "RHAV" => day.rh_pct = f64::from(value),
            _ => continue,
        }
        taken.take_day(date, day);
    }
    Some(taken)
}
