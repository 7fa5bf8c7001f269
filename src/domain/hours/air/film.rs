//! What an hour takes from a wet film, as a range.

use super::super::evaporation::{Surface, SurfaceHour, balance, wind_at_2m};
use super::super::sky::HourSun;
use super::super::weather::HourWeather;

/// Height of the wind in stations and forecasts, m.
const WIND_HEIGHT_M: f64 = 10.0;
/// Sunlight under a fully covered sky as a share of a clear one's: FAO-56, equations 35 and 36
/// with their default coefficients, 0.25 of 0.75.
const OVERCAST: f64 = 1.0 / 3.0;

/// Evaporation of one hour in mm: with the sky known the three are the same. NaN is unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evaporation {
    /// Under the sky that dries least.
    pub least_mm: f64,
    /// Between the two.
    pub likely_mm: f64,
    /// Under the sky that dries most.
    pub most_mm: f64,
}

impl Evaporation {
    /// Nothing known.
    pub const UNKNOWN: Self = Self {
        least_mm: f64::NAN,
        likely_mm: f64::NAN,
        most_mm: f64::NAN,
    };

    /// Is it known?
    pub fn is_known(&self) -> bool {
        self.likely_mm.is_finite()
    }
}

/// Share of a clear sky's sunlight under a cover in percent. FAO-56, equation 35, with the
/// cover's complement for relative sunshine.
fn clearness(cloud_pct: f64) -> f64 {
    (0.25 + 0.50 * (1.0 - cloud_pct.clamp(0.0, 100.0) / 100.0)) / 0.75
}

/// What an hour takes at a height above the sea.
pub(super) fn hourly(hour: &HourWeather, sun: &HourSun, elevation_m: f64) -> Evaporation {
    if !(hour.temp_c.is_finite() && hour.rh_pct.is_finite() && hour.wind_ms.is_finite()) {
        return Evaporation::UNKNOWN;
    }
    let under = |clearness: f64, sunlight_mj: f64| {
        let surface = SurfaceHour {
            temp_c: hour.temp_c,
            rh_pct: hour.rh_pct.clamp(0.0, 100.0),
            wind_2m_ms: wind_at_2m(hour.wind_ms, WIND_HEIGHT_M),
            sunlight_mj,
            clearness,
            is_day: sun.is_day(),
            elevation_m,
        };
        balance(&surface, Surface::WaterFilm).evaporation_mm
    };
    let clear = sun.clear_sky_mj;
    if hour.sunlight_mj.is_finite() && sun.is_day() && clear > 0.05 {
        let measured = hour.sunlight_mj;
        let mm = under(measured / clear, measured);
        return Evaporation {
            least_mm: mm,
            likely_mm: mm,
            most_mm: mm,
        };
    }
    if hour.cloud_pct.is_finite() {
        let share = clearness(hour.cloud_pct);
        let mm = under(share, share * clear);
        return Evaporation {
            least_mm: mm,
            likely_mm: mm,
            most_mm: mm,
        };
    }
    let half = f64::midpoint(1.0, OVERCAST);
    let (bright, grey) = (under(1.0, clear), under(OVERCAST, OVERCAST * clear));
    Evaporation {
        least_mm: bright.min(grey),
        likely_mm: under(half, half * clear),
        most_mm: bright.max(grey),
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::sky::hour_sun;
    use super::*;

    fn noon(cloud_pct: f64) -> Evaporation {
        let hour = HourWeather {
            temp_c: 10.0,
            rh_pct: 70.0,
            wind_ms: 2.0,
            cloud_pct,
            ..HourWeather::UNKNOWN
        };
        hourly(&hour, &hour_sun(41, 20.0, 47.0, -122.0, 100.0), 100.0)
    }

    #[test]
    fn an_unknown_sky_lies_between_the_known_ones() {
        let (open, clear, grey) = (noon(f64::NAN), noon(0.0), noon(100.0));
        assert!((open.most_mm - clear.likely_mm).abs() < 1e-9);
        assert!((open.least_mm - grey.likely_mm).abs() < 1e-9);
        assert!(open.least_mm < open.likely_mm && open.likely_mm < open.most_mm);
    }

    #[test]
    fn nothing_is_said_without_wind_or_humidity() {
        let dumb = HourWeather {
            temp_c: 10.0,
            ..HourWeather::UNKNOWN
        };
        assert!(!hourly(&dumb, &hour_sun(41, 20.0, 47.0, -122.0, 0.0), 0.0).is_known());
    }
}
