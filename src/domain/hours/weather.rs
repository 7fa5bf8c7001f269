//! One hour of weather in the form the arithmetic wants.

use crate::domain::climate::hourly_series::Hour;

use super::humidity;

/// The weather of one hour; NaN is missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HourWeather {
    /// Air temperature, °C.
    pub temp_c: f64,
    /// Relative humidity, %; from the dew point where only that is known.
    pub rh_pct: f64,
    /// Wind, m/s, at 10 m as stations and forecasts give it.
    pub wind_ms: f64,
    /// Gusts, m/s; missing where none was reported.
    pub gust_ms: f64,
    /// Direction the wind comes from, degrees from north through east.
    pub wind_from_deg: f64,
    /// Rain, or the water of snow, mm in the hour.
    pub rain_mm: f64,
    /// Chance of rain, %.
    pub rain_chance_pct: f64,
    /// Sky covered by cloud, %.
    pub cloud_pct: f64,
    /// Sunlight on a level surface, MJ m⁻² in the hour.
    pub sunlight_mj: f64,
}

impl HourWeather {
    /// An hour about which nothing is known.
    pub const UNKNOWN: Self = Self {
        temp_c: f64::NAN,
        rh_pct: f64::NAN,
        wind_ms: f64::NAN,
        gust_ms: f64::NAN,
        wind_from_deg: f64::NAN,
        rain_mm: f64::NAN,
        rain_chance_pct: f64::NAN,
        cloud_pct: f64::NAN,
        sunlight_mj: f64::NAN,
    };
}

impl From<&Hour> for HourWeather {
    fn from(hour: &Hour) -> Self {
        let from_dew = || Some(humidity::humidity_from_dew_point(hour.temp_c?, hour.dew_c?));
        let or_nan = |value: Option<f64>| value.filter(|v| v.is_finite()).unwrap_or(f64::NAN);
        Self {
            temp_c: or_nan(hour.temp_c),
            rh_pct: or_nan(hour.rh_pct.or_else(from_dew)),
            wind_ms: or_nan(hour.wind_ms),
            gust_ms: or_nan(hour.gust_ms),
            wind_from_deg: or_nan(hour.wind_dir_deg),
            rain_mm: or_nan(hour.rain_mm),
            rain_chance_pct: or_nan(hour.rain_chance_pct),
            cloud_pct: or_nan(hour.cloud_pct),
            sunlight_mj: or_nan(hour.sunlight_mj),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn humidity_comes_from_the_dew_point_only_where_it_is_missing() {
        let hour = Hour {
            temp_c: Some(20.0),
            dew_c: Some(20.0),
            ..Hour::default()
        };
        assert_eq!(HourWeather::from(&hour).rh_pct, 100.0);
        let both = Hour {
            rh_pct: Some(55.0),
            ..hour
        };
        assert_eq!(HourWeather::from(&both).rh_pct, 55.0);
        assert!(HourWeather::from(&Hour::default()).rh_pct.is_nan());
    }
}
