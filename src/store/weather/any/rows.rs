//! Reads the rows of a table whose columns are known.

use chrono::{DateTime, NaiveDate, NaiveDateTime, TimeDelta, TimeZone, Utc};

use super::super::number::{FIRST_YEAR, LAST_YEAR};
use super::super::problem::shown;
use super::super::report::Station;
use super::ZoneGiven;
use super::dates::{self, DateOrder};
use super::find::Found;
use super::forms::{Degrees, Hints};
use super::mapping::{ClockAt, DayAt, Degree, Layout};
use super::names::Said;
use super::taken::{DayCells, Moment, Taken};
use crate::domain::zone::Zone;

/// Signs for "not measured" besides the ones every reader knows.
const MISSING: [&str; 34] = [
    "",
    "-",
    "--",
    "---",
    "--.-",
    "---.-",
    "---.--",
    "***",
    "**",
    "*",
    "///",
    "//",
    "x",
    "×",
    "m",
    "na",
    "n/a",
    "n.a.",
    "#n/a",
    "nan",
    "null",
    "none",
    "nil",
    "missing",
    "err",
    "error",
    "no data",
    "nodata",
    "?",
    "…",
    "...",
    "inf",
    "undefined",
    "unavailable",
];
/// Numbers that stand for it.
const MISSING_NUMBERS: [f64; 9] = [
    -9999.0, -999.0, -999.9, -99.9, -9900.0, -9999.9, 9999.0, 999.9, 9999.9,
];

/// What is known of a table besides its layout.
pub(super) struct Setting<'a> {
    pub found: &'a Found,
    pub layout: &'a Layout,
    pub hints: Hints,
    /// The sign of decimals.
    pub point: char,
    pub order: Option<DateOrder>,
    pub zone: ZoneGiven,
    /// The clock of the orchard.
    pub local: Zone,
    /// Seconds east of UTC of a file that says so above its table.
    pub offset_s: Option<i64>,
    pub file: &'a str,
}

/// The number in a cell; `Ok(None)` where it says that there is none.
pub(super) fn number(cell: &str, point: char) -> Result<Option<f64>, ()> {
    let cell = cell.trim();
    let folded = cell.to_lowercase();
    if MISSING.contains(&folded.as_str()) {
        return Ok(None);
    }
    // Insufficient data, as one archive marks it; its other marks leave a usable value.
    if cell.ends_with(']') {
        return Ok(None);
    }
    let mut body: String = cell
        .trim_end_matches(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))
        .replace(['\u{2212}', '\u{2013}'], "-")
        .replace([' ', '\u{a0}', '\u{202f}'], "");
    let trail = cell.get(
        cell.trim_end_matches(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))
            .len()..,
    );
    // What stands behind a number is a unit or a mark of quality, not a word of its own.
    if trail.is_some_and(|t| t.chars().filter(|c| c.is_alphabetic()).count() > 4) {
        return Err(());
    }
    if point == ',' {
        body = body.replace('.', "").replace(',', ".");
    } else if body.matches(',').count() > 0 {
        return Err(());
    }
    let value: f64 = body.parse().map_err(|_| ())?;
    if !value.is_finite() {
        return Err(());
    }
    Ok((!MISSING_NUMBERS.contains(&value)).then_some(value))
}

/// A coded value: `+0056,1` is 56 with quality 1. Codes 2, 3, 6, 7 mark suspect or wrong.
fn coded(cell: &str) -> Result<Option<f64>, ()> {
    let (value, quality) = cell.split_once(',').ok_or(())?;
    let value: f64 = value.trim().parse().map_err(|_| ())?;
    let bad = matches!(quality.trim(), "2" | "3" | "6" | "7");
    Ok((!bad && value.abs() < 9999.0).then_some(value))
}

/// A row placed in time.
enum Placed {
    Day(NaiveDate),
    Moment {
        time: DateTime<Utc>,
        local: NaiveDateTime,
    },
}

/// A value of a column in °C. Rows are read once no question is open, so the unit is settled.
fn celsius(column: Degree, value: f64) -> f64 {
    column.degrees.unwrap_or(Degrees::Celsius).to_celsius(value)
}

impl Setting<'_> {
    /// The offset of the place's standard time, all year.
    fn standard_s(&self, date: NaiveDate) -> i64 {
        use chrono::{Datelike, Offset};
        let offset = |month: u32| {
            NaiveDate::from_ymd_opt(date.year(), month, 1)
                .and_then(|d| d.and_hms_opt(12, 0, 0))
                .map_or(0, |t| {
                    self.local
                        .offset_from_utc_datetime(&t)
                        .fix()
                        .local_minus_utc()
                })
        };
        // Summer time runs ahead of standard time; of January and July one is standard.
        i64::from(offset(1).min(offset(7)))
    }

    /// The moment of a clock that shows this, and what the orchard's clock shows then.
    fn moment(&self, shown: NaiveDateTime, offset_s: Option<i64>) -> Option<Placed> {
        let utc = |seconds: i64| shown.checked_sub_signed(TimeDelta::try_seconds(seconds)?);
        let fixed = match (offset_s, self.zone) {
            (Some(offset), _) => Some(offset),
            (None, ZoneGiven::Utc) => Some(0),
            (None, ZoneGiven::Offset(seconds)) => Some(seconds),
            (None, ZoneGiven::Standard) => Some(self.standard_s(shown.date())),
            (None, ZoneGiven::Named(_) | ZoneGiven::Local) => None,
            (None, ZoneGiven::AsTheFileSays) => match (self.offset_s, self.layout.said) {
                (Some(offset), _) => Some(offset),
                (None, Said::Utc) => Some(0),
                (None, Said::Standard) => Some(self.standard_s(shown.date())),
                (None, Said::Nothing) => None,
            },
        };
        let time = match fixed {
            Some(seconds) => Utc.from_utc_datetime(&utc(seconds)?),
            None => {
                let zone = match self.zone {
                    ZoneGiven::Named(zone) => zone,
                    _ => self.local,
                };
                // The hour that summer time skips is read as the one after it.
                zone.from_local_datetime(&shown)
                    .earliest()
                    .or_else(|| {
                        zone.from_local_datetime(&(shown + TimeDelta::hours(1)))
                            .earliest()
                    })?
                    .with_timezone(&Utc)
            }
        };
        Some(Placed::Moment {
            time,
            local: time.with_timezone(&self.local).naive_local(),
        })
    }

    /// Places a row; `Err` where its day or time cannot be read, with the column.
    fn place(&self, cells: &[&str]) -> Result<Placed, usize> {
        let cell = |column: usize| cells.get(column).copied().unwrap_or_default().trim();
        let whole = |column: usize| -> Result<u32, usize> {
            let text = cell(column);
            let text = text.strip_suffix(".0").unwrap_or(text);
            text.parse().map_err(|_| column)
        };
        let mut with_day = None;
        let (date, at) = match self.layout.day {
            DayAt::Column(column) => {
                let when = dates::when(cell(column)).ok_or(column)?;
                with_day = when.clock;
                let order = self.order.unwrap_or(DateOrder::DayMonthYear);
                (when.day.in_order(order).ok_or(column)?, column)
            }
            DayAt::Parts { year, month, day } => {
                let year_given = i32::try_from(whole(year)?).map_err(|_| year)?;
                let date = NaiveDate::from_ymd_opt(year_given, whole(month)?, whole(day)?);
                (date.ok_or(day)?, day)
            }
            DayAt::OfYear { year, day } => {
                let year_given = i32::try_from(whole(year)?).map_err(|_| year)?;
                let date = NaiveDate::from_yo_opt(year_given, whole(day)?);
                (date.ok_or(day)?, day)
            }
        };
        if !(FIRST_YEAR..=LAST_YEAR).contains(&chrono::Datelike::year(&date)) {
            return Err(at);
        }
        let (seconds, offset) = match self.layout.clock {
            ClockAt::None => return Ok(Placed::Day(date)),
            ClockAt::WithDay => with_day.map_or((0, None), |c| (c.seconds, c.offset_s)),
            ClockAt::Column(column) => {
                let clock = dates::clock(cell(column)).ok_or(column)?;
                (clock.seconds, clock.offset_s)
            }
            ClockAt::Hour { hour, minute } => {
                let clock = dates::clock(cell(hour)).ok_or(hour)?;
                let minutes = match minute {
                    Some(column) => whole(column)?,
                    None => 0,
                };
                (clock.seconds + i64::from(minutes) * 60, clock.offset_s)
            }
        };
        let midnight = date.and_hms_opt(0, 0, 0).ok_or(at)?;
        let shown = TimeDelta::try_seconds(seconds)
            .and_then(|s| midnight.checked_add_signed(s))
            .ok_or(at)?;
        self.moment(shown, offset).ok_or(at)
    }

    fn name(&self, column: usize) -> String {
        self.found
            .names
            .get(column)
            .filter(|n| !n.is_empty())
            .map_or_else(|| format!("column {}", column + 1), |n| n.clone())
    }

    /// Reads every row from the first of data on.
    pub(super) fn read(&self, lines: &[&str]) -> Taken {
        let mut taken = Taken::new(self.file);
        taken.typical = self.hints.typical;
        let layout = self.layout;
        let mut station: Option<String> = None;
        let mut rain_before: Option<f64> = None;
        for (index, line) in lines.iter().enumerate().skip(self.found.first) {
            let trimmed = line.trim_start();
            if trimmed.is_empty() || trimmed.starts_with('#') || trimmed.starts_with('\u{1a}') {
                continue;
            }
            let number_of_line = index as u64 + 1;
            let cells = self.found.separator.split(line);
            taken.rows += 1;
            let placed = match self.place(&cells) {
                Ok(placed) => placed,
                Err(column) => {
                    self.misplaced(&mut taken, &cells, column, number_of_line);
                    continue;
                }
            };
            if let Some(column) = layout.station {
                let id = cells.get(column).copied().unwrap_or_default();
                match &station {
                    None => {
                        station = Some(id.to_owned());
                        taken.station = Some(self.station(&cells, id));
                    }
                    Some(before) if before != id => {
                        taken.problems.other_station(
                            number_of_line,
                            before.as_bytes(),
                            id.as_bytes(),
                        );
                        continue;
                    }
                    Some(_) => {}
                }
            } else if taken.station.is_none() && layout.place.iter().any(Option::is_some) {
                taken.station = Some(self.station(&cells, ""));
            }
            let wrong = layout
                .marks
                .iter()
                .any(|&c| matches!(cells.get(c).map(|m| m.trim()), Some("9" | "1")));
            if wrong {
                taken.flagged += 1;
                continue;
            }
            let row = Row {
                setting: self,
                cells: &cells,
                line: number_of_line,
            };
            match placed {
                Placed::Day(date) => row.into_day(date, &mut taken),
                Placed::Moment { time, local } => {
                    let mut moment = row.moment(&mut taken);
                    if layout.rain_runs
                        && let Some(now) = moment.rain_mm
                    {
                        // A total that fell began anew.
                        moment.rain_mm = rain_before
                            .map(|before| if now >= before { now - before } else { now });
                        rain_before = Some(now);
                    }
                    if moment != Moment::default() {
                        taken.take_moment(time, local, &moment, number_of_line);
                    }
                }
            }
        }
        taken
    }

    /// A row without a day: a line of sums or notes is left aside, a wrong day is a problem.
    fn misplaced(&self, taken: &mut Taken, cells: &[&str], column: usize, line: u64) {
        let cell = cells.get(column).copied().unwrap_or_default();
        let other = self.found.width.abs_diff(cells.len()) > 1;
        let worded = !cell.trim_start().starts_with(|c: char| c.is_ascii_digit());
        // Days that a form of fixed months has and the calendar has not.
        let no_values = layout_values(self.layout)
            .all(|c| number(cells.get(c).copied().unwrap_or_default(), self.point) == Ok(None));
        if worded || other || no_values {
            taken.skipped += 1;
            return;
        }
        let name = self.name(column);
        taken.problems.add(line, Some(name.as_bytes()), || {
            (
                format!(
                    "\"{}\" is no day or time that can be read",
                    shown(cell.as_bytes())
                ),
                "correct it, or leave the line out".into(),
            )
        });
    }

    fn station(&self, cells: &[&str], id: &str) -> Station {
        let degrees = |column: Option<usize>, most: f64| {
            let value = number(cells.get(column?)?, self.point).ok().flatten()?;
            (value.abs() <= most).then_some(value)
        };
        let [latitude, longitude, height] = self.layout.place;
        Station {
            id: shown(id.as_bytes()),
            name: None,
            latitude_deg: degrees(latitude, 90.0),
            longitude_deg: degrees(longitude, 180.0),
            elevation_m: degrees(height, 9000.0),
        }
    }
}

fn layout_values(layout: &Layout) -> impl Iterator<Item = usize> + '_ {
    layout.degrees().map(|d| d.column)
}

/// One row with its place.
struct Row<'s, 'a> {
    setting: &'s Setting<'s>,
    cells: &'a [&'a str],
    line: u64,
}

impl Row<'_, '_> {
    fn raw(&self, column: usize) -> Result<Option<f64>, ()> {
        let cell = self.cells.get(column).copied().unwrap_or_default();
        if self.setting.hints.coded {
            coded(cell)
        } else {
            number(cell, self.setting.point)
        }
    }

    fn possible(
        &self,
        taken: &mut Taken,
        value: f64,
        range: std::ops::RangeInclusive<f64>,
        column: usize,
    ) -> Option<f64> {
        if range.contains(&value) {
            return Some(value);
        }
        taken.impossible += 1;
        let name = self.setting.name(column);
        taken.remarks.add(self.line, Some(name.as_bytes()), || {
            (
                format!(
                    "{value:.1} lies outside the possible {} to {}",
                    range.start(),
                    range.end()
                ),
                "correct it or leave it empty; it was left missing".into(),
            )
        });
        None
    }

    /// A temperature; a word for a number refuses the file.
    fn degree(&self, taken: &mut Taken, degree: Option<Degree>) -> Option<f64> {
        let degree = degree?;
        match self.raw(degree.column) {
            Ok(value) => {
                let value = celsius(degree, value?);
                self.possible(taken, value, -90.0..=60.0, degree.column)
            }
            Err(()) => {
                let cell = self.cells.get(degree.column).copied().unwrap_or_default();
                let name = self.setting.name(degree.column);
                taken
                    .problems
                    .bad_number(self.line, name.as_bytes(), cell.as_bytes());
                None
            }
        }
    }

    /// A value beside the temperatures: what cannot be read is left out with a remark.
    fn side(
        &self,
        taken: &mut Taken,
        column: Option<(usize, f64)>,
        range: std::ops::RangeInclusive<f64>,
    ) -> Option<f64> {
        let (column, factor) = column?;
        match self.raw(column) {
            Ok(value) => self.possible(taken, value? * factor, range, column),
            Err(()) => {
                let cell = self.cells.get(column).copied().unwrap_or_default();
                // A trace of rain is less than can be measured.
                if cell.trim().eq_ignore_ascii_case("t")
                    || cell.trim().eq_ignore_ascii_case("trace")
                {
                    return Some(0.0);
                }
                let name = self.setting.name(column);
                taken
                    .remarks
                    .bad_number(self.line, name.as_bytes(), cell.as_bytes());
                None
            }
        }
    }

    fn rain(&self, taken: &mut Taken) -> Option<f64> {
        let rain = self.setting.layout.rain?;
        // One archive writes −1 for less than half a tenth of a millimetre.
        if self.raw(rain.column) == Ok(Some(-1.0)) {
            return Some(0.0);
        }
        self.side(taken, Some((rain.column, rain.factor)), 0.0..=2500.0)
    }

    fn into_day(self, date: NaiveDate, taken: &mut Taken) {
        let layout = self.setting.layout;
        let mut cells = DayCells::empty(self.line);
        let keep = |value: Option<f64>| value.unwrap_or(f64::NAN);
        cells.low_c = keep(self.degree(taken, layout.low));
        cells.high_c = keep(self.degree(taken, layout.high));
        cells.rain_mm = keep(self.rain(taken));
        let wind = layout.wind.map(|w| (w.column, w.factor));
        cells.wind_ms = keep(self.side(taken, wind, 0.0..=120.0));
        let humidity = layout.humidity.map(|c| (c, 1.0));
        cells.rh_pct = keep(self.side(taken, humidity, 0.0..=105.0));
        taken.take_day(date, cells);
    }

    fn moment(&self, taken: &mut Taken) -> Moment {
        let layout = self.setting.layout;
        let pair = |s: super::mapping::Scaled| (s.column, s.factor);
        Moment {
            temp_c: self.degree(taken, layout.temp),
            low_c: self.degree(taken, layout.low),
            high_c: self.degree(taken, layout.high),
            dew_c: self.side_degree(taken, layout.dew),
            rh_pct: self.side(taken, layout.humidity.map(|c| (c, 1.0)), 0.0..=105.0),
            wind_ms: self.side(taken, layout.wind.map(pair), 0.0..=120.0),
            gust_ms: self.side(taken, layout.gust.map(pair), 0.0..=150.0),
            from_deg: self.side(taken, layout.wind_from.map(|c| (c, 1.0)), 0.0..=360.0),
            rain_mm: self.rain(taken),
        }
    }

    /// A dew point is no reason to refuse a file.
    fn side_degree(&self, taken: &mut Taken, degree: Option<Degree>) -> Option<f64> {
        let degree = degree?;
        let value = self.raw(degree.column).ok().flatten()?;
        let value = celsius(degree, value);
        self.possible(taken, value, -110.0..=45.0, degree.column)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_with_units_marks_and_either_decimal_sign() {
        for (cell, point, value) in [
            ("5.1", '.', Ok(Some(5.1))),
            ("-3,5", ',', Ok(Some(-3.5))),
            ("1.012,5", ',', Ok(Some(1012.5))),
            ("\u{2212}3.5", '.', Ok(Some(-3.5))),
            ("44 °F", '.', Ok(Some(44.0))),
            ("5.1 )", '.', Ok(Some(5.1))),
            ("5.1 ]", '.', Ok(None)),
            ("12.0*", '.', Ok(Some(12.0))),
            ("--", '.', Ok(None)),
            ("-999", '.', Ok(None)),
            ("M", '.', Ok(None)),
            ("", '.', Ok(None)),
            ("cold", '.', Err(())),
            ("1,5", '.', Err(())),
            ("12 degrees", '.', Err(())),
        ] {
            assert_eq!(number(cell, point), value, "{cell}");
        }
        assert_eq!(coded("+0056,1"), Ok(Some(56.0)));
        assert_eq!(coded("-0012,5"), Ok(Some(-12.0)));
        assert_eq!(coded("+9999,9"), Ok(None));
        assert_eq!(coded("+0056,3"), Ok(None));
    }
}
