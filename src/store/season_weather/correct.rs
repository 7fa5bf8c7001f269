//! An archive's cell is not an orchard: its days are moved to the orchard's height, and where an
//! own thermometer or a station overlaps, to that.

use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::daily_weather::{DailyColumn, DailyWeather};
use crate::domain::climate::hourly_series::{Hour, HourlySeries};
use chrono::Datelike;

/// Mean fall of temperature with height, °C/m (International Standard Atmosphere, ISO 2533:1975:
/// 6.5 °C/km in the troposphere).
const FALL_C_PER_M: f64 = 0.0065;
/// Days a month needs for a correction of its own, and all of them together for any.
const LEAST_OF_A_MONTH: u32 = 10;
/// See [`LEAST_OF_A_MONTH`].
const LEAST_DAYS: u32 = 28;

/// What is added to a day's minimum and maximum, by month, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correction {
    low_c: [f64; 12],
    high_c: [f64; 12],
    height_c: f64,
    /// Days an own record and the archive share.
    pub shared: u32,
}

impl Correction {
    /// From the heights of cell and orchard, and what an own record says.
    pub fn new(
        archive: &DailySeries,
        cell_m: Option<f64>,
        orchard_m: Option<f64>,
        own: Option<&DailySeries>,
    ) -> Self {
        let height_c = cell_m
            .zip(orchard_m)
            .map_or(0.0, |(cell, orchard)| (cell - orchard) * FALL_C_PER_M);
        let mut correction = Self {
            low_c: [height_c; 12],
            high_c: [height_c; 12],
            height_c,
            shared: 0,
        };
        let Some(own) = own else {
            return correction;
        };
        let mut sums = [(0.0, 0.0, 0_u32); 12];
        for (date, day) in archive.iter() {
            if let (Some((low, high)), Some((own_low, own_high))) = (day, own.day(date))
                && let Some(sum) = sums.get_mut(date.month0() as usize)
            {
                *sum = (sum.0 + own_low - low, sum.1 + own_high - high, sum.2 + 1);
            }
        }
        let all = sums
            .iter()
            .fold((0.0, 0.0, 0), |a, b| (a.0 + b.0, a.1 + b.1, a.2 + b.2));
        if all.2 < LEAST_DAYS {
            return correction;
        }
        correction.shared = all.2;
        for (month, sum) in sums.iter().enumerate() {
            // A month the own record lacks is moved by the mean of those it has.
            let (low, high, days) = if sum.2 >= LEAST_OF_A_MONTH { *sum } else { all };
            if let (Some(l), Some(h)) = (
                correction.low_c.get_mut(month),
                correction.high_c.get_mut(month),
            ) {
                *l = low / f64::from(days);
                *h = high / f64::from(days);
            }
        }
        correction
    }

    /// In words, for the note beside the file.
    pub fn words(&self) -> String {
        if self.shared > 0 {
            let mean = |v: &[f64; 12]| v.iter().sum::<f64>() / 12.0;
            format!(
                "moved to your own record by month ({} days in common; minima {:+.1}, maxima {:+.1} °C on the mean)",
                self.shared,
                mean(&self.low_c),
                mean(&self.high_c)
            )
        } else if self.height_c.abs() >= 0.05 {
            format!(
                "moved to the orchard's height ({:+.1} °C, 6.5 °C/km)",
                self.height_c
            )
        } else {
            "as it came: a cell of the grid flattens the daily range by 1 to 2 °C (White et al. 2008)"
                .to_owned()
        }
    }

    /// The days, moved.
    pub fn days(&self, archive: &DailyWeather) -> DailyWeather {
        let days = archive.temperatures();
        let mut moved = DailySeries::empty(days.first());
        for (date, day) in days.iter() {
            let month = date.month0() as usize;
            let (low, high) = match day {
                Some((low, high)) => {
                    let low = low + self.low_c.get(month).unwrap_or(&0.0);
                    let high = high + self.high_c.get(month).unwrap_or(&0.0);
                    // A correction never turns a day around.
                    (low.min(high), high.max(low))
                }
                None => (f64::NAN, f64::NAN),
            };
            let hundredth = |v: f64| ((v * 100.0).round() / 100.0) as f32;
            if moved.push(hundredth(low), hundredth(high)).is_err() {
                break;
            }
        }
        DailyColumn::ALL
            .into_iter()
            .fold(DailyWeather::new(moved), |weather, column| {
                weather.with(column, archive.column(column).to_vec())
            })
    }

    /// Hours, moved by the mean of the day's two corrections.
    pub fn hours(&self, archive: &HourlySeries) -> HourlySeries {
        let moved = archive.iter().map(|(time, hour)| {
            let month = time.month0() as usize;
            let by = f64::midpoint(
                *self.low_c.get(month).unwrap_or(&0.0),
                *self.high_c.get(month).unwrap_or(&0.0),
            );
            Hour {
                temp_c: hour.temp_c.map(|t| t + by),
                dew_c: hour.dew_c.map(|t| t + by),
                ..hour
            }
        });
        HourlySeries::new(archive.first(), moved)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn series(days: usize, low: f32, high: f32) -> DailySeries {
        let first = "2026-01-01".parse().unwrap();
        DailySeries::new(first, vec![low; days], vec![high; days]).unwrap()
    }

    /// A cell of 350 m and an orchard of 150 m: 200 m × 6.5 °C/km = 1.3 °C warmer.
    #[test]
    fn height_alone_moves_both_ends_alike() {
        let archive = series(60, -4.0, 2.0);
        let c = Correction::new(&archive, Some(350.0), Some(150.0), None);
        let moved = c.days(&DailyWeather::new(archive));
        assert_eq!(moved.temperatures().at(0), Some((-2.7, 3.3)));
        assert!(c.words().contains("+1.3 °C"), "{}", c.words());
    }

    #[test]
    fn an_own_month_moves_it_and_less_does_not() {
        let archive = series(60, -4.0, 2.0);
        let own = series(40, -5.5, 3.0);
        let c = Correction::new(&archive, Some(350.0), Some(150.0), Some(&own));
        let moved = c.days(&DailyWeather::new(archive.clone()));
        assert_eq!(moved.temperatures().at(0), Some((-5.5, 3.0)));
        assert_eq!(c.shared, 40);
        assert!(c.words().contains("40 days in common"));
        let short = series(20, -5.5, 3.0);
        let c = Correction::new(&archive, None, None, Some(&short));
        assert_eq!(
            c.days(&DailyWeather::new(archive.clone())).temperatures(),
            &archive
        );
    }
}
