//! What an import read, kept, dropped and found odd.

use std::fmt;

use chrono::NaiveDate;

use super::problem::{Problems, shown_file};
use super::sniff::WeatherFormat;
use crate::domain::climate::daily::Gap;
use crate::domain::climate::daily_weather::DailyWeather;
use crate::domain::units::count;

/// The station a file says it comes from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Station {
    /// Identifier.
    pub id: String,
    /// Name.
    pub name: Option<String>,
    /// Latitude, degrees, south negative.
    pub latitude_deg: Option<f64>,
    /// Longitude, degrees, west negative.
    pub longitude_deg: Option<f64>,
    /// Elevation, m.
    pub elevation_m: Option<f64>,
}

/// Account of an import. Values are days for daily formats and hours for hourly ones.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportReport {
    /// File as named by the caller, made fit for a message.
    pub file: String,
    /// Format it was read as.
    pub format: WeatherFormat,
    /// Data rows read.
    pub rows: u64,
    /// Days (hours) with a usable temperature.
    pub kept: usize,
    /// First and last day with a value.
    pub span: Option<(NaiveDate, NaiveDate)>,
    /// Runs of days between first and last without a usable minimum and maximum; for hourly
    /// files, of days (UTC) on which at least one hour lacks its temperature.
    pub gaps: Vec<Gap>,
    /// Rows for a day (hour) that had come before.
    pub duplicates: u64,
    /// Days whose minimum lies above their maximum; left missing.
    pub reversed: u64,
    /// Values outside what is possible; left missing.
    pub impossible: u64,
    /// Values dropped because the archive itself marks them as failed a quality check.
    pub flagged: u64,
    /// Columns that are not used.
    pub unknown_columns: Vec<String>,
    /// Station, where the file names one.
    pub station: Option<Station>,
    /// The odd places themselves, in order, as far as there is room.
    pub remarks: Problems,
}

impl ImportReport {
    pub(super) fn new(file: &str, format: WeatherFormat) -> Self {
        Self {
            file: shown_file(file),
            format,
            rows: 0,
            kept: 0,
            span: None,
            gaps: Vec::new(),
            duplicates: 0,
            reversed: 0,
            impossible: 0,
            flagged: 0,
            unknown_columns: Vec::new(),
            station: None,
            remarks: Problems::new(file),
        }
    }

    /// Account of a packed history, which holds days only.
    pub(super) fn of_history(file: &str, weather: &DailyWeather) -> Self {
        let mut report = Self::new(file, WeatherFormat::History);
        report.rows = weather.temperatures().len() as u64;
        report.describe(weather);
        report
    }

    /// Fills in span, gaps and number of days.
    pub(super) fn describe(&mut self, weather: &DailyWeather) {
        let days = weather.temperatures();
        self.gaps = days.gaps();
        self.kept = days.len() - self.gaps.iter().map(|gap| gap.days).sum::<usize>();
        self.span = days.last().map(|last| (days.first(), last));
    }

    /// The account as JSON: `{"file","format","rows","kept","first","last","missing_days",
    /// "duplicates","reversed","impossible","flagged","remarks":[…]}`.
    pub fn json(&self) -> String {
        let remarks: Vec<String> = self
            .remarks
            .listed()
            .iter()
            .map(ToString::to_string)
            .collect();
        serde_json::json!({
            "file": self.file,
            "format": self.format.to_string(),
            "rows": self.rows,
            "kept": self.kept,
            "first": self.span.map(|s| s.0.to_string()),
            "last": self.span.map(|s| s.1.to_string()),
            "missing_days": self.days_missing(),
            "duplicates": self.duplicates,
            "reversed": self.reversed,
            "impossible": self.impossible,
            "flagged": self.flagged,
            "remarks": remarks,
        })
        .to_string()
    }

    /// Days missing between first and last.
    pub fn days_missing(&self) -> usize {
        self.gaps.iter().map(|gap| gap.days).sum()
    }
}

impl fmt::Display for ImportReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (one, unit) = if self.format.is_hourly() {
            ("hour", "hours")
        } else {
            ("day", "days")
        };
        let kept = count(self.kept, one, unit);
        write!(
            f,
            "{}: {}, {}, {kept} kept",
            self.file,
            self.format,
            count(self.rows, "row", "rows")
        )?;
        if let Some((first, last)) = self.span {
            write!(f, ", {first} to {last}")?;
        }
        if let Some(station) = self.station.as_ref().filter(|s| !s.id.is_empty()) {
            write!(f, "\n  station {}", station.id)?;
            if let Some(name) = &station.name {
                write!(f, " {name}")?;
            }
        }
        if !self.gaps.is_empty() {
            let (days, gaps) = (self.days_missing(), self.gaps.len());
            if self.format.is_hourly() {
                let days = count(days, "day", "days");
                write!(f, "\n  hours without a temperature on {days}")?;
            } else {
                let (days, gaps) = (count(days, "day", "days"), count(gaps, "gap", "gaps"));
                write!(f, "\n  {days} missing in {gaps}")?;
            }
            if let Some(longest) = self.gaps.iter().max_by_key(|gap| gap.days) {
                write!(f, ", the longest {} to {}", longest.first, longest.last)?;
            }
        }
        for (count, words) in [
            (self.duplicates, format!("rows for {unit} already seen")),
            (
                self.reversed,
                "days with minimum above maximum, left missing".to_string(),
            ),
            (
                self.impossible,
                "impossible values, left missing".to_string(),
            ),
            (
                self.flagged,
                "values the archive marks as doubtful, left missing".to_string(),
            ),
        ] {
            if count > 0 {
                write!(f, "\n  {count} {words}")?;
            }
        }
        if !self.unknown_columns.is_empty() {
            write!(
                f,
                "\n  columns not used: {}",
                self.unknown_columns.join(", ")
            )?;
        }
        if !self.remarks.is_empty() {
            write!(f, "\n{}", self.remarks)?;
        }
        Ok(())
    }
}
