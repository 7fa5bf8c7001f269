//! Sunrise, sunset and day length, in solar time.
//!
//! Declination: Spencer 1971. Hour angle at −0.8333° (refraction and half the disc):
//! as used by Almorox et al. 2005.

use std::f64::consts::PI;

/// Sun altitude counted as rising and setting, degrees: refraction plus half the sun's disc.
const HORIZON_DEG: f64 = -0.8333;

/// The daylight of one day, hours of solar time (noon is 12).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Daylight {
    /// Sunrise, hours after solar midnight; 0 in the polar day, 12 in the polar night.
    pub sunrise_h: f64,
    /// Sunset, hours after solar midnight; 24 in the polar day, 12 in the polar night.
    pub sunset_h: f64,
    /// Hours between the two: 0 in the polar night, 24 in the polar day.
    pub length_h: f64,
}

impl Daylight {
    /// Whether the sun both rises and sets on this day.
    pub fn rises_and_sets(self) -> bool {
        self.length_h > 0.0 && self.length_h < 24.0
    }
}

/// The sun's declination in radians on a day of the year (1 = 1 January), Spencer 1971.
pub fn declination_rad(day_of_year: u32) -> f64 {
    let gamma = 2.0 * PI * (f64::from(day_of_year) - 1.0) / 365.0;
    0.006_918 - 0.399_912 * gamma.cos() + 0.070_257 * gamma.sin() - 0.006_758 * (2.0 * gamma).cos()
        + 0.000_907 * (2.0 * gamma).sin()
        - 0.002_697 * (3.0 * gamma).cos()
        + 0.001_48 * (3.0 * gamma).sin()
}

/// Sunrise, sunset and day length at a latitude (degrees, south negative; beyond ±90 is taken
/// as the pole) on a day of the year (1–366).
pub fn daylight(latitude_deg: f64, day_of_year: u32) -> Daylight {
    let phi = latitude_deg.clamp(-90.0, 90.0).to_radians();
    let delta = declination_rad(day_of_year);
    let cos_omega =
        (HORIZON_DEG.to_radians().sin() - phi.sin() * delta.sin()) / (phi.cos() * delta.cos());
    let half_day_h = cos_omega.clamp(-1.0, 1.0).acos().to_degrees() / 15.0;
    Daylight {
        sunrise_h: 12.0 - half_day_h,
        sunset_h: 12.0 + half_day_h,
        length_h: 2.0 * half_day_h,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn poles_have_one_day_and_one_night_a_year() {
        assert_eq!(daylight(90.0, 172).length_h, 24.0);
        assert_eq!(daylight(90.0, 355).length_h, 0.0);
        assert_eq!(daylight(-90.0, 355).length_h, 24.0);
        assert!(!daylight(75.0, 355).rises_and_sets());
        assert!(daylight(50.6, 355).rises_and_sets());
    }

    #[test]
    fn day_366_is_day_1_again() {
        let (last, first) = (daylight(43.0, 366), daylight(43.0, 1));
        assert!((last.length_h - first.length_h).abs() < 1e-12);
    }
}
