//! What was taken from the rows of a table: days, and hours made of what came more often.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, NaiveDateTime, TimeZone, Utc};

use super::super::day_grid::{DayGrid, Field};
use super::super::hour_grid::HourGrid;
use super::super::problem::{ImportError, Problems};
use super::super::report::{ImportReport, Station};
use super::super::sniff::WeatherFormat;
use crate::domain::climate::daily_weather::DailyWeather;
use crate::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};

/// Hours of a day that must be there for its extremes to count, as for hours elsewhere.
const LEAST_HOURS: u32 = 20;

/// A day as its rows gave it; NaN is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct DayCells {
    pub line: u64,
    pub low_c: f64,
    pub high_c: f64,
    pub rain_mm: f64,
    pub wind_ms: f64,
    pub rh_pct: f64,
    /// Hours of the day that had a row; 0 for rows of whole days.
    pub hours: u32,
}

impl DayCells {
    pub(super) const fn empty(line: u64) -> Self {
        Self {
            line,
            low_c: f64::NAN,
            high_c: f64::NAN,
            rain_mm: f64::NAN,
            wind_ms: f64::NAN,
            rh_pct: f64::NAN,
            hours: 0,
        }
    }

    /// Fills what is not known here from another row of the day.
    fn fill(&mut self, other: &Self) {
        for (mine, theirs) in [
            (&mut self.low_c, other.low_c),
            (&mut self.high_c, other.high_c),
            (&mut self.rain_mm, other.rain_mm),
            (&mut self.wind_ms, other.wind_ms),
            (&mut self.rh_pct, other.rh_pct),
        ] {
            if mine.is_nan() {
                *mine = theirs;
            }
        }
        self.hours |= other.hours;
    }
}

/// Sums of the rows nearest to a full hour.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct HourCells {
    pub line: u64,
    pub rows: u32,
    temp: (f64, u32),
    dew: (f64, u32),
    rh: (f64, u32),
    wind: (f64, u32),
    gust_ms: Option<f64>,
    from_deg: Option<f64>,
    rain_mm: Option<f64>,
}

/// The values of one row of a table of hours or minutes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Moment {
    pub temp_c: Option<f64>,
    pub low_c: Option<f64>,
    pub high_c: Option<f64>,
    pub dew_c: Option<f64>,
    pub rh_pct: Option<f64>,
    pub wind_ms: Option<f64>,
    pub gust_ms: Option<f64>,
    pub from_deg: Option<f64>,
    pub rain_mm: Option<f64>,
}

fn add(sum: &mut (f64, u32), value: Option<f64>) {
    if let Some(value) = value {
        sum.0 += value;
        sum.1 += 1;
    }
}

fn mean((sum, n): (f64, u32)) -> Option<f64> {
    // Hundredths are what files hold; a mean keeps no more.
    (n > 0).then(|| (sum / f64::from(n) * 100.0).round() / 100.0)
}

impl HourCells {
    fn take(&mut self, moment: &Moment, line: u64) {
        if self.rows == 0 {
            self.line = line;
        }
        self.rows += 1;
        add(&mut self.temp, moment.temp_c);
        add(&mut self.dew, moment.dew_c);
        add(&mut self.rh, moment.rh_pct);
        add(&mut self.wind, moment.wind_ms);
        if let Some(gust) = moment.gust_ms {
            self.gust_ms = Some(self.gust_ms.map_or(gust, |g| g.max(gust)));
        }
        if let Some(from) = moment.from_deg {
            self.from_deg = Some(from);
        }
        if let Some(rain) = moment.rain_mm {
            self.rain_mm = Some(self.rain_mm.unwrap_or(0.0) + rain);
        }
    }

    fn hour(&self, provenance: Provenance) -> Hour {
        Hour {
            temp_c: mean(self.temp),
            dew_c: mean(self.dew),
            rh_pct: mean(self.rh),
            wind_ms: mean(self.wind),
            gust_ms: self.gust_ms,
            wind_dir_deg: self.from_deg,
            rain_mm: self.rain_mm,
            provenance,
            ..Hour::default()
        }
    }
}

/// Everything taken from one or more files of one place.
#[derive(Debug, Clone)]
pub(super) struct Taken {
    pub file: String,
    pub days: BTreeMap<NaiveDate, DayCells>,
    pub hours: BTreeMap<i64, HourCells>,
    pub rows: u64,
    pub skipped: u64,
    pub duplicates: u64,
    pub impossible: u64,
    pub flagged: u64,
    pub problems: Problems,
    pub remarks: Problems,
    pub station: Option<Station>,
    pub typical: bool,
    /// Did more than one row fall into an hour?
    pub below_hours: bool,
}

impl Taken {
    pub(super) fn new(file: &str) -> Self {
        Self {
            file: file.to_owned(),
            days: BTreeMap::new(),
            hours: BTreeMap::new(),
            rows: 0,
            skipped: 0,
            duplicates: 0,
            impossible: 0,
            flagged: 0,
            problems: Problems::new(file),
            remarks: Problems::new(file),
            station: None,
            typical: false,
            below_hours: false,
        }
    }

    /// Takes a row that stands for a day.
    pub(super) fn take_day(&mut self, date: NaiveDate, cells: DayCells) {
        match self.days.get_mut(&date) {
            None => {
                self.days.insert(date, cells);
            }
            Some(before) => {
                // Archives that bring each element on a row of its own fill one another.
                let clash = (!before.low_c.is_nan() && !cells.low_c.is_nan())
                    || (!before.high_c.is_nan() && !cells.high_c.is_nan());
                if clash {
                    self.duplicates += 1;
                    let line = before.line;
                    self.remarks.add(cells.line, None, || {
                        (
                            format!("{date} already stands on line {line}"),
                            "keep one line a day; where both have a value the later one was taken"
                                .into(),
                        )
                    });
                }
                let mut now = cells;
                now.fill(before);
                *before = now;
            }
        }
    }

    /// Takes a row that stands for a moment, `local` being what the clock of the place shows.
    pub(super) fn take_moment(
        &mut self,
        time: DateTime<Utc>,
        local: NaiveDateTime,
        moment: &Moment,
        line: u64,
    ) {
        let number = (time.timestamp() + 1800).div_euclid(3600);
        let hour = self.hours.entry(number).or_default();
        hour.take(moment, line);
        self.below_hours |= hour.rows > 1;
        let date = local.date();
        let day = self
            .days
            .entry(date)
            .or_insert_with(|| DayCells::empty(line));
        let low = moment.low_c.or(moment.temp_c);
        let high = moment.high_c.or(moment.temp_c);
        if let Some(low) = low {
            day.low_c = day.low_c.min(low);
        }
        if let Some(high) = high {
            day.high_c = day.high_c.max(high);
            day.hours |= 1 << (chrono::Timelike::hour(&local) % 24);
        }
        if let Some(rain) = moment.rain_mm {
            day.rain_mm = if day.rain_mm.is_nan() {
                rain
            } else {
                day.rain_mm + rain
            };
        }
    }

    /// Joins the rows of another file: its days fill and follow.
    pub(super) fn join(&mut self, other: Self) {
        for (date, cells) in other.days {
            match self.days.get_mut(&date) {
                Some(before) => {
                    let mut now = cells;
                    now.fill(before);
                    *before = now;
                }
                None => {
                    self.days.insert(date, cells);
                }
            }
        }
        self.hours.extend(other.hours);
        self.rows += other.rows;
        self.skipped += other.skipped;
        self.duplicates += other.duplicates;
        self.impossible += other.impossible;
        self.flagged += other.flagged;
        self.station = self.station.take().or(other.station);
        self.below_hours |= other.below_hours;
        self.file = format!("{} + {}", self.file, other.file);
    }

    /// Has it minima, maxima?
    pub(super) fn halves(&self) -> (bool, bool) {
        let any = |value: fn(&DayCells) -> f64| self.days.values().any(|d| !value(d).is_nan());
        (any(|d| d.low_c), any(|d| d.high_c))
    }

    /// Mean temperature by month, °C, with the days it is of.
    pub(super) fn monthly_means(&self) -> [Option<(f64, u32)>; 12] {
        let mut sums = [(0.0, 0_u32); 12];
        for (date, day) in &self.days {
            let month = chrono::Datelike::month0(date) as usize;
            let middle = match (day.low_c.is_nan(), day.high_c.is_nan()) {
                (false, false) => f64::midpoint(day.low_c, day.high_c),
                // Of one half the other is about ten degrees away; the check is wide enough.
                (true, false) => day.high_c - 5.0,
                (false, true) => day.low_c + 5.0,
                (true, true) => continue,
            };
            if let Some(sum) = sums.get_mut(month) {
                sum.0 += middle;
                sum.1 += 1;
            }
        }
        sums.map(|(sum, n)| (n > 0).then(|| (sum / f64::from(n), n)))
    }

    fn report(&self, format: WeatherFormat) -> ImportReport {
        let mut report = ImportReport::new(&self.file, format);
        report.rows = self.rows;
        report.duplicates = self.duplicates;
        report.impossible = self.impossible;
        report.flagged = self.flagged;
        report.station.clone_from(&self.station);
        report
    }

    /// The days, laid out and looked over.
    pub(super) fn daily(&self, strict: bool) -> Result<(DailyWeather, ImportReport), ImportError> {
        let mut report = self.report(WeatherFormat::Table);
        report.remarks = self.remarks.clone();
        let mut grid = DayGrid::new(&self.file, report);
        for (date, day) in &self.days {
            if day.hours > 0 && day.hours.count_ones() < LEAST_HOURS {
                continue;
            }
            let slot = grid.open_day(*date, day.line);
            for (field, value) in [
                (Field::Tmin, day.low_c),
                (Field::Tmax, day.high_c),
                (Field::Rain, day.rain_mm),
                (Field::Wind, day.wind_ms),
                (Field::Rh, day.rh_pct),
            ] {
                if !value.is_nan() {
                    grid.put(slot, field, value, day.line, b"");
                }
            }
        }
        grid.finish(&self.file, strict)
    }

    /// The hours, laid out.
    pub(super) fn hourly(
        &self,
        typical_year: Option<i32>,
    ) -> Result<(HourlySeries, ImportReport), ImportError> {
        let mut report = self.report(WeatherFormat::TableOfHours);
        report.remarks = self.remarks.clone();
        let mut grid = HourGrid::new(&self.file, report);
        let provenance = if self.typical {
            Provenance::Typical
        } else {
            Provenance::Observed
        };
        for (number, cells) in &self.hours {
            let number = if self.typical {
                let Some(number) = on_year(*number, typical_year.unwrap_or(2001)) else {
                    continue;
                };
                number
            } else {
                *number
            };
            grid.put(number, cells.line, cells.hour(provenance));
        }
        grid.finish(&self.file, false)
    }
}

/// The same hour of the year in another year; 29 February has none there.
fn on_year(number: i64, year: i32) -> Option<i64> {
    let time = DateTime::from_timestamp(number * 3600, 0)?.naive_utc();
    let moved = chrono::Datelike::with_year(&time, year)?;
    Some(Utc.from_utc_datetime(&moved).timestamp().div_euclid(3600))
}
