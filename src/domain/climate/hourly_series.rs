//! Hourly weather on consecutive hours: observed, forecast or typical.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta, Utc};

use super::daily::DailySeries;

/// Where the values of an hour come from, from weak to strong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Provenance {
    /// A year put together from typical months.
    #[default]
    Typical,
    /// A forecast.
    Forecast,
    /// Measured.
    Observed,
}

/// The weather of one hour; what is unknown is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Hour {
    /// Air temperature, °C.
    pub temp_c: Option<f64>,
    /// Dew point, °C.
    pub dew_c: Option<f64>,
    /// Relative humidity, %.
    pub rh_pct: Option<f64>,
    /// Wind speed, m/s.
    pub wind_ms: Option<f64>,
    /// Gusts, m/s.
    pub gust_ms: Option<f64>,
    /// Direction the wind comes from, degrees from north through east.
    pub wind_dir_deg: Option<f64>,
    /// Rain (or melted snow) of the hour, mm.
    pub rain_mm: Option<f64>,
    /// Chance of rain, %.
    pub rain_chance_pct: Option<f64>,
    /// Sky covered by cloud, %.
    pub cloud_pct: Option<f64>,
    /// Sunlight on a level surface, MJ/m² in the hour.
    pub sunlight_mj: Option<f64>,
    /// Where the values come from.
    pub provenance: Provenance,
}

impl Hour {
    /// Whether nothing is known of the hour.
    pub fn is_empty(&self) -> bool {
        *self
            == Self {
                provenance: self.provenance,
                ..Self::default()
            }
    }

    /// This hour where it is silent filled from another of the same provenance.
    fn or(self, other: Self) -> Self {
        Self {
            temp_c: self.temp_c.or(other.temp_c),
            dew_c: self.dew_c.or(other.dew_c),
            rh_pct: self.rh_pct.or(other.rh_pct),
            wind_ms: self.wind_ms.or(other.wind_ms),
            gust_ms: self.gust_ms.or(other.gust_ms),
            wind_dir_deg: self.wind_dir_deg.or(other.wind_dir_deg),
            rain_mm: self.rain_mm.or(other.rain_mm),
            rain_chance_pct: self.rain_chance_pct.or(other.rain_chance_pct),
            cloud_pct: self.cloud_pct.or(other.cloud_pct),
            sunlight_mj: self.sunlight_mj.or(other.sunlight_mj),
            provenance: self.provenance,
        }
    }

    /// The hour to keep of two for the same time: the stronger provenance whole; of equal ones
    /// the newer, filled from the older.
    fn over(self, older: Self) -> Self {
        if self.is_empty() {
            older
        } else if older.is_empty() || self.provenance > older.provenance {
            self
        } else if self.provenance == older.provenance {
            self.or(older)
        } else {
            older
        }
    }
}

/// An hour as it is kept: half the room of [`Hour`]; NaN is not known.
#[derive(Debug, Clone, Copy)]
struct Kept {
    temp_c: f64,
    dew_c: f64,
    rh_pct: f64,
    wind_ms: f64,
    gust_ms: f64,
    wind_dir_deg: f64,
    rain_mm: f64,
    rain_chance_pct: f64,
    cloud_pct: f64,
    sunlight_mj: f64,
    provenance: Provenance,
}

impl Kept {
    fn is_silent(&self) -> bool {
        Hour::from(self).is_empty()
    }
}

impl From<Hour> for Kept {
    fn from(hour: Hour) -> Self {
        let kept = |value: Option<f64>| value.unwrap_or(f64::NAN);
        Self {
            temp_c: kept(hour.temp_c),
            dew_c: kept(hour.dew_c),
            rh_pct: kept(hour.rh_pct),
            wind_ms: kept(hour.wind_ms),
            gust_ms: kept(hour.gust_ms),
            wind_dir_deg: kept(hour.wind_dir_deg),
            rain_mm: kept(hour.rain_mm),
            rain_chance_pct: kept(hour.rain_chance_pct),
            cloud_pct: kept(hour.cloud_pct),
            sunlight_mj: kept(hour.sunlight_mj),
            provenance: hour.provenance,
        }
    }
}

impl From<&Kept> for Hour {
    fn from(kept: &Kept) -> Self {
        let known = |value: f64| (!value.is_nan()).then_some(value);
        Self {
            temp_c: known(kept.temp_c),
            dew_c: known(kept.dew_c),
            rh_pct: known(kept.rh_pct),
            wind_ms: known(kept.wind_ms),
            gust_ms: known(kept.gust_ms),
            wind_dir_deg: known(kept.wind_dir_deg),
            rain_mm: known(kept.rain_mm),
            rain_chance_pct: known(kept.rain_chance_pct),
            cloud_pct: known(kept.cloud_pct),
            sunlight_mj: known(kept.sunlight_mj),
            provenance: kept.provenance,
        }
    }
}

/// Weather on consecutive full hours of UTC; an hour of which nothing is known is empty. A clone,
/// and a part up to the end, share their hours.
#[derive(Debug, Clone, Default)]
pub struct HourlySeries {
    first: DateTime<Utc>,
    all: Arc<Vec<Kept>>,
    /// Hours at the beginning of `all` that are left out.
    skip: usize,
}

impl PartialEq for HourlySeries {
    fn eq(&self, other: &Self) -> bool {
        self.first == other.first && self.hours().eq(other.hours())
    }
}

/// Hours since 1970-01-01 00:00 UTC of the full hour at or before a time.
fn hour_number(time: DateTime<Utc>) -> i64 {
    time.timestamp().div_euclid(3600)
}

/// Hours of the longest series joined from parts: sixty years, against nonsense dates.
const MOST_HOURS: i64 = 60 * 366 * 24;

impl HourlySeries {
    /// A series from its first hour (cut to the full hour).
    pub fn new(first: DateTime<Utc>, hours: impl IntoIterator<Item = Hour>) -> Self {
        let hours: Vec<Kept> = hours.into_iter().map(Kept::from).collect();
        Self::of_kept(first, hours)
    }

    fn of_kept(first: DateTime<Utc>, hours: Vec<Kept>) -> Self {
        Self {
            first: DateTime::from_timestamp(hour_number(first) * 3600, 0).unwrap_or_default(),
            all: Arc::new(hours),
            skip: 0,
        }
    }

    fn kept(&self) -> &[Kept] {
        self.all.get(self.skip..).unwrap_or_default()
    }

    /// First hour covered.
    pub const fn first(&self) -> DateTime<Utc> {
        self.first
    }

    /// Last hour covered; `None` when empty.
    pub fn last(&self) -> Option<DateTime<Utc>> {
        self.time_at(self.len().checked_sub(1)?)
    }

    /// Hours in order of time.
    pub fn hours(&self) -> impl ExactSizeIterator<Item = Hour> + DoubleEndedIterator + '_ {
        self.kept().iter().map(Hour::from)
    }

    /// The hour at a place.
    pub fn get(&self, index: usize) -> Option<Hour> {
        self.kept().get(index).map(Hour::from)
    }

    /// Number of hours covered, empty ones included.
    pub fn len(&self) -> usize {
        self.kept().len()
    }

    /// Whether no hour is covered.
    pub fn is_empty(&self) -> bool {
        self.kept().is_empty()
    }

    /// Rain of the hour at a place, mm: looked at along whole winters.
    pub fn rain_mm(&self, index: usize) -> Option<f64> {
        let rain = self.kept().get(index)?.rain_mm;
        (!rain.is_nan()).then_some(rain)
    }

    /// Where the values of the hour at a place come from; `None` where nothing is known.
    pub fn provenance(&self, index: usize) -> Option<Provenance> {
        let hour = self.kept().get(index)?;
        (!hour.is_silent()).then_some(hour.provenance)
    }

    /// Start of the hour at a place.
    pub fn time_at(&self, index: usize) -> Option<DateTime<Utc>> {
        let hours = i64::try_from(index).ok()?;
        self.first.checked_add_signed(TimeDelta::try_hours(hours)?)
    }

    /// The hour a time falls into.
    pub fn at(&self, time: DateTime<Utc>) -> Option<Hour> {
        let index = hour_number(time) - hour_number(self.first);
        self.get(usize::try_from(index).ok()?)
    }

    /// Every hour with its start.
    pub fn iter(&self) -> impl Iterator<Item = (DateTime<Utc>, Hour)> + '_ {
        self.hours()
            .enumerate()
            .filter_map(|(i, hour)| Some((self.time_at(i)?, hour)))
    }

    /// The hours from a moment on; empty where it lies after the end.
    #[must_use]
    pub fn since(&self, from: DateTime<Utc>) -> Self {
        let skip = usize::try_from(hour_number(from) - hour_number(self.first)).unwrap_or(0);
        Self {
            first: self.first.max(self.time_at(skip).unwrap_or(self.first)),
            all: Arc::clone(&self.all),
            skip: self.skip.saturating_add(skip),
        }
    }

    /// The hours from one moment up to another.
    #[must_use]
    pub fn between(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> Self {
        let part = self.since(from);
        let count = hour_number(to) - hour_number(part.first);
        let count = usize::try_from(count).unwrap_or(0);
        Self::new(part.first, part.hours().take(count))
    }

    /// The same hours without those of a weaker provenance than this.
    #[must_use]
    pub fn known_from(&self, least: Provenance) -> Self {
        let known = |hour: &Kept| hour.provenance >= least && !hour.is_silent();
        let hours = self.kept();
        let skip = hours.iter().position(known).unwrap_or(0);
        let end = hours.iter().rposition(known).map_or(0, |i| i + 1);
        let kept = hours.get(skip..end).unwrap_or_default().iter();
        let silent = Kept::from(Hour::default());
        Self::of_kept(
            self.time_at(skip).unwrap_or(self.first),
            kept.map(|hour| if known(hour) { *hour } else { silent })
                .collect(),
        )
    }

    /// The hours of one provenance alone, from the first to the last of them.
    #[must_use]
    pub fn only(&self, wanted: Provenance) -> Self {
        let is_wanted = |hour: &Kept| hour.provenance == wanted && !hour.is_silent();
        let hours = self.kept();
        let Some(skip) = hours.iter().position(is_wanted) else {
            return Self::of_kept(self.first, Vec::new());
        };
        let end = hours.iter().rposition(is_wanted).map_or(0, |i| i + 1);
        let silent = Kept::from(Hour::default());
        let kept = hours.get(skip..end).unwrap_or_default().iter();
        Self::of_kept(
            self.time_at(skip).unwrap_or(self.first),
            kept.map(|hour| if is_wanted(hour) { *hour } else { silent })
                .collect(),
        )
    }

    /// The same hours, all said to come from one kind of source.
    #[must_use]
    pub fn said_to_be(mut self, provenance: Provenance) -> Self {
        for hour in Arc::make_mut(&mut self.all) {
            hour.provenance = provenance;
        }
        self
    }

    /// Hours of which nothing is known.
    pub fn missing(&self) -> usize {
        self.kept().iter().filter(|hour| hour.is_silent()).count()
    }

    /// Joins a newer series: observed beats forecast, forecast beats typical, newer beats older.
    /// Series more than sixty years apart are not joined (false).
    #[must_use]
    pub fn merge(&mut self, newer: &Self) -> bool {
        if newer.is_empty() {
            return true;
        }
        if self.is_empty() {
            self.clone_from(newer);
            return true;
        }
        let (mine, theirs) = (hour_number(self.first), hour_number(newer.first));
        let end = |start: i64, series: &Self| {
            start.saturating_add(i64::try_from(series.len()).unwrap_or(i64::MAX))
        };
        let first = mine.min(theirs);
        let end = end(mine, self).max(end(theirs, newer));
        if end - first > MOST_HOURS {
            return false;
        }
        let silent = Kept::from(Hour::default());
        let mut joined = vec![silent; usize::try_from(end - first).unwrap_or(0)];
        for (start, series) in [(mine, &*self), (theirs, newer)] {
            let skip = usize::try_from(start - first).unwrap_or(0);
            for (slot, hour) in joined.iter_mut().skip(skip).zip(series.hours()) {
                *slot = hour.over(Hour::from(&*slot)).into();
            }
        }
        *self = Self::of_kept(self.first.min(newer.first), joined);
        true
    }

    /// Daily extremes by civil day at an offset from UTC, of hours of at least this provenance. A
    /// day with fewer than `least_hours` known temperatures (20 is a fair limit) is missing.
    pub fn daily_extremes(
        &self,
        least: Provenance,
        offset: FixedOffset,
        least_hours: usize,
    ) -> DailySeries {
        let day_of = |time: DateTime<Utc>| time.with_timezone(&offset).date_naive();
        let mut days = DailySeries::empty(day_of(self.first));
        let mut open: Option<(NaiveDate, usize, f64, f64)> = None;
        let mut close = |day: Option<(NaiveDate, usize, f64, f64)>| {
            if let Some((_, known, low, high)) = day {
                let enough = known >= least_hours.max(1);
                let value = |v: f64| if enough { v as f32 } else { f32::NAN };
                // Consecutive hours make consecutive days; the calendar cannot end here.
                let _ = days.push(value(low), value(high));
            }
        };
        for (time, hour) in self.iter() {
            let date = day_of(time);
            let same = open.filter(|(day, ..)| *day == date);
            if same.is_none() {
                close(open.take());
            }
            let (known, low, high) = same.map_or(
                (0, f64::INFINITY, f64::NEG_INFINITY),
                |(_, n, low, high)| (n, low, high),
            );
            open = Some(match hour.temp_c.filter(|_| hour.provenance >= least) {
                Some(t) => (date, known + 1, low.min(t), high.max(t)),
                None => (date, known, low, high),
            });
        }
        close(open);
        days
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<Utc> {
        text.parse().unwrap()
    }

    fn hour(temp_c: f64, provenance: Provenance) -> Hour {
        Hour {
            temp_c: Some(temp_c),
            provenance,
            ..Hour::default()
        }
    }

    #[test]
    fn observed_beats_forecast_beats_typical_whatever_the_order() {
        let series = |start: &str, values: &[f64], p| {
            HourlySeries::new(at(start), values.iter().map(|&t| hour(t, p)))
        };
        let typical = series("2024-01-01T00:00:00Z", &[1.0; 4], Provenance::Typical);
        let forecast = series("2024-01-01T01:00:00Z", &[2.0; 4], Provenance::Forecast);
        let observed = series("2024-01-01T02:00:00Z", &[3.0], Provenance::Observed);
        for order in [
            [&typical, &forecast, &observed],
            [&observed, &forecast, &typical],
        ] {
            let mut joined = HourlySeries::default();
            for part in order {
                assert!(joined.merge(part));
            }
            let temps: Vec<_> = joined.hours().map(|h| h.temp_c.unwrap()).collect();
            assert_eq!(temps, [1.0, 2.0, 3.0, 2.0, 2.0]);
        }
    }

    #[test]
    fn newer_of_the_same_kind_wins_and_is_filled_from_the_older() {
        let mut old = hour(1.0, Provenance::Forecast);
        old.gust_ms = Some(9.0);
        let mut series = HourlySeries::new(at("2024-01-01T00:00:00Z"), vec![old]);
        let newer = vec![hour(2.0, Provenance::Forecast)];
        assert!(series.merge(&HourlySeries::new(at("2024-01-01T00:40:00Z"), newer)));
        let found = series.at(at("2024-01-01T00:59:59Z")).unwrap();
        assert_eq!((found.temp_c, found.gust_ms), (Some(2.0), Some(9.0)));
        assert!(!series.merge(&HourlySeries::new(at("2524-01-01T00:00:00Z"), vec![old])));
    }

    #[test]
    fn extremes_follow_the_civil_day_of_the_place() {
        let temps = (0..48).map(|h| hour(f64::from(h), Provenance::Observed));
        let series = HourlySeries::new(at("2024-01-01T08:00:00Z"), temps);
        let pacific = FixedOffset::west_opt(8 * 3600).unwrap();
        let days = series.daily_extremes(Provenance::Typical, pacific, 20);
        assert_eq!(days.len(), 2);
        assert_eq!(days.at(0), Some((0.0, 23.0)));
        assert_eq!(days.at(1), Some((24.0, 47.0)));
        let utc =
            series.daily_extremes(Provenance::Observed, FixedOffset::east_opt(0).unwrap(), 20);
        assert_eq!(utc.len(), 3);
        assert_eq!(utc.at(0), None);
        assert_eq!(utc.at(1), Some((16.0, 39.0)));
    }
}
