//! Whether the air near the ground lies in a layer that holds droplets: calm is not safe.
//!
//! North Dakota State University Extension AE1705 (2019, 2024): under 3 mph with a clear sky,
//! from late afternoon through the night into the morning, an inversion is to be suspected. The
//! same, 20 May 2021: it can be found from three to four hours before sunset and goes one to two
//! hours after sunrise. The three miles an hour are felt near the ground; wind on file is that at
//! 10 m.

use super::super::weather::HourWeather;

/// Wind at 2 m below which air may be layered, m/s: 3 mph.
pub const CALM_AT_2_M_MS: f64 = 1.341_12;
/// The same at 10 m, the height of the wind on file, by the profile of FAO Irrigation and
/// Drainage Paper 56, equation 47: 4.87 / ln(67.8 · 10 − 5.42) = 0.748 of it is left at 2 m.
pub const CALM_MS: f64 = CALM_AT_2_M_MS / 0.747_951_06;
/// Cover up to which a sky counts as clear, %: common practice, no source.
const CLEAR_PCT: f64 = 50.0;
/// Hours after sunrise in which a layer may still stand.
const AFTER_SUNRISE_H: usize = 2;
/// Hours before sunset from which a layer may form.
const BEFORE_SUNSET_H: usize = 3;

/// How likely the air is layered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Inversion {
    /// Windy, cloudy, or well inside the day.
    No,
    /// Calm at low sun or night; the sky is not known.
    Possible,
    /// Calm and clear at low sun or night.
    Likely,
    /// Wind or sun is not known.
    Unknown,
}

pub(super) fn inversions(hours: &[HourWeather], sun_deg: &[f64]) -> Vec<Inversion> {
    let down = |i: usize| sun_deg.get(i).is_some_and(|&e| e <= 0.0);
    hours
        .iter()
        .enumerate()
        .map(|(i, hour)| {
            if !hour.wind_ms.is_finite() || sun_deg.get(i).is_none_or(|e| !e.is_finite()) {
                return Inversion::Unknown;
            }
            let low = (i.saturating_sub(AFTER_SUNRISE_H)..=i + BEFORE_SUNSET_H).any(down);
            if hour.wind_ms >= CALM_MS || !low {
                Inversion::No
            } else if !hour.cloud_pct.is_finite() {
                Inversion::Possible
            } else if hour.cloud_pct <= CLEAR_PCT {
                Inversion::Likely
            } else {
                Inversion::No
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::Inversion::{Likely, No, Possible, Unknown};
    use super::*;

    fn hour(wind_ms: f64, cloud_pct: f64) -> HourWeather {
        HourWeather {
            wind_ms,
            cloud_pct,
            ..HourWeather::UNKNOWN
        }
    }

    #[test]
    fn calm_and_clear_near_the_horizon_is_layered_and_noon_is_not() {
        let sun = [-20.0, -8.0, 3.0, 12.0, 20.0, 25.0, 24.0, 15.0, 5.0, -4.0];
        let clear = inversions(&[hour(0.8, 10.0); 10], &sun);
        assert_eq!(
            clear,
            [
                Likely, Likely, Likely, Likely, No, No, Likely, Likely, Likely, Likely
            ]
        );
        assert!(inversions(&[hour(0.8, f64::NAN); 10], &sun).contains(&Possible));
        assert!(
            inversions(&[hour(2.0, 0.0); 10], &sun)
                .iter()
                .all(|&i| i == No)
        );
        assert!(
            inversions(&[hour(0.8, 90.0); 10], &sun)
                .iter()
                .all(|&i| i == No)
        );
        assert_eq!(inversions(&[hour(f64::NAN, 0.0)], &sun), [Unknown]);
    }

    // FAO-56 equation 47 turns 3 mph at 2 m into 1.79 m/s at 10 m.
    #[test]
    fn three_miles_an_hour_are_felt_at_the_ground() {
        let at_2_m = |at_10_m: f64| at_10_m * 4.87 / (67.8_f64 * 10.0 - 5.42).ln();
        assert!((at_2_m(CALM_MS) - CALM_AT_2_M_MS).abs() < 1e-6);
        let night = [-20.0; 1];
        let of = |ms: f64| inversions(&[hour(ms, 0.0)], &night);
        assert_eq!(of(CALM_MS - 0.001), [Likely], "inside");
        assert_eq!(
            of(1.5),
            [Likely],
            "3.4 mph at 10 m are 2.5 mph at the ground"
        );
        assert_eq!(of(CALM_MS), [No], "at");
        assert_eq!(of(CALM_MS + 0.001), [No], "outside");
    }
}
