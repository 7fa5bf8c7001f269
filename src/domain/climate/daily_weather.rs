//! Daily temperatures together with the rain, wind and humidity a file carried beside them.

use std::cmp::Ordering;

use chrono::NaiveDate;

use super::daily::DailySeries;

/// Daily weather of one place. The side columns run along the temperatures, day by day; a
/// column the source did not have is empty, a missing value is NaN.
#[derive(Debug, Clone)]
pub struct DailyWeather {
    temperatures: DailySeries,
    rain_mm: Vec<f32>,
    wind_ms: Vec<f32>,
    rh_pct: Vec<f32>,
}

/// A side column of [`DailyWeather`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DailyColumn {
    /// Rain (or melted snow) of the day, mm.
    RainMm,
    /// Mean wind of the day, m/s.
    WindMs,
    /// Mean relative humidity of the day, %.
    RhPct,
}

impl DailyColumn {
    /// Every side column.
    pub const ALL: [Self; 3] = [Self::RainMm, Self::WindMs, Self::RhPct];
}

fn same(a: &[f32], b: &[f32]) -> bool {
    a.len() == b.len()
        && a.iter().zip(b).all(|(x, y)| {
            x.partial_cmp(y).is_some_and(Ordering::is_eq) || (x.is_nan() && y.is_nan())
        })
}

impl PartialEq for DailyWeather {
    fn eq(&self, other: &Self) -> bool {
        self.temperatures == other.temperatures
            && DailyColumn::ALL
                .iter()
                .all(|&column| same(self.column(column), other.column(column)))
    }
}

impl DailyWeather {
    /// Temperatures alone.
    pub const fn new(temperatures: DailySeries) -> Self {
        Self {
            temperatures,
            rain_mm: Vec::new(),
            wind_ms: Vec::new(),
            rh_pct: Vec::new(),
        }
    }

    /// The same with a side column, cut or filled with missing values to the length of the
    /// temperatures. A column without a single value counts as absent.
    #[must_use]
    pub fn with(mut self, column: DailyColumn, mut values: Vec<f32>) -> Self {
        if values.iter().all(|v| v.is_nan()) {
            values.clear();
        } else {
            values.resize(self.temperatures.len(), f32::NAN);
        }
        match column {
            DailyColumn::RainMm => self.rain_mm = values,
            DailyColumn::WindMs => self.wind_ms = values,
            DailyColumn::RhPct => self.rh_pct = values,
        }
        self
    }

    /// Minimum and maximum temperatures.
    pub const fn temperatures(&self) -> &DailySeries {
        &self.temperatures
    }

    /// The temperatures alone, without copying.
    pub fn into_temperatures(self) -> DailySeries {
        self.temperatures
    }

    /// A side column as stored: empty if the source had none, NaN where missing.
    pub fn column(&self, column: DailyColumn) -> &[f32] {
        match column {
            DailyColumn::RainMm => &self.rain_mm,
            DailyColumn::WindMs => &self.wind_ms,
            DailyColumn::RhPct => &self.rh_pct,
        }
    }

    /// A side value on a date; `None` where missing or outside.
    pub fn value(&self, column: DailyColumn, date: NaiveDate) -> Option<f64> {
        let stored = *self.column(column).get(self.temperatures.index_of(date)?)?;
        stored
            .is_finite()
            .then(|| (f64::from(stored) * 1e3).round() / 1e3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn side_columns_follow_the_temperatures() {
        let first: NaiveDate = "2024-01-01".parse().unwrap();
        let days = DailySeries::new(first, vec![0.0; 3], vec![5.0; 3]).unwrap();
        let weather = DailyWeather::new(days)
            .with(DailyColumn::RainMm, vec![0.1, f32::NAN])
            .with(DailyColumn::RhPct, vec![f32::NAN; 3]);
        assert_eq!(weather.value(DailyColumn::RainMm, first), Some(0.1));
        assert_eq!(
            weather.value(DailyColumn::RainMm, first.succ_opt().unwrap()),
            None
        );
        assert_eq!(weather.column(DailyColumn::RainMm).len(), 3);
        assert!(weather.column(DailyColumn::RhPct).is_empty());
        assert_eq!(weather.value(DailyColumn::RhPct, first), None);
    }
}
