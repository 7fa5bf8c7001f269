//! How much is left, how much is still to come: published models, each with its spread. None of
//! them is a promise, and none moves a date; they are said beside a decision.

use crate::domain::sources::{self, Source};

/// Most wood keeps of a copper after so much rain, mm: all of it up to here (kiwifruit canes, NZ
/// Plant Protection 66:199, 2013).
const WOOD_KEEPS_TO_MM: f64 = 50.0;
/// Rain that takes half of a copper off leaves, mm (the same).
const LEAF_HALF_MM: f64 = 25.0;

/// What may be left of a copper on dormant wood, as a share: least and most. No constant for
/// dormant twigs is published, so the two ends are those of leaves and of canes.
pub fn copper_left(rain_mm: f64) -> (f64, f64) {
    let rain_mm = rain_mm.max(0.0);
    let least = 0.5_f64.powf(rain_mm / LEAF_HALF_MM);
    let most = if rain_mm <= WOOD_KEEPS_TO_MM {
        1.0
    } else {
        0.5_f64.powf((rain_mm - WOOD_KEEPS_TO_MM) / LEAF_HALF_MM)
    };
    (least, most)
}

/// Where [`copper_left`] comes from.
pub fn copper_left_source() -> &'static Source {
    &sources::COPPER_ON_WOOD
}

/// How a wet spell bears on peach leaf curl, once leaf buds show their tips.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CurlRain {
    /// It does not infect by the model.
    None,
    /// It can infect.
    Infects,
    /// It can infect much: wet for a day or more and cold.
    InfectsMuch,
}

/// A wet spell by Rossi and others 2006 (Phytopathology 96:155-168): 3 mm of rain or more, wet
/// for 12.5 h or more, colder than 16 °C while wet; more wetness and cold make it worse.
pub fn curl_rain(rain_mm: f64, wet_h: f64, temp_c: f64) -> CurlRain {
    let infects = rain_mm >= 3.0 - 1e-9 && wet_h >= 12.5 && temp_c < 16.0;
    if !infects {
        CurlRain::None
    } else if wet_h >= 24.0 && temp_c <= 8.0 {
        CurlRain::InfectsMuch
    } else {
        CurlRain::Infects
    }
}

/// How far apple scab's spores ripen on a wet mild day (Rossi, Giosuè & Bugiani 2007, EPPO
/// Bulletin 37:300-308), at a mean of `temp_c`.
pub fn scab_ripening(temp_c: f64) -> f64 {
    if temp_c <= 0.0 {
        return 0.0;
    }
    (0.0031 + 0.0546 * temp_c - 0.00175 * temp_c * temp_c).max(0.0)
}

/// Share of the season's scab spores that are ripe after `wet_degree_days`: degree hours above
/// 0 °C in wet hours, divided by 24 (the same).
pub fn scab_share_ripe(wet_degree_days: f64) -> f64 {
    1.0 / (1.0 + (6.89 - 0.035 * wet_degree_days).exp())
}

/// Degree days above 7.4 °C from 10 February at which half of the winter eggs of the European red
/// mite have hatched, and the field mean beside it (Broufas & Koveos 2000).
pub const RED_MITE_HALF_C_DAYS: (f64, f64) = (154.6, 129.4);
/// The base of that sum, °C.
pub const RED_MITE_BASE_C: f64 = 7.4;
/// How far the model was off in five springs, days, with its spread.
pub const RED_MITE_ERROR_DAYS: (f64, f64) = (3.7, 0.5);

/// Days to half hatch at a steady temperature; none at or under the base.
pub fn red_mite_days_to_half(temp_c: f64) -> Option<f64> {
    let above = temp_c - RED_MITE_BASE_C;
    (above > 0.0).then(|| RED_MITE_HALF_C_DAYS.0 / above)
}

/// Limits of San Jose scale's degree days, °C: 51 and 90 °F.
pub const SAN_JOSE_LIMITS_C: (f64, f64) = (19.0 / 1.8, 58.0 / 1.8);
/// Degree days from 1 January at which traps for males are out, °F days.
pub const SAN_JOSE_TRAPS_F_DAYS: f64 = 200.0;
/// Degree days above 51 °F (upper limit 90 °F) from the first male of San Jose scale to the first
/// crawlers, °F days (Rice and others 1982).
pub const SAN_JOSE_CRAWLERS_F_DAYS: f64 = 405.0;

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    // The range of wood and leaves: 12.5, 25, 50 mm.
    #[test]
    fn copper_between_leaf_and_cane() {
        for (mm, least, most) in [
            (0.0, 1.0, 1.0),
            (12.5, 0.707, 1.0),
            (25.0, 0.5, 1.0),
            (50.0, 0.25, 1.0),
            (75.0, 0.125, 0.5),
        ] {
            let (l, m) = copper_left(mm);
            assert_relative_eq!(l, least, epsilon = 5e-4);
            assert_relative_eq!(m, most, epsilon = 1e-12);
        }
    }

    // Check values of the published rule, at, inside and outside.
    #[test]
    fn leaf_curl_rains() {
        for (mm, wet, temp, wanted) in [
            (2.9, 20.0, 10.0, CurlRain::None),
            (3.0, 12.5, 10.0, CurlRain::Infects),
            (3.0, 12.4, 10.0, CurlRain::None),
            (20.0, 11.0, 10.0, CurlRain::None),
            (5.0, 24.0, 16.0, CurlRain::None),
            (5.0, 24.0, 15.9, CurlRain::Infects),
            (12.0, 30.0, 6.0, CurlRain::InfectsMuch),
            (5.0, 24.0, 3.1, CurlRain::InfectsMuch), // cold is never safe
        ] {
            assert_eq!(curl_rain(mm, wet, temp), wanted, "{mm} {wet} {temp}");
        }
    }

    // Growth at 5, 10, 15 °C and the share ripe at H = 0, 79.17, 100, 300.
    #[test]
    fn scab_spores() {
        for (temp, growth) in [(5.0, 0.23235), (10.0, 0.37410), (15.0, 0.42835)] {
            assert_relative_eq!(scab_ripening(temp), growth, epsilon = 1e-5);
        }
        assert_relative_eq!(scab_ripening(0.0), 0.0);
        for (h, share) in [
            (0.0, 0.001_017),
            (79.17, 0.016),
            (100.0, 0.032_609),
            (300.0, 0.973_661),
        ] {
            assert_relative_eq!(scab_share_ripe(h), share, epsilon = 1e-5);
        }
    }

    // 154.6/(T - 7.4) at 15, 20, 25 °C.
    #[test]
    fn red_mite_eggs() {
        for (temp, days) in [(15.0, 20.3), (20.0, 12.3), (25.0, 8.8)] {
            assert_relative_eq!(red_mite_days_to_half(temp).unwrap(), days, epsilon = 0.05);
        }
        assert_eq!(red_mite_days_to_half(7.4), None);
    }

    // 405 °F days are 225.0 °C days.
    #[test]
    fn san_jose_scale() {
        assert_relative_eq!(SAN_JOSE_CRAWLERS_F_DAYS / 1.8, 225.0);
    }
}
