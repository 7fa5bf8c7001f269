//! The sun over one hour: its height, the radiation above the air and under a clear sky.

use std::f64::consts::PI;

use chrono::{DateTime, Utc};

/// Seconds of the clock from 1970 to noon of 1 January 2000, from which the almanac counts.
const EPOCH_S: f64 = 946_728_000.0;

/// Solar constant, MJ m⁻² min⁻¹. FAO-56, equation 21.
const SOLAR_CONSTANT: f64 = 0.0820;

/// Height of the sun's centre over the horizon in degrees, without refraction, at a moment.
/// `None` for impossible coordinates.
///
/// The short series of the Astronomical Almanac as given by Michalsky 1988 (Solar Energy
/// 40:227–235; constants from memory, held against the long series of Reda and Andreas 2004 in the
/// tests): within 0.01° from 1950 to 2050, where dusk moves by four seconds.
pub fn sun_elevation_deg(at: DateTime<Utc>, latitude: f64, longitude: f64) -> Option<f64> {
    if !(-90.0..=90.0).contains(&latitude) || !(-180.0..=180.0).contains(&longitude) {
        return None;
    }
    let days = (at.timestamp() as f64 - EPOCH_S) / 86_400.0;
    let mean_longitude = 280.460 + 0.985_647_4 * days;
    let (anomaly_sin, anomaly_cos) = (357.528 + 0.985_600_3 * days).to_radians().sin_cos();
    // sin 2g = 2 sin g cos g.
    let centre = anomaly_sin * (1.915 + 0.020 * 2.0 * anomaly_cos);
    let (sin, cos) = (mean_longitude + centre).to_radians().sin_cos();
    let (tilt_sin, tilt_cos) = (23.439 - 4e-7 * days).to_radians().sin_cos();
    let right_ascension = (tilt_cos * sin).atan2(cos);
    let declination_sin = tilt_sin * sin;
    let declination_cos = (1.0 - declination_sin * declination_sin).max(0.0).sqrt();
    // Mean sidereal time at Greenwich in degrees: 6.697375 h at noon less half a day's turn.
    let sidereal = 280.460_62 + 360.985_647_37 * days + longitude;
    let hour_angle = sidereal.to_radians() - right_ascension;
    let (place_sin, place_cos) = latitude.to_radians().sin_cos();
    let height = place_sin * declination_sin + place_cos * declination_cos * hour_angle.cos();
    Some(height.clamp(-1.0, 1.0).asin().to_degrees())
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
    use solar_positioning::{Location, SolarPositions, time::JulianDate};

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

    /// The same by the long series of Reda and Andreas, good to 0.0003°, with the 69 s between
    /// dynamical time and the clock of these years.
    fn long_series_deg(at: DateTime<Utc>, latitude: f64, longitude: f64) -> f64 {
        use chrono::{Datelike, Timelike};
        let (day, clock) = ((at.year(), at.month(), at.day()), (at.hour(), at.minute()));
        let julian = JulianDate::from_utc(day.0, day.1, day.2, clock.0, clock.1, 0.0, 69.0);
        let place = Location {
            latitude,
            longitude,
        };
        let sun = SolarPositions::new().at_from_julian(julian.unwrap(), place, 0.0, None);
        sun.unwrap().elevation_angle()
    }

    #[test]
    fn the_short_series_keeps_to_its_hundredth_of_a_degree() {
        let mut at: DateTime<Utc> = "1990-01-01T00:30:00Z".parse().unwrap();
        let end: DateTime<Utc> = "2040-01-01T00:00:00Z".parse().unwrap();
        let mut worst: f64 = 0.0;
        while at < end {
            for (latitude, longitude) in [(47.6, -122.3), (-41.3, 174.8), (68.0, 20.0)] {
                let short = sun_elevation_deg(at, latitude, longitude).unwrap();
                worst = worst.max((short - long_series_deg(at, latitude, longitude)).abs());
            }
            at += chrono::TimeDelta::hours(5 * 24 + 7);
        }
        // Its own error, and the earth's radius, which it leaves out: 0.0024° at the horizon.
        assert!(worst < 0.0125, "{worst}");
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
