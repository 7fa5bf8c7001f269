//! Whether bark is wet: an estimate from rain, dew and drying. A person must look.

use super::super::weather::HourWeather;
use super::{Depth, Evaporation};

/// Humidity from which plant surfaces are taken as wet with dew, %. Sentelhas and others 2008
/// (Agric. For. Meteorol. 148:392) and many since: hours at or above 90 % stand for wet hours.
pub const DEW_HUMIDITY_PCT: f64 = 90.0;

/// How wet bark is at the beginning of an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bark {
    /// Dry however much it held.
    Dry,
    /// Dry if it held little, wet if it held much, with mm left in that case.
    MaybeWet(f64),
    /// Wet with rain, with mm left even if it held little.
    Wet(f64),
    /// Likely wet with dew or fog, with the humidity in percent.
    Dew(f64),
    /// Not enough is known.
    Unknown,
}

/// Follows the water on bark hour by hour between two extremes: bark that holds little under
/// the sky that dries most, and bark that holds much under the sky that dries least.
pub(super) fn bark(
    hours: impl Iterator<Item = HourWeather>,
    evaporation: &[Evaporation],
    holds: Depth,
) -> Vec<Bark> {
    let (mut little, mut much) = (0.0_f64, 0.0_f64);
    // Rain before the first hour is not known; the longest drying bridges it.
    let mut known = false;
    let mut states = Vec::with_capacity(evaporation.len());
    for (hour, drying) in hours.zip(evaporation) {
        states.push(state(&hour, little, much, known));
        if !hour.rain_mm.is_finite() {
            known = false;
            (little, much) = (0.0, 0.0);
            continue;
        }
        let rain = hour.rain_mm;
        let (most, least) = if drying.is_known() {
            (drying.most_mm, drying.least_mm)
        } else {
            // Without wind or humidity nothing is known to dry.
            (0.0, 0.0)
        };
        little = (little + rain - most.max(0.0)).clamp(0.0, holds.least_mm);
        much = (much + rain - least.max(0.0)).clamp(0.0, holds.most_mm);
        // Where rain was unknown, bark may hold all it can until that much has dried or rain
        // has settled the matter.
        if !known {
            known = true;
            much = holds.most_mm;
        }
    }
    states
}

fn state(hour: &HourWeather, little: f64, much: f64, known: bool) -> Bark {
    if little > 0.0 {
        return Bark::Wet(little);
    }
    if hour.rh_pct >= DEW_HUMIDITY_PCT {
        return Bark::Dew(hour.rh_pct);
    }
    if !known {
        return Bark::Unknown;
    }
    if much > 0.0 {
        Bark::MaybeWet(much)
    } else {
        Bark::Dry
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOLDS: Depth = Depth {
        least_mm: 0.2,
        likely_mm: 0.4,
        most_mm: 0.8,
    };

    fn hour(rain_mm: f64, rh_pct: f64) -> HourWeather {
        HourWeather {
            temp_c: 8.0,
            rain_mm,
            rh_pct,
            wind_ms: 2.0,
            ..HourWeather::UNKNOWN
        }
    }

    fn steady(mm: f64) -> Evaporation {
        Evaporation {
            least_mm: mm,
            likely_mm: mm,
            most_mm: mm,
        }
    }

    #[test]
    fn bark_dries_after_rain_first_maybe_then_surely() {
        let hours: Vec<_> = std::iter::once(hour(5.0, 80.0))
            .chain(std::iter::repeat_n(hour(0.0, 60.0), 12))
            .collect();
        let dry = vec![steady(0.1); hours.len()];
        let states = bark(hours.into_iter(), &dry, HOLDS);
        assert_eq!(states[0], Bark::Unknown);
        assert!(matches!(states[1], Bark::Wet(_)));
        assert!(matches!(states[4], Bark::MaybeWet(_)), "{:?}", states[4]);
        assert_eq!(states[12], Bark::Dry);
    }

    #[test]
    fn dew_is_told_apart_and_unknown_rain_is_not_dry() {
        let hours = [
            hour(0.0, 60.0),
            hour(0.0, 95.0),
            hour(f64::NAN, 60.0),
            hour(0.0, 60.0),
        ];
        let states = bark(hours.into_iter(), &[steady(1.0); 4], HOLDS);
        assert!(matches!(states[1], Bark::Dew(_)));
        assert_eq!(states[3], Bark::Unknown);
    }
}
