//! Values gathered hour by hour, whatever order they come in.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use crate::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};

/// The farthest hours of one forecast may lie apart: forty days.
const MOST_HOURS: i64 = 40 * 24;

/// Which value of an hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    Temp,
    DewPoint,
    Humidity,
    Wind,
    Gust,
    WindFrom,
    Rain,
    RainChance,
    Cloud,
}

/// Hours by their number since 1970.
#[derive(Debug, Default)]
pub(super) struct HourGrid {
    hours: BTreeMap<i64, Hour>,
    /// Values that were not put down because they lie too far from the first.
    pub far: usize,
}

/// The number of the hour a time falls into.
pub(super) fn hour_number(at: DateTime<Utc>) -> i64 {
    at.timestamp().div_euclid(3600)
}

impl HourGrid {
    /// Puts a value down; a later one for the same hour wins.
    pub(super) fn put(&mut self, hour: i64, field: Field, value: f64) {
        let near = self
            .hours
            .keys()
            .next()
            .zip(self.hours.keys().next_back())
            .is_none_or(|(first, last)| {
                (hour - first).abs() < MOST_HOURS && (last - hour).abs() < MOST_HOURS
            });
        if !near {
            self.far += 1;
            return;
        }
        let slot = self.hours.entry(hour).or_insert(Hour {
            provenance: Provenance::Forecast,
            ..Hour::default()
        });
        let place = match field {
            Field::Temp => &mut slot.temp_c,
            Field::DewPoint => &mut slot.dew_c,
            Field::Humidity => &mut slot.rh_pct,
            Field::Wind => &mut slot.wind_ms,
            Field::Gust => &mut slot.gust_ms,
            Field::WindFrom => &mut slot.wind_dir_deg,
            Field::Rain => &mut slot.rain_mm,
            Field::RainChance => &mut slot.rain_chance_pct,
            Field::Cloud => &mut slot.cloud_pct,
        };
        *place = Some(value);
    }

    /// The hours in order, gaps left empty.
    pub(super) fn series(self) -> HourlySeries {
        let (Some(&first), Some(&last)) = (self.hours.keys().next(), self.hours.keys().next_back())
        else {
            return HourlySeries::default();
        };
        let mut hours = vec![
            Hour {
                provenance: Provenance::Forecast,
                ..Hour::default()
            };
            usize::try_from(last - first + 1).unwrap_or(0)
        ];
        for (hour, values) in self.hours {
            if let Some(slot) = usize::try_from(hour - first)
                .ok()
                .and_then(|i| hours.get_mut(i))
            {
                *slot = values;
            }
        }
        let start = first
            .checked_mul(3600)
            .and_then(|s| DateTime::from_timestamp(s, 0))
            .unwrap_or_default();
        HourlySeries::new(start, hours)
    }
}
