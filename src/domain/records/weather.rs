//! What the hours of weather tell of an application: its conditions, and when it may be dry.

use super::Conditions;
use crate::domain::hours::air::Air;
use crate::domain::hours::compass;
use crate::domain::hours::drying::LOOK_FIRST;
use crate::domain::hours::verdict::rain;
use crate::domain::season::{Record, UnitSystem};
use crate::domain::units::{Speed, SpeedUnit, Temperature, TemperatureUnit};
use chrono::{NaiveDateTime, TimeZone, Utc};

/// The place of the hour of a local time.
fn place(air: &Air, local: NaiveDateTime) -> Option<usize> {
    let at = air.site().zone.from_local_datetime(&local).earliest()?;
    air.index_of(at.with_timezone(&Utc))
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// The conditions of an hour as station or forecast give them, in the grower's units: to be
/// checked against what was measured at the trees, which is what a record wants.
pub fn conditions_at(air: &Air, local: NaiveDateTime, units: UnitSystem) -> Conditions {
    let Some(at) = place(air, local) else {
        return Conditions::default();
    };
    let hour = air.hour(at);
    let known = |v: f64| Some(v).filter(|v| v.is_finite());
    let from = compass::words(hour.wind_from_deg);
    Conditions {
        wind: known(hour.wind_ms).map(|ms| match units {
            UnitSystem::Us => Speed::new(tenth(ms / 0.447_04), SpeedUnit::Mph),
            UnitSystem::Metric => Speed::new(tenth(ms), SpeedUnit::Ms),
        }),
        wind_from: (!from.is_empty()).then_some(from),
        temperature: known(hour.temp_c).map(|c| match units {
            UnitSystem::Us => Temperature::new(tenth(c.mul_add(1.8, 32.0)), TemperatureUnit::F),
            UnitSystem::Metric => Temperature::new(tenth(c), TemperatureUnit::C),
        }),
        humidity_percent: known(hour.rh_pct).map(tenth),
        sky: known(hour.cloud_pct).map(|c| format!("{c:.0} % cloud")),
        rain: known(hour.rain_mm).map(|mm| {
            if mm > 0.0 {
                rain(mm, units)
            } else {
                "none in the hour".to_owned()
            }
        }),
    }
}

/// When a spray that ended at a known time may be dry, with its range, and that a person must
/// look. `None` where the hours do not reach it or the end is not known.
pub fn expected_dry(air: &Air, record: &Record) -> Option<String> {
    // The film dries from the full hour after the end on: the later side is the safe one.
    let at = place(air, record.ended?)? + 1;
    let drying = air.drying_from(at);
    Some(format!("{}. {LOOK_FIRST}", drying.words()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::{air_of, date, fair};

    #[test]
    fn an_hour_gives_its_conditions_in_the_growers_units() {
        let mut hour = fair();
        hour.temp_c = Some(10.0);
        hour.wind_ms = Some(3.0);
        hour.wind_dir_deg = Some(270.0);
        hour.rh_pct = Some(61.24);
        let air = air_of(vec![hour; 48]);
        let local = air.local(30);
        let us = conditions_at(&air, local, UnitSystem::Us);
        assert_eq!(us.temperature.unwrap().to_string(), "50 F");
        assert_eq!(us.wind.unwrap().to_string(), "6.7 mph");
        assert_eq!(us.wind_from.as_deref(), Some("W"));
        assert_eq!(us.humidity_percent, Some(61.2));
        let metric = conditions_at(&air, local, UnitSystem::Metric);
        assert_eq!(metric.wind.unwrap().to_string(), "3 m/s");
        let beyond = date("2030-01-01").and_hms_opt(9, 0, 0).unwrap();
        assert_eq!(
            conditions_at(&air, beyond, UnitSystem::Us),
            Conditions::default()
        );
    }
}
