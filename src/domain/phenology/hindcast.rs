//! How good the estimate would have been: every recorded date answered as if it were still to
//! come, from other years alone.
//!
//! For a wanted date no record of the same place and spring is used, whatever its cultivar, and
//! the temperatures of that spring are used only up to the issue day, if one is given. All else
//! may be used: other years of the series, other series of the species at this place and at
//! others. A series without any date is answered by the species' pooled fit.

mod answer;
mod archive;
mod pool;
mod pooled;
mod scores;

use chrono::NaiveDate;

use super::distribution::StageDate;

pub use answer::{Settings, answer};
pub use archive::{Place, Places};
pub use pooled::fit_groups;
pub use scores::{Scored, Scores, climatology};

/// Which series a date belongs to. Species and stage are compared as written, trimmed and in
/// lower case.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SeriesName {
    /// Species as recorded.
    pub species: String,
    /// Stage as recorded.
    pub stage: String,
    /// Place as recorded.
    pub site: String,
    /// Cultivar as recorded; may be empty.
    pub cultivar: String,
}

/// A recorded stage date.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Observation {
    /// Its series.
    pub series: SeriesName,
    /// Calendar year of the spring.
    pub year: i32,
    /// The day.
    pub date: NaiveDate,
}

/// A date to be answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Its series.
    pub series: SeriesName,
    /// Calendar year of the spring.
    pub year: i32,
    /// Last day whose temperatures may be used; `None` for the whole season.
    pub issue_on: Option<NaiveDate>,
}

/// An answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// When the stage comes.
    pub date: StageDate,
    /// Its mean, with fractions, days after the first day of [`Answer::date`].
    pub mean_offset_days: f64,
    /// The mixture in words: the members that weigh most.
    pub model: String,
    /// Own years used.
    pub own_years: usize,
    /// Mean and standard deviation of the dates of the years used, as days from the first of
    /// [`Answer::date`]: the calendar's answer.
    pub calendar: Option<(f64, f64)>,
}

impl Answer {
    /// The mean, to the nearest day.
    pub fn mean_date(&self) -> NaiveDate {
        self.date.first_day() + chrono::TimeDelta::days(self.mean_offset_days.round() as i64)
    }
}
