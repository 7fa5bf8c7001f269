//! Does a clock fit a place?

use super::towns::near;
use crate::domain::zone::Zone;
use chrono::{NaiveDate, Offset, TimeZone};

/// Farther from the nearest town (km) its clock is no measure.
const CLOCK_REACHES_KM: f64 = 150.0;
/// Hours that a clock may differ from the sun where no town is near: the widest gap on land is
/// about three hours.
const FROM_THE_SUN_H: f64 = 3.2;

/// Why a zone does not look right for a place (degrees), in words; `None` where it does.
pub fn zone_doubt(zone: Zone, latitude_deg: f64, longitude_deg: f64) -> Option<String> {
    let town = near(latitude_deg, longitude_deg).filter(|(_, km)| *km <= CLOCK_REACHES_KM);
    if let Some((town, km)) = town {
        let other = |month| hours(zone, month) - hours(town.zone, month);
        let most = other(1).abs().max(other(7).abs());
        return (most > 0.01).then(|| {
            format!(
                "the clock {zone} does not fit this place: {} ({km:.0} km away) has {}",
                town.name, town.zone
            )
        });
    }
    let sun = longitude_deg / 15.0;
    let off = (hours(zone, 1) - sun + 12.0).rem_euclid(24.0) - 12.0;
    (off.abs() > FROM_THE_SUN_H).then(|| {
        format!(
            "the clock {zone} is {:.0} h off the sun at longitude {longitude_deg}",
            off.abs()
        )
    })
}

/// Hours ahead of universal time in the middle of a month of 2026.
fn hours(zone: Zone, month: u32) -> f64 {
    let noon = NaiveDate::from_ymd_opt(2026, month, 15).and_then(|d| d.and_hms_opt(12, 0, 0));
    noon.map_or(0.0, |noon| {
        f64::from(zone.offset_from_utc_datetime(&noon).fix().local_minus_utc()) / 3600.0
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks_of_elsewhere_are_doubted_and_those_of_the_same_hours_are_not() {
        let zone = |name: &str| name.parse::<Zone>().unwrap();
        let rochester = (43.15, -77.6);
        assert_eq!(
            zone_doubt(zone("America/New_York"), rochester.0, rochester.1),
            None
        );
        assert_eq!(
            zone_doubt(zone("America/Detroit"), rochester.0, rochester.1),
            None
        );
        let told = zone_doubt(zone("Etc/UTC"), rochester.0, rochester.1).unwrap();
        assert!(told.contains("America/New_York"), "{told}");
        assert!(zone_doubt(zone("America/Phoenix"), 39.74, -104.98).is_some());
        // A clock far from the sun, and right.
        assert_eq!(zone_doubt(zone("Asia/Urumqi"), 43.8, 87.6), None);
        // The open sea.
        assert!(zone_doubt(zone("Europe/Paris"), -40.0, -120.0).is_some());
        assert_eq!(zone_doubt(zone("Etc/GMT+8"), -40.0, -120.0), None);
    }
}
