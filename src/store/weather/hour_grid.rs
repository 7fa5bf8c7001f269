//! Collects hourly values as they come and lays them out hour by hour.

use chrono::DateTime;

use super::problem::{ImportError, Problems};
use super::report::ImportReport;
use crate::domain::climate::daily::Gap;
use crate::domain::climate::hourly_series::{Hour, HourlySeries};

/// Hours of the longest series accepted: sixty years are under 100 MB; a stray year is caught.
const MOST_HOURS: i64 = 60 * 366 * 24;

/// The hours seen so far, with the number of each since 1970 and its line.
pub(super) struct HourGrid {
    rows: Vec<(i64, u32, Hour)>,
    pub problems: Problems,
    pub report: ImportReport,
}

impl HourGrid {
    pub(super) fn new(file: &str, report: ImportReport) -> Self {
        Self {
            rows: Vec::new(),
            problems: Problems::new(file),
            report,
        }
    }

    pub(super) fn put(&mut self, hour_number: i64, line: u64, hour: Hour) {
        self.rows
            .push((hour_number, u32::try_from(line).unwrap_or(u32::MAX), hour));
    }

    /// A value inside its possible range, else noted and left missing.
    pub(super) fn possible(
        &mut self,
        value: f64,
        range: std::ops::RangeInclusive<f64>,
        line: u64,
        column: &[u8],
    ) -> Option<f64> {
        if range.contains(&value) {
            return Some(value);
        }
        self.report.impossible += 1;
        self.report.remarks.add(line, Some(column), || {
            let what = format!(
                "{value:.1} lies outside the possible {} to {}",
                range.start(),
                range.end()
            );
            (
                what,
                "correct it or leave it empty; it was left missing".into(),
            )
        });
        None
    }

    pub(super) fn finish(
        mut self,
        file: &str,
        strict: bool,
    ) -> Result<(HourlySeries, ImportReport), ImportError> {
        if !self.problems.is_empty() {
            return Err(ImportError::Content(self.problems));
        }
        self.rows.sort_by_key(|(number, line, _)| (*number, *line));
        let (Some(&(first, first_line, _)), Some(&(last, last_line, _))) =
            (self.rows.first(), self.rows.last())
        else {
            return Err(ImportError::one(
                file,
                0,
                "there is no hour in it",
                "add lines with a time and a temperature",
            ));
        };
        if last - first >= MOST_HOURS {
            let what =
                format!("more than sixty years lie between lines {first_line} and {last_line}");
            return Err(ImportError::one(
                file,
                0,
                &what,
                "correct the year of one of them",
            ));
        }
        let mut hours = vec![Hour::default(); usize::try_from(last - first + 1).unwrap_or(0)];
        let mut before = None;
        for (number, line, hour) in &self.rows {
            if before == Some(*number) {
                self.report.duplicates += 1;
                self.report.remarks.add(u64::from(*line), None, || {
                    let what = "this hour stands on an earlier line too".to_string();
                    (
                        what,
                        "keep one line an hour; the later one was taken".into(),
                    )
                });
            }
            before = Some(*number);
            let slot = usize::try_from(number - first)
                .ok()
                .and_then(|i| hours.get_mut(i));
            if let Some(slot) = slot {
                *slot = *hour;
            }
        }
        let start = DateTime::from_timestamp(first * 3600, 0).unwrap_or_default();
        let series = HourlySeries::new(start, hours);
        self.describe(&series);
        if strict && (!self.report.remarks.is_empty() || !self.report.gaps.is_empty()) {
            for gap in &self.report.gaps {
                self.report.remarks.add(0, None, || {
                    let what = format!("hours missing on {} days from {}", gap.days, gap.first);
                    (
                        what,
                        "add them, or read the file without the strict check".into(),
                    )
                });
            }
            return Err(ImportError::Content(self.report.remarks));
        }
        Ok((series, self.report))
    }

    /// Kept hours, span, and runs of days on which at least one hour lacks its temperature.
    fn describe(&mut self, series: &HourlySeries) {
        let mut gaps: Vec<Gap> = Vec::new();
        for (time, hour) in series.iter() {
            if hour.temp_c.is_some() {
                self.report.kept += 1;
                continue;
            }
            let day = time.date_naive();
            match gaps.last_mut() {
                Some(gap) if gap.last == day => {}
                Some(gap) if gap.last.succ_opt() == Some(day) => {
                    gap.last = day;
                    gap.days += 1;
                }
                _ => gaps.push(Gap {
                    first: day,
                    last: day,
                    days: 1,
                }),
            }
        }
        self.report.gaps = gaps;
        self.report.span = series
            .last()
            .map(|last| (series.first().date_naive(), last.date_naive()));
    }
}
