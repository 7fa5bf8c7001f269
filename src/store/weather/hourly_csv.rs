//! Hourly CSV: `utc,temp_c,dewp_c,rh_pct,wind_ms,gust_ms,wind_dir_deg,precip_mm`, and in a
//! forecast `rain_chance_pct,cloud_pct`; other columns are left aside. Times are UTC or name their offset; a reading between full hours counts for the
//! nearest one.

use std::fmt::Write;
use std::io::BufRead;

use super::hour_grid::HourGrid;
use super::hourly_header::{HourlyHeader, recognise};
use super::number::{self, BadDate};
use super::problem::{ImportError, Problems, shown};
use super::report::ImportReport;
use super::sniff::WeatherFormat;
use super::table::{Lines, Table};
use super::{ImportOptions, Imported};
use crate::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};
use crate::domain::climate::temperature::TemperatureScale;

/// A column that is kept: where it stands and what it holds, scales settled.
type Kept = (usize, HourlyHeader);

pub(super) fn read(
    input: impl BufRead,
    file: &str,
    options: &ImportOptions,
) -> Result<Imported<HourlySeries>, ImportError> {
    let mut table = Table::open(Lines::new(input, file))?;
    let (time, kept) = layout(&table, file, options)?;
    let header = table.header().to_vec();
    let name = |column: usize| header.get(column).map_or(b"".as_slice(), Vec::as_slice);
    let mut report = ImportReport::new(file, WeatherFormat::HourlyCsv);
    let unknown = header.iter().filter(|name| recognise(name).is_none());
    report.unknown_columns = unknown.map(|name| shown(name)).take(50).collect();
    let mut grid = HourGrid::new(file, report);
    while let Some((row, point)) = table.next()? {
        grid.report.rows += 1;
        let cell = row.cell(time.0).trim_ascii();
        let when = match nearest_hour(cell, time.1 == HourlyHeader::Utc) {
            Ok(when) => when,
            Err(bad) => {
                grid.problems
                    .add(row.line, Some(name(time.0)), || bad.texts(&shown(cell)));
                continue;
            }
        };
        let mut hour = Hour {
            provenance: Provenance::Observed,
            ..Hour::default()
        };
        for &(column, what) in &kept {
            let cell = row.cell(column);
            match number::number(cell, point) {
                Ok(Some(value)) => put(&mut grid, &mut hour, what, value, (row.line, name(column))),
                Ok(None) => {}
                Err(number::NotANumber) => grid.problems.bad_number(row.line, name(column), cell),
            }
        }
        grid.put(when, row.line, hour);
    }
    let (data, report) = grid.finish(file, options.strict)?;
    Ok(Imported { data, report })
}

/// Puts one value into its place if it is possible.
pub(super) fn put(
    grid: &mut HourGrid,
    hour: &mut Hour,
    what: HourlyHeader,
    value: f64,
    (line, name): (u64, &[u8]),
) {
    let celsius =
        |scale: Option<TemperatureScale>| scale.map_or(value, |scale| scale.to_celsius(value));
    let mut check = |value: f64, low: f64, high: f64| grid.possible(value, low..=high, line, name);
    match what {
        HourlyHeader::Temp(scale) => hour.temp_c = check(celsius(scale), -90.0, 60.0),
        HourlyHeader::Dew(scale) => hour.dew_c = check(celsius(scale), -110.0, 40.0),
        HourlyHeader::Rh => hour.rh_pct = check(value, 0.0, 105.0),
        HourlyHeader::Wind(ms) => hour.wind_ms = check(value * ms, 0.0, 120.0),
        HourlyHeader::Gust(ms) => hour.gust_ms = check(value * ms, 0.0, 150.0),
        HourlyHeader::WindDirection => hour.wind_dir_deg = check(value, 0.0, 360.0),
        HourlyHeader::RainChance => hour.rain_chance_pct = check(value, 0.0, 100.0),
        HourlyHeader::Cloud => hour.cloud_pct = check(value, 0.0, 100.0),
        HourlyHeader::Rain(mm) => hour.rain_mm = check(value * mm, 0.0, 500.0),
        HourlyHeader::Utc | HourlyHeader::Time => {}
    }
}

fn layout<R: BufRead>(
    table: &Table<'_, R>,
    file: &str,
    options: &ImportOptions,
) -> Result<(Kept, Vec<Kept>), ImportError> {
    let mut problems = Problems::new(file);
    let (mut time, mut kept): (Option<Kept>, Vec<Kept>) = (None, Vec::new());
    for (column, name) in table.header().iter().enumerate() {
        let Some(mut what) = recognise(name) else {
            continue;
        };
        match &mut what {
            HourlyHeader::Utc => time = Some((column, what)),
            HourlyHeader::Time => time = time.or(Some((column, what))),
            HourlyHeader::Temp(scale @ None) | HourlyHeader::Dew(scale @ None) => {
                *scale = options.scale;
                if scale.is_none() {
                    problems.add(table.header_line(), Some(name), || {
                        let what = "the name does not say whether °C or °F".to_string();
                        (
                            what,
                            "write for example temp_c or temp_f in the header, or give the unit"
                                .into(),
                        )
                    });
                }
                kept.push((column, what));
            }
            _ => kept.push((column, what)),
        }
    }
    if time.is_none()
        || !kept
            .iter()
            .any(|(_, what)| matches!(what, HourlyHeader::Temp(_)))
    {
        problems.add(table.header_line(), None, || {
            let what = format!(
                "no column for the time or the temperature among: {}",
                table.names()
            );
            (what, "name them utc and temp_c (or temp_f)".into())
        });
    }
    match time {
        Some(time) if problems.is_empty() => Ok((time, kept)),
        _ => Err(ImportError::Content(problems)),
    }
}

/// A time cell that cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum BadTime {
    Date(BadDate),
    Clock,
    NoOffset,
}

impl BadTime {
    fn texts(self, shown: &str) -> (String, String) {
        let example = "write for example 2024-02-09T06:00Z or 2024-02-09T01:00-0500".to_string();
        match self {
            Self::Date(bad) => (bad.texts(shown).0, example),
            Self::Clock => (
                format!("\"{shown}\": the time of day cannot be read"),
                example,
            ),
            Self::NoOffset => (
                format!("\"{shown}\" does not say how far it is from UTC"),
                example,
            ),
        }
    }
}

/// `14:05`, `14:05:30`, `14` or `1405` as seconds of the day.
fn clock_s(clock: &[u8]) -> Option<i64> {
    let (h, m, s) = match clock {
        [h @ .., b':', m0, m1, b':', s0, s1] if h.len() == 2 => (h, [*m0, *m1], [*s0, *s1]),
        [h @ .., b':', m0, m1] if h.len() == 2 => (h, [*m0, *m1], *b"00"),
        [h @ .., m0, m1] if h.len() == 2 => (h, [*m0, *m1], *b"00"),
        [h0, h1] => {
            return (number::digits(&[*h0, *h1])? < 24)
                .then_some(i64::from(number::digits(clock)?) * 3600);
        }
        _ => return None,
    };
    let (h, m, s) = (number::digits(h)?, number::digits(&m)?, number::digits(&s)?);
    (h < 24 && m < 60 && s < 60).then_some(i64::from(h * 3600 + m * 60 + s))
}

/// The number (since 1970, UTC) of the full hour nearest to a time.
fn nearest_hour(cell: &[u8], is_utc: bool) -> Result<i64, BadTime> {
    let (date, rest) = number::date_and_rest(cell).map_err(BadTime::Date)?;
    let rest = rest
        .strip_prefix(b"T")
        .or_else(|| rest.strip_prefix(b" "))
        .ok_or(BadTime::Clock)?;
    let zone_at = rest
        .iter()
        .position(|b| matches!(b, b'Z' | b'z' | b'+' | b'-'));
    let (clock, zone) = rest.split_at(zone_at.unwrap_or(rest.len()));
    let clock = clock.trim_ascii();
    // Fractions of a second do not move an hour.
    let clock = clock.split(|&b| b == b'.').next().unwrap_or(clock);
    let seconds = clock_s(clock).ok_or(BadTime::Clock)?;
    let offset = match zone {
        [] if is_utc => 0,
        [] => return Err(BadTime::NoOffset),
        b"Z" | b"z" => 0,
        [sign, clock @ ..] => {
            let offset = clock_s(clock).ok_or(BadTime::Clock)?;
            if *sign == b'-' { -offset } else { offset }
        }
    };
    let days = i64::from(chrono::Datelike::num_days_from_ce(&date)) - 719_163;
    Ok((days * 86_400 + seconds - offset + 1800).div_euclid(3600))
}

/// Hours as a file that [`read_hourly`](super::read_hourly) reads back, values to a hundredth.
/// Empty hours are left out.
pub fn write(series: &HourlySeries) -> String {
    let mut text = String::from(
        "utc,temp_c,dewp_c,rh_pct,wind_ms,gust_ms,wind_dir_deg,precip_mm,rain_chance_pct,cloud_pct\n",
    );
    for (time, hour) in series.iter().filter(|(_, hour)| !hour.is_empty()) {
        let _ = write!(text, "{}", time.format("%Y-%m-%dT%H:%MZ"));
        for value in [
            hour.temp_c,
            hour.dew_c,
            hour.rh_pct,
            hour.wind_ms,
            hour.gust_ms,
            hour.wind_dir_deg,
            hour.rain_mm,
            hour.rain_chance_pct,
            hour.cloud_pct,
        ] {
            text.push(',');
            if let Some(value) = value {
                let _ = write!(text, "{}", (value * 100.0).round() / 100.0);
            }
        }
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_written_read_back() {
        let full = Hour {
            temp_c: Some(-1.25),
            dew_c: Some(-3.0),
            rh_pct: Some(88.0),
            wind_ms: Some(2.5),
            gust_ms: Some(6.0),
            wind_dir_deg: Some(225.0),
            rain_mm: Some(0.4),
            rain_chance_pct: Some(60.0),
            cloud_pct: Some(75.0),
            sunlight_mj: None,
            provenance: Provenance::Observed,
        };
        let bare = Hour {
            temp_c: Some(0.0),
            provenance: Provenance::Observed,
            ..Hour::default()
        };
        let first = "2027-02-08T05:00:00Z".parse().unwrap();
        let series = HourlySeries::new(first, vec![full, Hour::default(), bare]);
        let text = write(&series);
        let read = super::super::read_hourly(text.as_bytes(), "t", &ImportOptions::default());
        assert_eq!(read.unwrap().data, series);
    }

    #[test]
    fn times_in_their_forms() {
        let base: chrono::DateTime<chrono::Utc> = "2013-01-01T06:00:00Z".parse().unwrap();
        let expected = base.timestamp() / 3600;
        for (cell, utc) in [
            ("2013-01-01T06:00Z", false),
            ("2013-01-01T01:00-0500", false),
            ("2013-01-01T01:00-05:00", false),
            ("2013-01-01 06:00", true),
            ("2013-01-01T05:51:00Z", true),
            ("2013-01-01T06:29:59.9+00:00", true),
            ("2013-01-01T06", true),
        ] {
            assert_eq!(nearest_hour(cell.as_bytes(), utc), Ok(expected), "{cell}");
        }
        for (cell, bad) in [
            ("2013-01-01T06:00", BadTime::NoOffset),
            ("2013-01-01", BadTime::Clock),
            ("2013-01-01T24:00Z", BadTime::Clock),
            ("2013-01-01T06:61Z", BadTime::Clock),
            ("2013-01-01TZ", BadTime::Clock),
            ("2013-02-30T06:00Z", BadTime::Date(BadDate::NoSuchDay)),
        ] {
            assert_eq!(nearest_hour(cell.as_bytes(), false), Err(bad), "{cell}");
        }
    }
}
