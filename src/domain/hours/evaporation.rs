//! Evaporation by hourly Penman–Monteith, as in FAO-56 (Allen et al. 1998), chapter 4.
//!
//! One equation serves two surfaces: the reference grass of the published examples (surface
//! resistance 70 s/m) and a free film of water on bark (no surface resistance, no ground under
//! it). The air's resistance is that of the reference grass, `208 / u2`; a tree stands rougher,
//! so a film on it dries rather sooner than this says.

use super::humidity::{saturation_kpa, slope_kpa_per_c};

/// Stefan–Boltzmann constant per hour, MJ K⁻⁴ m⁻² h⁻¹. FAO-56, chapter 4.
const SIGMA_HOUR: f64 = 4.903e-9 / 24.0;
/// Share of sunlight thrown back. FAO-56, equation 38.
const ALBEDO: f64 = 0.23;
/// Least wind in the equation, m/s: still air moves a little. FAO-56, page on missing wind.
const LEAST_WIND_MS: f64 = 0.5;

/// What evaporates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// The reference crop: 0.12 m grass, 70 s/m, on ground.
    ReferenceGrass,
    /// A film of water on bark: no resistance of its own, no ground beneath.
    WaterFilm,
}

/// One hour of weather at the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurfaceHour {
    /// Mean air temperature, °C.
    pub temp_c: f64,
    /// Mean relative humidity, %.
    pub rh_pct: f64,
    /// Mean wind at 2 m, m/s.
    pub wind_2m_ms: f64,
    /// Sunlight on a level surface, MJ m⁻² in the hour.
    pub sunlight_mj: f64,
    /// Sunlight as a share of a clear sky's, 0.3 (overcast) to 1 (clear); at night the share of
    /// the hours before sunset.
    pub clearness: f64,
    /// Is the sun up at the middle of the hour?
    pub is_day: bool,
    /// Height above the sea, m.
    pub elevation_m: f64,
}

/// The balance of one hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Net radiation, MJ m⁻² in the hour.
    pub net_radiation_mj: f64,
    /// Heat into the ground, MJ m⁻² in the hour.
    pub ground_mj: f64,
    /// Evaporation, mm in the hour; negative is dew.
    pub evaporation_mm: f64,
}

/// Wind at 2 m from wind at another height over short grass. FAO-56, equation 47.
pub fn wind_at_2m(wind_ms: f64, height_m: f64) -> f64 {
    wind_ms * 4.87 / (67.8 * height_m - 5.42).ln()
}

/// Psychrometric constant, kPa/°C, at a height above the sea. FAO-56, equations 7 and 8.
pub fn psychrometric_kpa_per_c(elevation_m: f64) -> f64 {
    let pressure_kpa = 101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0).powf(5.26);
    0.665e-3 * pressure_kpa
}

/// The hour's balance. FAO-56, equations 38–40, 45, 46 and 53.
pub fn balance(hour: &SurfaceHour, surface: Surface) -> Balance {
    let saturation = saturation_kpa(hour.temp_c);
    let vapour = saturation * hour.rh_pct / 100.0;
    let slope = slope_kpa_per_c(hour.temp_c);
    let gamma = psychrometric_kpa_per_c(hour.elevation_m);
    let net_short = (1.0 - ALBEDO) * hour.sunlight_mj;
    let net_long = SIGMA_HOUR
        * (hour.temp_c + 273.16).powi(4)
        * (0.34 - 0.14 * vapour.sqrt())
        * (1.35 * hour.clearness.clamp(0.3, 1.0) - 0.35);
    let net = net_short - net_long;
    let wind = hour.wind_2m_ms.max(LEAST_WIND_MS);
    let (ground, resistance) = match surface {
        Surface::ReferenceGrass => (if hour.is_day { 0.1 * net } else { 0.5 * net }, 0.34 * wind),
        Surface::WaterFilm => (0.0, 0.0),
    };
    let evaporation_mm = (0.408 * slope * (net - ground)
        + gamma * 37.0 / (hour.temp_c + 273.0) * wind * (saturation - vapour))
        / (slope + gamma * (1.0 + resistance));
    Balance {
        net_radiation_mj: net,
        ground_mj: ground,
        evaporation_mm,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    // FAO-56 (Allen et al. 1998), example 19: N'Diaye, Senegal, 1 October, two hours.
    const AFTERNOON: SurfaceHour = SurfaceHour {
        temp_c: 38.0,
        rh_pct: 52.0,
        wind_2m_ms: 3.3,
        sunlight_mj: 2.450,
        clearness: 0.922,
        is_day: true,
        elevation_m: 8.0,
    };
    const NIGHT: SurfaceHour = SurfaceHour {
        temp_c: 28.0,
        rh_pct: 90.0,
        wind_2m_ms: 1.9,
        sunlight_mj: 0.0,
        clearness: 0.8,
        is_day: false,
        elevation_m: 8.0,
    };

    #[test]
    fn the_afternoon_of_fao_56_example_19() {
        assert_abs_diff_eq!(slope_kpa_per_c(38.0), 0.358, epsilon = 1e-3);
        assert_abs_diff_eq!(psychrometric_kpa_per_c(8.0), 0.0673, epsilon = 1e-4);
        let hour = balance(&AFTERNOON, Surface::ReferenceGrass);
        assert_abs_diff_eq!(hour.net_radiation_mj, 1.749, epsilon = 2e-3);
        assert_abs_diff_eq!(hour.ground_mj, 0.175, epsilon = 1e-3);
        assert_abs_diff_eq!(hour.evaporation_mm, 0.63, epsilon = 5e-3);
    }

    #[test]
    fn the_night_of_fao_56_example_19() {
        let hour = balance(&NIGHT, Surface::ReferenceGrass);
        assert_abs_diff_eq!(hour.net_radiation_mj, -0.100, epsilon = 1e-3);
        assert_abs_diff_eq!(hour.ground_mj, -0.050, epsilon = 1e-3);
        assert_abs_diff_eq!(hour.evaporation_mm, 0.00, epsilon = 5e-3);
    }

    // FAO-56, example 14: 3.2 m/s at 10 m is 2.4 m/s at 2 m. Example 2: 0.054 kPa/°C at 1800 m.
    #[test]
    fn wind_and_pressure_of_fao_56_examples_14_and_2() {
        assert_abs_diff_eq!(wind_at_2m(3.2, 10.0), 2.4, epsilon = 0.05);
        assert_abs_diff_eq!(psychrometric_kpa_per_c(1800.0), 0.054, epsilon = 5e-4);
    }

    #[test]
    fn a_free_film_dries_faster_than_grass_and_the_wind_helps() {
        let grass = balance(&AFTERNOON, Surface::ReferenceGrass).evaporation_mm;
        let film = balance(&AFTERNOON, Surface::WaterFilm).evaporation_mm;
        assert!(film > grass);
        let breeze = SurfaceHour {
            wind_2m_ms: 5.0,
            ..AFTERNOON
        };
        assert!(balance(&breeze, Surface::WaterFilm).evaporation_mm > film);
    }

    #[test]
    fn saturated_air_at_night_gives_dew_not_drying() {
        let fog = SurfaceHour {
            rh_pct: 100.0,
            temp_c: 4.0,
            clearness: 1.0,
            ..NIGHT
        };
        assert!(balance(&fog, Surface::WaterFilm).evaporation_mm < 0.0);
    }
}
