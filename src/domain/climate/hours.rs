//! Hourly temperatures from daily extremes and day length: Linvill 1990 (`HortScience` 25:14–16).
//!
//! By day a sine from the minimum at sunrise to the maximum two hours after solar noon; by night
//! a logarithmic fall from the sunset temperature to the next minimum. Both halves of a night
//! use `ln(N + 1)`, so the curve is continuous and meets the minimum at sunrise.
//!
//! For one latitude and day of the year every hour is a fixed mix of a few temperatures, so the
//! mix is worked out once ([`HourlyShape`]) and sixty years are filled by multiply-and-add.

use chrono::Datelike;

use super::daily::DailySeries;
use super::sun::{Daylight, daylight};

/// Daily extremes of one day, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// Minimum, °C.
    pub tmin_c: f64,
    /// Maximum, °C.
    pub tmax_c: f64,
}

/// How the hours of one day of the year hang on its temperatures: before sunrise
/// `sunset_before + w (tmin − sunset_before)`, by day `tmin + w (tmax − tmin)`, after sunset
/// `sunset + w (tmin_next − sunset)`.
#[derive(Debug, Clone, Copy)]
struct DayShape {
    weight: [f64; 24],
    /// First hour that belongs to the day part.
    day_from: usize,
    /// First hour after sunset.
    night_from: usize,
    /// Weight of the sunset temperature between minimum (0) and maximum (1).
    sunset_weight: f64,
    /// The sun does not both rise and set here and now: every hour is the mean.
    flat: bool,
}

/// Share of the way from minimum to maximum at `hours_after_sunrise`.
fn day_weight(sun: Daylight, hours_after_sunrise: f64) -> f64 {
    (std::f64::consts::PI * hours_after_sunrise / (sun.length_h + 4.0)).sin()
}

/// Share of the way from the sunset temperature to the next minimum.
fn night_weight(hours_after_sunset: f64, night_h: f64) -> f64 {
    (hours_after_sunset + 1.0).ln() / (night_h + 1.0).ln()
}

impl DayShape {
    fn new(before: Daylight, today: Daylight, after: Daylight) -> Self {
        let flat = ![before, today, after]
            .iter()
            .all(|sun| sun.rises_and_sets());
        let mut shape = Self {
            weight: [0.5; 24],
            day_from: 0,
            night_from: 24,
            sunset_weight: 0.5,
            flat,
        };
        if flat {
            return shape;
        }
        let night_before_h = 24.0 - before.sunset_h + today.sunrise_h;
        let night_after_h = 24.0 - today.sunset_h + after.sunrise_h;
        shape.day_from = today.sunrise_h.ceil() as usize;
        shape.night_from = today.sunset_h.floor() as usize + 1;
        shape.sunset_weight = day_weight(today, today.length_h);
        for (hour, weight) in shape.weight.iter_mut().enumerate() {
            let hour_h = hour as f64;
            *weight = if hour < shape.day_from {
                night_weight(hour_h + 24.0 - before.sunset_h, night_before_h)
            } else if hour < shape.night_from {
                day_weight(today, hour_h - today.sunrise_h)
            } else {
                night_weight(hour_h - today.sunset_h, night_after_h)
            };
        }
        shape
    }

    /// Temperature at sunset, °C.
    fn sunset_c(&self, day: Extremes) -> f64 {
        (day.tmax_c - day.tmin_c).mul_add(self.sunset_weight, day.tmin_c)
    }

    fn fill(
        &self,
        sunset_before_c: f64,
        day: Extremes,
        tmin_next_c: f64,
        mut put: impl FnMut(usize, f64),
    ) {
        // No `mul_add`: it is a call on most machines, and this is done for every hour.
        let mix = |from: f64, to: f64, weight: f64| (to - from) * weight + from;
        let sunset_c = self.sunset_c(day);
        for (hour, &weight) in self.weight.iter().enumerate() {
            let temp_c = if hour < self.day_from {
                mix(sunset_before_c, day.tmin_c, weight)
            } else if hour < self.night_from {
                mix(day.tmin_c, day.tmax_c, weight)
            } else {
                mix(sunset_c, tmin_next_c, weight)
            };
            put(hour, temp_c);
        }
    }
}

/// The hourly shape of every day of the year at one latitude. Build once, use for every year.
#[derive(Debug, Clone)]
pub struct HourlyShape {
    /// Index 0 is 1 January; 366 entries.
    days: Vec<DayShape>,
}

impl HourlyShape {
    /// Works out the shapes for a latitude in degrees (south negative).
    pub fn new(latitude_deg: f64) -> Self {
        let sun: Vec<Daylight> = (1..=366).map(|j| daylight(latitude_deg, j)).collect();
        // Day 366 stands for day 1 again (the declination formula has a period of 365 days), so
        // the day before 1 January is day 365, and the day after 31 December follows in order.
        let on = |j: usize| {
            sun.get(j)
                .copied()
                .unwrap_or_else(|| daylight(latitude_deg, 1))
        };
        let days = (0..366)
            .map(|j| DayShape::new(on(if j == 0 { 364 } else { j - 1 }), on(j), on(j + 1)))
            .collect();
        Self { days }
    }

    fn shape(&self, day_of_year: u32) -> Option<&DayShape> {
        let index = usize::try_from(day_of_year).unwrap_or(1).clamp(1, 366) - 1;
        self.days.get(index)
    }

    /// The 24 temperatures in °C at full hours of solar time (0–23) of one day. Where a
    /// neighbour is unknown the same day's extremes stand in.
    pub fn day(
        &self,
        day_of_year: u32,
        yesterday: Option<Extremes>,
        today: Extremes,
        tomorrow: Option<Extremes>,
    ) -> [f64; 24] {
        let mut hours = [f64::midpoint(today.tmin_c, today.tmax_c); 24];
        let before = if day_of_year <= 1 {
            365
        } else {
            day_of_year - 1
        };
        if let (Some(shape), Some(shape_before)) = (self.shape(day_of_year), self.shape(before))
            && !shape.flat
        {
            let sunset_before_c = shape_before.sunset_c(yesterday.unwrap_or(today));
            let tmin_next_c = tomorrow.unwrap_or(today).tmin_c;
            shape.fill(sunset_before_c, today, tmin_next_c, |hour, temp_c| {
                if let Some(slot) = hours.get_mut(hour) {
                    *slot = temp_c;
                }
            });
        }
        hours
    }

    /// Hourly temperatures in °C of a whole series, 24 a day from solar midnight; the hours of a
    /// missing day are NaN. This is the hot path of the estimate.
    pub fn series(&self, daily: &DailySeries) -> Vec<f32> {
        let mut out = Vec::with_capacity(daily.len() * 24);
        let mut ordinals = daily.first().iter_days().map(|date| date.ordinal());
        let mut sunset_before_c = None;
        let mut today = daily.at(0);
        for i in 0..daily.len() {
            let next = daily.at(i + 1);
            let shape = ordinals.next().and_then(|j| self.shape(j));
            let (Some((tmin_c, tmax_c)), Some(shape)) = (today, shape) else {
                out.extend([f32::NAN; 24]);
                (sunset_before_c, today) = (None, next);
                continue;
            };
            let day = Extremes { tmin_c, tmax_c };
            let sunset_c = shape.sunset_c(day);
            if shape.flat {
                out.extend([f64::midpoint(tmin_c, tmax_c) as f32; 24]);
            } else {
                let tmin_next_c = next.map_or(tmin_c, |(low, _)| low);
                shape.fill(
                    sunset_before_c.unwrap_or(sunset_c),
                    day,
                    tmin_next_c,
                    |_, temp_c| {
                        out.push(temp_c as f32);
                    },
                );
            }
            (sunset_before_c, today) = (Some(sunset_c), next);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn day(tmin_c: f64, tmax_c: f64) -> Extremes {
        Extremes { tmin_c, tmax_c }
    }

    #[test]
    fn the_whole_series_agrees_with_single_days_across_a_leap_year_end() {
        let extremes = [(-3.0, 4.5), (0.0, 7.0), (2.5, 9.0), (-1.0, 3.0)];
        let mut daily = DailySeries::empty("2024-12-30".parse().unwrap());
        daily
            .extend(extremes.map(|(a, b)| (a as f32, b as f32)))
            .unwrap();
        let shape = HourlyShape::new(43.0);
        let all = shape.series(&daily);
        let at = |i: usize| extremes.get(i).map(|&(a, b)| day(a, b));
        for (i, ordinal) in [(0_usize, 365), (1, 366), (2, 1), (3, 2)] {
            let one = shape.day(
                ordinal,
                i.checked_sub(1).and_then(at),
                at(i).unwrap(),
                at(i + 1),
            );
            for (hour, expected) in one.iter().enumerate() {
                let found = f64::from(all[i * 24 + hour]);
                // Sunset of the day before 1 January differs by a hair between years of 365 and 366 days.
                assert!(
                    (found - expected).abs() < 0.01,
                    "day {i} hour {hour}: {found} {expected}"
                );
            }
        }
    }

    #[test]
    fn missing_days_stay_missing_and_do_not_leak() {
        let mut daily = DailySeries::empty("2024-03-01".parse().unwrap());
        daily
            .extend([(1.0, 9.0), (f32::NAN, 9.0), (1.0, 9.0)])
            .unwrap();
        let all = HourlyShape::new(50.6).series(&daily);
        assert_eq!(all.len(), 72);
        for (i, temp_c) in all.iter().enumerate() {
            assert_eq!(temp_c.is_nan(), (24..48).contains(&i), "hour {i}");
        }
    }

    #[test]
    fn without_sunrise_every_hour_is_the_mean() {
        let hours = HourlyShape::new(75.0).day(355, None, day(-20.0, -10.0), None);
        assert_eq!(hours, [-15.0; 24]);
    }

    proptest! {
        /// Hours never leave the extremes of the day and its neighbours, and reach the maximum's
        /// neighbourhood: the hottest full hour is within half an hour of the peak.
        #[test]
        fn hours_stay_within_the_extremes(
            latitude in -60.0..60.0_f64, j in 1..=366_u32,
            lows in prop::array::uniform3(-30.0..25.0_f64), ranges in prop::array::uniform3(0.0..25.0_f64),
        ) {
            let [a, b, c] = [0, 1, 2].map(|i| day(lows[i], lows[i] + ranges[i]));
            let hours = HourlyShape::new(latitude).day(j, Some(a), b, Some(c));
            let lowest = lows.iter().copied().fold(f64::INFINITY, f64::min);
            let highest = [a, b, c].iter().map(|d| d.tmax_c).fold(f64::NEG_INFINITY, f64::max);
            for temp_c in hours {
                prop_assert!(temp_c >= lowest - 1e-9 && temp_c <= highest + 1e-9);
            }
            let peak = hours.iter().skip(12).take(4).copied().fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(peak <= b.tmax_c + 1e-9 && peak >= b.tmax_c - 0.02 * ranges[1] - 1e-9);
        }
    }
}
