//! The weather a season has: what was observed, what is forecast.

use super::daily::DailySeries;
use super::hourly_series::{HourlySeries, Provenance};
use crate::domain::zone::Zone;
use chrono::{DateTime, NaiveDate, Offset, TimeZone, Utc};
use std::collections::BTreeMap;

/// Hours of a day whose temperature must be known for its extremes to count.
const LEAST_HOURS: usize = 20;

/// Weather of one orchard, as far as it is known.
#[derive(Debug, Clone, Default)]
pub struct Weather {
    /// Observed days: past years and this season so far.
    pub daily: Option<DailySeries>,
    /// Forecast days.
    pub forecast: Option<DailySeries>,
    /// Observed and forecast hours, each with its provenance.
    pub hourly: Option<HourlySeries>,
    /// The forecast fetched last, as far as its age and its source are known.
    pub fetched: Option<Fetched>,
    /// The days of a typical year, put together from many: no day of any real one.
    pub typical: Option<DailySeries>,
    /// Rain of days, mm, as the daily files have it.
    pub rain_mm: BTreeMap<NaiveDate, f32>,
    /// Files that could not be read: which, why, what to do. One line each.
    pub lost: Vec<String>,
}

/// Where a fetched forecast comes from, and from when it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fetched {
    /// When the service made it, else when it was received.
    pub made: DateTime<Utc>,
    /// Whose data it is.
    pub credit: String,
}

impl Fetched {
    /// How old it is, in plain words: `3 h old`.
    pub fn age_words(&self, now: DateTime<Utc>) -> String {
        let hours = (now - self.made).num_hours();
        match hours {
            ..0 => "from a later day".to_owned(),
            0 => "less than an hour old".to_owned(),
            1..48 => format!("{hours} h old"),
            _ => format!("{} days old", hours / 24),
        }
    }
}

impl Weather {
    /// Takes hours in. Their extremes stand in for observed days that no daily file has, and
    /// for the days to come; a daily forecast stands where the hours end.
    #[must_use]
    pub fn with_hours(mut self, hourly: HourlySeries, zone: Zone) -> Self {
        let Some(last) = hourly.last() else {
            return self;
        };
        // Daily extremes hardly feel an hour: the offset of the last day does for all.
        let offset = zone.offset_from_utc_datetime(&last.naive_utc()).fix();
        let extremes = |least| known_days(&hourly.daily_extremes(least, offset, LEAST_HOURS));
        if let Some(observed) = extremes(Provenance::Observed) {
            self.daily = Some(join(observed, self.daily.as_ref()));
        }
        let typical = hourly.only(Provenance::Typical);
        if !typical.is_empty() {
            let days = typical.daily_extremes(Provenance::Typical, offset, LEAST_HOURS);
            self.typical = known_days(&days);
        }
        if let Some(coming) = extremes(Provenance::Forecast) {
            self.forecast = Some(match self.forecast {
                Some(forecast) => join(forecast, Some(&coming)),
                None => coming,
            });
        }
        self.hourly = Some(hourly);
        self
    }
}

/// Two series as one; where both have a day the second wins.
fn join(mut first: DailySeries, second: Option<&DailySeries>) -> DailySeries {
    if let Some(second) = second {
        first.merge(second);
    }
    first
}

/// The series from its first known day to its last; `None` where it has none.
fn known_days(series: &DailySeries) -> Option<DailySeries> {
    let known: Vec<_> = series
        .iter()
        .filter_map(|(date, day)| day.map(|_| date))
        .collect();
    Some(series.slice(*known.first()?, *known.last()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::climate::hourly_series::Hour;
    use chrono::NaiveDate;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// Hours that rise by one degree each, from 0 °C at the start.
    fn hours(start: &str, n: usize, provenance: Provenance) -> HourlySeries {
        let hours = (0..n).map(|h| Hour {
            temp_c: Some(h as f64),
            provenance,
            ..Hour::default()
        });
        HourlySeries::new(start.parse().unwrap(), hours)
    }

    #[test]
    fn hours_fill_days_that_no_daily_file_has_and_the_days_to_come() {
        let mut daily = DailySeries::empty(day("2027-02-01"));
        daily.push(-7.0, -3.0).unwrap();
        let weather = Weather {
            daily: Some(daily),
            ..Weather::default()
        };
        let mut all = hours("2027-02-01T00:00:00Z", 48, Provenance::Observed);
        assert!(all.merge(&hours("2027-02-03T00:00:00Z", 24, Provenance::Forecast)));
        let weather = weather.with_hours(all, Zone::UTC);
        let daily = weather.daily.unwrap();
        assert_eq!(daily.at(0), Some((-7.0, -3.0)), "a daily file wins");
        assert_eq!(daily.at(1), Some((24.0, 47.0)));
        assert_eq!(daily.last(), Some(day("2027-02-02")));
        let forecast = weather.forecast.unwrap();
        assert_eq!(forecast.day(day("2027-02-03")), Some((0.0, 23.0)));
    }

    #[test]
    fn age_is_told_in_words() {
        let fetched = Fetched {
            made: "2027-02-01T06:00:00Z".parse().unwrap(),
            credit: String::new(),
        };
        let words = |now: &str| fetched.age_words(now.parse().unwrap());
        assert_eq!(words("2027-02-01T06:30:00Z"), "less than an hour old");
        assert_eq!(words("2027-02-01T18:00:00Z"), "12 h old");
        assert_eq!(words("2027-02-04T06:00:00Z"), "3 days old");
        assert_eq!(words("2027-01-01T06:00:00Z"), "from a later day");
    }
}
