//! Moist air: vapour pressure, dew point, wet bulb.

/// Saturation vapour pressure over water, kPa, at an air temperature in °C.
/// FAO-56 (Allen et al. 1998), equation 11.
pub fn saturation_kpa(temp_c: f64) -> f64 {
    0.6108 * (17.27 * temp_c / (temp_c + 237.3)).exp()
}

/// Slope of the saturation curve, kPa/°C. FAO-56, equation 13.
pub fn slope_kpa_per_c(temp_c: f64) -> f64 {
    4098.0 * saturation_kpa(temp_c) / (temp_c + 237.3).powi(2)
}

/// Relative humidity in percent from air temperature and dew point in °C, at most 100.
/// FAO-56, equations 10 and 14.
pub fn humidity_from_dew_point(temp_c: f64, dew_point_c: f64) -> f64 {
    (100.0 * saturation_kpa(dew_point_c) / saturation_kpa(temp_c)).min(100.0)
}

/// Wet-bulb temperature in °C at sea-level pressure, from air temperature in °C and relative
/// humidity in percent.
///
/// Stull 2011 (J. Appl. Meteorol. Climatol. 50:2267): a fit for 5–99 % and −20…50 °C, not for
/// air both cold and dry; error −1…+0.65 °C, 0.28 °C in the mean. Outside the fit's range
/// `None`.
pub fn wet_bulb_c(temp_c: f64, rh_pct: f64) -> Option<f64> {
    if !(-20.0..=50.0).contains(&temp_c) || !(5.0..=100.0).contains(&rh_pct) {
        return None;
    }
    let rh = rh_pct.min(99.0);
    let fit = temp_c * (0.151_977 * (rh + 8.313_659).sqrt()).atan() + (temp_c + rh).atan()
        - (rh - 1.676_331).atan()
        + 0.003_918_38 * rh.powf(1.5) * (0.023_101 * rh).atan()
        - 4.686_035;
    // The fit may lie a little above the air's temperature near saturation; nature does not.
    Some(fit.min(temp_c))
}

/// Wet-bulb depression (dry minus wet bulb, "Delta T") in °C; `None` outside the fit's range.
pub fn depression_c(temp_c: f64, rh_pct: f64) -> Option<f64> {
    wet_bulb_c(temp_c, rh_pct).map(|wet| temp_c - wet)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    // FAO-56 (Allen et al. 1998), example 3: e° is 3.075 kPa at 24.5 °C and 1.705 kPa at 15 °C.
    #[test]
    fn saturation_is_that_of_fao_56_example_3() {
        assert_abs_diff_eq!(saturation_kpa(24.5), 3.075, epsilon = 5e-4);
        assert_abs_diff_eq!(saturation_kpa(15.0), 1.705, epsilon = 5e-4);
    }

    // Stull 2011: 20 °C and 50 % give 13.7 °C (the paper's own example); the other three follow
    // from its equation 1 by hand.
    #[test]
    fn wet_bulb_is_that_of_stull_2011() {
        for (temp, rh, wet) in [
            (20.0, 50.0, 13.699),
            (30.0, 50.0, 22.297),
            (10.0, 60.0, 6.024),
            (5.0, 80.0, 3.128),
        ] {
            assert_abs_diff_eq!(wet_bulb_c(temp, rh).unwrap(), wet, epsilon = 6e-4);
            assert_abs_diff_eq!(depression_c(temp, rh).unwrap(), temp - wet, epsilon = 6e-4);
        }
    }

    #[test]
    fn outside_its_range_the_fit_is_not_used() {
        assert_eq!(wet_bulb_c(-21.0, 50.0), None);
        assert_eq!(wet_bulb_c(10.0, 3.0), None);
        assert_eq!(wet_bulb_c(10.0, f64::NAN), None);
        assert!(wet_bulb_c(3.0, 100.0).unwrap() <= 3.0);
    }

    #[test]
    fn humidity_from_the_dew_point_ends_at_saturation() {
        assert_abs_diff_eq!(humidity_from_dew_point(10.0, 10.0), 100.0);
        assert_abs_diff_eq!(humidity_from_dew_point(10.0, 12.0), 100.0);
        let rh = humidity_from_dew_point(20.0, 9.3);
        assert_abs_diff_eq!(rh, 50.0, epsilon = 0.3);
    }
}
