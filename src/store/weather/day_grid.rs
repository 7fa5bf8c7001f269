//! Collects daily values as they come, in any order, and lays them out day by day.

use chrono::{Days, NaiveDate};

use super::number::{FIRST_YEAR, day_index};
use super::problem::{ImportError, Problems};
use super::report::ImportReport;
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::daily_weather::{DailyColumn, DailyWeather};

/// Coldest and hottest air temperature ever taken for true lie inside, °C.
const POSSIBLE_C: std::ops::RangeInclusive<f64> = -90.0..=60.0;
/// Share of odd rows from which the file as a whole is misread rather than a day wrong.
const MISREAD_SHARE: f64 = 0.2;
/// Fewer rows than this prove nothing about the file as a whole.
const MISREAD_LEAST: u64 = 10;

/// A value of a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    Tmin,
    Tmax,
    Rain,
    Wind,
    Rh,
}

impl Field {
    const COUNT: usize = 5;

    fn is_possible(self, value: f64) -> bool {
        match self {
            Self::Tmin | Self::Tmax => POSSIBLE_C.contains(&value),
            Self::Rain => (0.0..=2500.0).contains(&value),
            Self::Wind => (0.0..=120.0).contains(&value),
            Self::Rh => (0.0..=105.0).contains(&value),
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Tmin | Self::Tmax => "temperature",
            Self::Rain => "amount of rain",
            Self::Wind => "wind speed",
            Self::Rh => "relative humidity",
        }
    }

    const fn unit(self) -> &'static str {
        match self {
            Self::Tmin | Self::Tmax => "°C",
            Self::Rain => "mm",
            Self::Wind => "m/s",
            Self::Rh => "%",
        }
    }
}

/// The days seen so far. Columns run from the earliest day seen (or a little before).
pub(super) struct DayGrid {
    columns: [Vec<f32>; Field::COUNT],
    /// Line on which a day was first seen; 0 = never.
    lines: Vec<u32>,
    /// Day of the first slot.
    base: usize,
    suspect: u64,
    pub problems: Problems,
    pub report: ImportReport,
}

impl DayGrid {
    pub(super) fn new(file: &str, report: ImportReport) -> Self {
        Self {
            columns: Default::default(),
            lines: Vec::new(),
            base: 0,
            suspect: 0,
            problems: Problems::new(file),
            report,
        }
    }

    /// The slot of a day, made if need be. Room before the first day is doubled each time, so that
    /// a file in falling order costs no more than one in rising order.
    fn slot(&mut self, date: NaiveDate) -> usize {
        let day = day_index(date);
        if self.lines.is_empty() {
            self.base = day;
        }
        if day < self.base {
            let grow = (self.base - day).max(self.lines.len().min(self.base));
            for values in self.columns.iter_mut().filter(|values| !values.is_empty()) {
                values.splice(0..0, std::iter::repeat_n(f32::NAN, grow));
            }
            self.lines.splice(0..0, std::iter::repeat_n(0, grow));
            self.base -= grow;
        }
        let slot = day - self.base;
        if slot >= self.lines.len() {
            self.lines.resize(slot + 1, 0);
        }
        slot
    }

    /// Opens a row for a date and tells its slot; notes if the day has come before.
    pub(super) fn open_day(&mut self, date: NaiveDate, line: u64) -> usize {
        let slot = self.slot(date);
        if let Some(seen) = self.lines.get_mut(slot) {
            if *seen == 0 {
                *seen = u32::try_from(line).unwrap_or(u32::MAX).max(1);
            } else {
                let before = *seen;
                self.report.duplicates += 1;
                self.report.remarks.add(line, Some(b"date"), || {
                    let what = format!("{date} already stands on line {before}");
                    (
                        what,
                        "keep one line a day; where both have a value the later one was taken"
                            .into(),
                    )
                });
            }
        }
        slot
    }

    /// Opens a date in a format that brings each element on a line of its own.
    pub(super) fn open_element(&mut self, date: NaiveDate, field: Field, line: u64) -> usize {
        let slot = self.slot(date);
        let values = self.columns.get(field as usize);
        if values
            .and_then(|values| values.get(slot))
            .is_some_and(|v| !v.is_nan())
        {
            return self.open_day(date, line);
        }
        if let Some(seen) = self.lines.get_mut(slot) {
            *seen = u32::try_from(line).unwrap_or(u32::MAX);
        }
        slot
    }

    /// Puts a value into an opened day, unless it is impossible.
    pub(super) fn put(&mut self, day: usize, field: Field, value: f64, line: u64, column: &[u8]) {
        if !field.is_possible(value) {
            self.report.impossible += 1;
            self.suspect += u64::from(matches!(field, Field::Tmin | Field::Tmax));
            self.report.remarks.add(line, Some(column), || {
                let what = format!(
                    "{value:.1} {} is no possible {}",
                    field.unit(),
                    field.words()
                );
                (
                    what,
                    "correct it or leave it empty; it was left missing".into(),
                )
            });
            return;
        }
        let Some(values) = self.columns.get_mut(field as usize) else {
            return;
        };
        if day >= values.len() {
            values.resize(day + 1, f32::NAN);
        }
        if let Some(slot) = values.get_mut(day) {
            *slot = value as f32;
        }
    }

    /// Days whose minimum lies above their maximum are left missing: one of the two is wrong,
    /// and nothing tells which.
    fn drop_reversed(&mut self) {
        let [low, high, ..] = &mut self.columns;
        for (day, (low, high)) in low.iter_mut().zip(high.iter_mut()).enumerate() {
            if low > high {
                self.report.reversed += 1;
                let line = self.lines.get(day).copied().unwrap_or(0);
                let (min, max) = (*low, *high);
                self.report.remarks.add(u64::from(line), Some(b"tmin"), || {
                    let date =
                        date_of(self.base + day).map_or_else(String::new, |d| format!(" on {d}"));
                    let what = format!("minimum {min:.1} above maximum {max:.1} °C{date}");
                    (what, "correct the line; the day was left missing".into())
                });
                (*low, *high) = (f32::NAN, f32::NAN);
            }
        }
    }

    /// Trouble on so many days that the file must be misread.
    fn misread(&self) -> Option<(&'static str, &'static str)> {
        let many = |count: u64| {
            count >= MISREAD_LEAST && count as f64 > MISREAD_SHARE * self.report.rows.max(1) as f64
        };
        if many(self.suspect) {
            return Some((
                "many temperatures are impossible in the unit named",
                "check the unit: tmin_f and tmax_f mean °F, tmin_c and tmax_c mean °C",
            ));
        }
        many(self.report.reversed).then_some((
            "on many days the minimum lies above the maximum",
            "check the header: the columns for minimum and maximum look exchanged",
        ))
    }

    /// The days from first to last with a temperature, or what speaks against taking the file.
    pub(super) fn finish(
        mut self,
        file: &str,
        strict: bool,
    ) -> Result<(DailyWeather, ImportReport), ImportError> {
        if !self.problems.is_empty() {
            return Err(ImportError::Content(self.problems));
        }
        self.drop_reversed();
        if let Some((what, instead)) = self.misread() {
            return Err(ImportError::one(file, 0, what, instead));
        }
        let weather = self.lay_out();
        self.report.describe(&weather);
        if self.report.kept == 0 {
            return Err(ImportError::one(
                file,
                0,
                "no day has both a minimum and a maximum",
                "at least one line needs a date and two temperatures",
            ));
        }
        if strict {
            for gap in &self.report.gaps {
                self.report.remarks.add(0, None, || {
                    let what = format!("{} days missing, {} to {}", gap.days, gap.first, gap.last);
                    (
                        what,
                        "add them, or read the file without the strict check".into(),
                    )
                });
            }
            if !self.report.remarks.is_empty() {
                return Err(ImportError::Content(self.report.remarks));
            }
        }
        Ok((weather, self.report))
    }

    fn lay_out(&self) -> DailyWeather {
        let [low, high, rain, wind, rh] = &self.columns;
        let has = |values: &[f32], day: usize| values.get(day).is_some_and(|v| !v.is_nan());
        let complete = |day: &usize| has(low, *day) && has(high, *day);
        let end = low.len().min(high.len());
        let first = (0..end).find(complete).unwrap_or(end);
        let last = (first..end)
            .rev()
            .find(complete)
            .map_or(first, |day| day + 1);
        let part = |values: &[f32]| {
            let mut part = values
                .get(first..last.min(values.len()))
                .unwrap_or_default()
                .to_vec();
            part.resize(last - first, f32::NAN);
            part
        };
        let start = date_of(self.base + first).unwrap_or_default();
        let days = DailySeries::new(start, part(low), part(high))
            .unwrap_or_else(|_| DailySeries::empty(start));
        DailyWeather::new(days)
            .with(DailyColumn::RainMm, part(rain))
            .with(DailyColumn::WindMs, part(wind))
            .with(DailyColumn::RhPct, part(rh))
    }
}

fn date_of(day: usize) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(FIRST_YEAR, 1, 1)?.checked_add_days(Days::new(day as u64))
}
