//! The sun over one hour: its height, the radiation above the air and under a clear sky.

use std::f64::consts::PI;

use chrono::{DateTime, Datelike, Timelike, Utc};
use solar_positioning::{Location, SolarPositions, time::JulianDate};

/// Seconds between dynamical time and the clock, about right for 1990–2040; a minute's error
/// moves the sun by less than a hundredth of a degree.
const DELTA_T_S: f64 = 69.0;

/// Solar constant, MJ m⁻² min⁻¹. FAO-56, equation 21.
const SOLAR_CONSTANT: f64 = 0.0820;

/// Height of the sun's centre over the horizon in degrees, without refraction, at a moment.
/// Reda and Andreas 2004, by the library `solar-positioning`. `None` for impossible coordinates.
pub fn sun_elevation_deg(at: DateTime<Utc>, latitude: f64, longitude: f64) -> Option<f64> {
    let julian = JulianDate::from_utc(
        at.year(),
        at.month(),
        at.day(),
        at.hour(),
        at.minute(),
        f64::from(at.second()),
        DELTA_T_S,
    )
    .ok()?;
    let place = Location {
        latitude,
        longitude,
    };
    SolarPositions::new()
        .at_from_julian(julian, place, 0.0, None)
        .ok()
        .map(|position| position.elevation_angle())
}

/// The sun's part in one hour's energy balance at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HourSun {
    /// Solar hour angle at the middle of the hour, rad, noon is 0.
    pub hour_angle_rad: f64,
    /// Hour angle of sunset, rad.
    pub sunset_rad: f64,
    /// Radiation on a level surface above the air, MJ m⁻² in the hour.
    pub extraterrestrial_mj: f64,
    /// Radiation under a clear sky, MJ m⁻² in the hour.
    pub clear_sky_mj: f64,
}

impl HourSun {
    /// Whether the middle of the hour lies between sunrise and sunset.
    pub fn is_day(&self) -> bool {
        self.hour_angle_rad.abs() <= self.sunset_rad
    }
}

/// The sun in the hour whose middle is at `middle_h` (hours of universal time). FAO-56,
/// equations 22–33 and 37, with the integral cut at sunrise and sunset. East is positive.
pub fn hour_sun(
    day_of_year: u32,
    middle_h: f64,
    latitude: f64,
    longitude: f64,
    elevation_m: f64,
) -> HourSun {
    let j = f64::from(day_of_year);
    let phi = latitude.to_radians();
    let distance = 1.0 + 0.033 * (2.0 * PI / 365.0 * j).cos();
    let declination = 0.409 * (2.0 * PI / 365.0 * j - 1.39).sin();
    let sunset = (-phi.tan() * declination.tan()).clamp(-1.0, 1.0).acos();
    let b = 2.0 * PI * (j - 81.0) / 364.0;
    let correction_h = 0.1645 * (2.0 * b).sin() - 0.1255 * b.cos() - 0.025 * b.sin();
    let raw = PI / 12.0 * (middle_h + longitude / 15.0 + correction_h - 12.0);
    let middle = raw.sin().atan2(raw.cos());
    let from = (middle - PI / 24.0).clamp(-sunset, sunset);
    let to = (middle + PI / 24.0).clamp(-sunset, sunset);
    let extraterrestrial_mj = (12.0 * 60.0 / PI
        * SOLAR_CONSTANT
        * distance
        * ((to - from) * phi.sin() * declination.sin()
            + phi.cos() * declination.cos() * (to.sin() - from.sin())))
    .max(0.0);
    HourSun {
        hour_angle_rad: middle,
        sunset_rad: sunset,
        extraterrestrial_mj,
        clear_sky_mj: (0.75 + 2e-5 * elevation_m) * extraterrestrial_mj,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    // FAO-56 (Allen et al. 1998), example 19: N'Diaye, Senegal, 16°13' N 16°15' W, 8 m,
    // 1 October. Its clock is one hour behind universal time.
    #[test]
    fn the_hours_sun_is_that_of_fao_56_example_19() {
        let day = hour_sun(274, 15.5, 16.0 + 13.0 / 60.0, -16.25, 8.0);
        assert_abs_diff_eq!(day.hour_angle_rad, 0.682, epsilon = 1e-3);
        assert_abs_diff_eq!(day.extraterrestrial_mj, 3.543, epsilon = 2e-3);
        assert_abs_diff_eq!(day.clear_sky_mj, 2.658, epsilon = 2e-3);
        assert!(day.is_day());
        let night = hour_sun(274, 3.5, 16.0 + 13.0 / 60.0, -16.25, 8.0);
        assert_abs_diff_eq!(night.hour_angle_rad, -2.46, epsilon = 1e-3);
        assert_eq!(night.extraterrestrial_mj, 0.0);
        assert!(!night.is_day());
    }

    // Reda and Andreas 2004 (NREL/TP-560-34302), example of table A5.1: 17 October 2003,
    // 12:30:30 at UTC−7, 39.742476° N 105.1786° W: topocentric elevation 39.87 ° without
    // refraction (39.888 with).
    #[test]
    fn the_suns_height_is_that_of_reda_and_andreas() {
        let at: DateTime<Utc> = "2003-10-17T19:30:30Z".parse().unwrap();
        let height = sun_elevation_deg(at, 39.742_476, -105.178_6).unwrap();
        assert_abs_diff_eq!(height, 39.872, epsilon = 5e-3);
        assert_eq!(sun_elevation_deg(at, 95.0, 0.0), None);
    }

    #[test]
    fn both_ways_to_the_sun_agree_on_day_and_night() {
        for hour in 0..24 {
            let at: DateTime<Utc> = format!("2015-02-10T{hour:02}:30:00Z").parse().unwrap();
            let high = sun_elevation_deg(at, 47.6, -122.3).unwrap();
            let sun = hour_sun(41, f64::from(hour) + 0.5, 47.6, -122.3, 0.0);
            if high.abs() > 2.0 {
                assert_eq!(sun.is_day(), high > 0.0, "hour {hour}, sun at {high}");
            }
        }
    }

    #[test]
    fn polar_day_and_night_do_not_break_the_arithmetic() {
        assert_eq!(hour_sun(355, 12.0, 80.0, 0.0, 0.0).extraterrestrial_mj, 0.0);
        assert!(hour_sun(172, 0.0, 80.0, 0.0, 0.0).extraterrestrial_mj > 0.0);
        assert!(hour_sun(172, 0.0, 90.0, 0.0, 0.0).extraterrestrial_mj > 0.0);
    }
}
