//! Which country, and which part of it, an orchard lies in: laws, gallons and some advice differ
//! by it. Read from the clock of the place, which has one zone at least per country, and where
//! that does not decide from its latitude and longitude.

use crate::domain::season::Orchard;

/// A country, or a union of them with one law on plant protection.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Country {
    /// The United States.
    UnitedStates,
    /// Canada.
    Canada,
    /// England, Scotland, Wales.
    GreatBritain,
    /// A member state of the European Union.
    EuropeanUnion,
    /// Australia; the states differ.
    Australia,
    /// New Zealand.
    NewZealand,
}

impl Country {
    /// Its name.
    pub const fn words(self) -> &'static str {
        match self {
            Self::UnitedStates => "United States",
            Self::Canada => "Canada",
            Self::GreatBritain => "Great Britain",
            Self::EuropeanUnion => "European Union",
            Self::Australia => "Australia",
            Self::NewZealand => "New Zealand",
        }
    }

    /// Where gallons, pints and fluid ounces may be imperial ones on sheets still in use.
    pub const fn has_imperial_measures(self) -> bool {
        matches!(self, Self::GreatBritain | Self::Canada)
    }
}

/// Zones of the United States beside those that begin with `US/`, `America/Indiana/`,
/// `America/Kentucky/` and `America/North_Dakota/`.
const UNITED_STATES: &[&str] = &[
    "America/New_York",
    "America/Detroit",
    "America/Chicago",
    "America/Menominee",
    "America/Denver",
    "America/Boise",
    "America/Phoenix",
    "America/Los_Angeles",
    "America/Anchorage",
    "America/Juneau",
    "America/Sitka",
    "America/Metlakatla",
    "America/Yakutat",
    "America/Nome",
    "America/Adak",
    "Pacific/Honolulu",
    "America/Louisville",
    "America/Indianapolis",
    "America/Fort_Wayne",
    "America/Shiprock",
    "America/Knox_IN",
];

/// Zones of Canada beside those that begin with `Canada/`.
const CANADA: &[&str] = &[
    "America/St_Johns",
    "America/Halifax",
    "America/Glace_Bay",
    "America/Moncton",
    "America/Goose_Bay",
    "America/Toronto",
    "America/Montreal",
    "America/Nipigon",
    "America/Thunder_Bay",
    "America/Iqaluit",
    "America/Winnipeg",
    "America/Rainy_River",
    "America/Regina",
    "America/Swift_Current",
    "America/Edmonton",
    "America/Cambridge_Bay",
    "America/Yellowknife",
    "America/Inuvik",
    "America/Creston",
    "America/Dawson_Creek",
    "America/Fort_Nelson",
    "America/Whitehorse",
    "America/Dawson",
    "America/Vancouver",
];

/// Zones of the member states of the Union in 2026.
const EUROPEAN_UNION: &[&str] = &[
    "Europe/Amsterdam",
    "Europe/Athens",
    "Europe/Berlin",
    "Europe/Bratislava",
    "Europe/Brussels",
    "Europe/Bucharest",
    "Europe/Budapest",
    "Europe/Busingen",
    "Europe/Copenhagen",
    "Europe/Dublin",
    "Europe/Helsinki",
    "Europe/Lisbon",
    "Europe/Ljubljana",
    "Europe/Luxembourg",
    "Europe/Madrid",
    "Europe/Malta",
    "Europe/Mariehamn",
    "Europe/Nicosia",
    "Asia/Nicosia",
    "Europe/Paris",
    "Europe/Prague",
    "Europe/Riga",
    "Europe/Rome",
    "Europe/Sofia",
    "Europe/Stockholm",
    "Europe/Tallinn",
    "Europe/Vienna",
    "Europe/Vilnius",
    "Europe/Warsaw",
    "Europe/Zagreb",
    "Atlantic/Azores",
    "Atlantic/Canary",
    "Atlantic/Madeira",
    "Africa/Ceuta",
];

/// States of Australia by their zones.
const AUSTRALIA: &[(&str, &str)] = &[
    ("Australia/Sydney", "New South Wales"),
    ("Australia/Broken_Hill", "New South Wales"),
    ("Australia/NSW", "New South Wales"),
    ("Australia/ACT", "Australian Capital Territory"),
    ("Australia/Canberra", "Australian Capital Territory"),
    ("Australia/Melbourne", "Victoria"),
    ("Australia/Victoria", "Victoria"),
    ("Australia/Hobart", "Tasmania"),
    ("Australia/Currie", "Tasmania"),
    ("Australia/Tasmania", "Tasmania"),
    ("Australia/Adelaide", "South Australia"),
    ("Australia/South", "South Australia"),
    ("Australia/Perth", "Western Australia"),
    ("Australia/Eucla", "Western Australia"),
    ("Australia/West", "Western Australia"),
    ("Australia/Brisbane", "Queensland"),
    ("Australia/Lindeman", "Queensland"),
    ("Australia/Queensland", "Queensland"),
    ("Australia/Darwin", "Northern Territory"),
    ("Australia/North", "Northern Territory"),
];

/// The country of an orchard; none where the zone names none of those known here.
pub fn country(orchard: &Orchard) -> Option<Country> {
    let zone = orchard.time_zone.name();
    let begins = |starts: &[&str]| starts.iter().any(|s| zone.starts_with(s));
    let us = [
        "US/",
        "America/Indiana/",
        "America/Kentucky/",
        "America/North_Dakota/",
    ];
    if begins(&us) || UNITED_STATES.contains(&zone) {
        Some(Country::UnitedStates)
    } else if begins(&["Canada/"]) || CANADA.contains(&zone) {
        Some(Country::Canada)
    } else if matches!(zone, "Europe/London" | "GB") {
        Some(Country::GreatBritain)
    } else if EUROPEAN_UNION.contains(&zone) {
        Some(Country::EuropeanUnion)
    } else if begins(&["Australia/"]) {
        Some(Country::Australia)
    } else if matches!(zone, "Pacific/Auckland" | "Pacific/Chatham" | "NZ") {
        Some(Country::NewZealand)
    } else {
        None
    }
}

/// The state, as far as law or advice asks for it: the states of Australia, and California.
pub fn state(orchard: &Orchard) -> Option<&'static str> {
    let zone = orchard.time_zone.name();
    if let Some((_, state)) = AUSTRALIA.iter().find(|(z, _)| *z == zone) {
        return Some(state);
    }
    is_in_california(orchard).then_some("California")
}

/// California: between 32.5 and 42 degrees north on the clock of Los Angeles, west of its
/// border with Nevada and Arizona (120 degrees west down to the lake at 39 degrees, then a
/// straight line to the river at 35 degrees north and 114.6 degrees west, which it follows).
fn is_in_california(orchard: &Orchard) -> bool {
    let (north, east) = (orchard.latitude, orchard.longitude);
    let border = if north >= 39.0 {
        -120.0
    } else if north >= 35.0 {
        -114.6 - (north - 35.0) / 4.0 * 5.4
    } else {
        -114.1
    };
    matches!(
        orchard.time_zone.name(),
        "America/Los_Angeles" | "US/Pacific"
    ) && (32.5..=42.0).contains(&north)
        && (-124.6..=border).contains(&east)
}

/// Is it known to lie in North America east of the Rocky Mountains? They are taken to end at
/// 105 degrees west.
pub fn is_east_of_the_rockies(orchard: &Orchard) -> bool {
    matches!(
        country(orchard),
        Some(Country::UnitedStates | Country::Canada)
    ) && orchard.longitude > -105.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::season_with;

    fn at(zone: &str, latitude: f64, longitude: f64) -> Orchard {
        let mut orchard = season_with(vec![]).orchard;
        orchard.time_zone = zone.parse().unwrap();
        orchard.latitude = latitude;
        orchard.longitude = longitude;
        orchard
    }

    #[test]
    fn zones_tell_the_country_and_places_the_state() {
        use Country::*;
        for (zone, north, east, wanted, state_wanted, is_east) in [
            (
                "America/New_York",
                43.1,
                -77.3,
                Some(UnitedStates),
                None,
                true,
            ),
            (
                "America/Los_Angeles",
                38.5,
                -121.7,
                Some(UnitedStates),
                Some("California"),
                false,
            ),
            (
                "America/Los_Angeles",
                36.7,
                -119.8,
                Some(UnitedStates),
                Some("California"),
                false,
            ),
            (
                "America/Los_Angeles",
                33.7,
                -115.5,
                Some(UnitedStates),
                Some("California"),
                false,
            ),
            // Reno and Las Vegas in Nevada; Medford and Hood River in Oregon.
            (
                "America/Los_Angeles",
                39.53,
                -119.81,
                Some(UnitedStates),
                None,
                false,
            ),
            (
                "America/Los_Angeles",
                36.17,
                -115.14,
                Some(UnitedStates),
                None,
                false,
            ),
            (
                "America/Los_Angeles",
                42.3,
                -122.9,
                Some(UnitedStates),
                None,
                false,
            ),
            (
                "America/Los_Angeles",
                45.7,
                -121.5,
                Some(UnitedStates),
                None,
                false,
            ),
            (
                "America/Denver",
                39.1,
                -108.5,
                Some(UnitedStates),
                None,
                false,
            ),
            (
                "America/Chicago",
                39.1,
                -94.6,
                Some(UnitedStates),
                None,
                true,
            ),
            (
                "America/Indiana/Knox",
                41.3,
                -86.6,
                Some(UnitedStates),
                None,
                true,
            ),
            ("America/Toronto", 43.2, -79.5, Some(Canada), None, true),
            ("America/Vancouver", 49.5, -119.6, Some(Canada), None, false),
            ("Europe/London", 51.3, 0.5, Some(GreatBritain), None, false),
            ("Europe/Berlin", 50.6, 7.0, Some(EuropeanUnion), None, false),
            (
                "Australia/Sydney",
                -33.3,
                149.1,
                Some(Australia),
                Some("New South Wales"),
                false,
            ),
            (
                "Australia/Hobart",
                -43.0,
                147.0,
                Some(Australia),
                Some("Tasmania"),
                false,
            ),
            (
                "Pacific/Auckland",
                -39.6,
                176.8,
                Some(NewZealand),
                None,
                false,
            ),
            ("Asia/Tokyo", 35.7, 138.6, None, None, false),
            ("Europe/Zurich", 47.0, 8.0, None, None, false),
            ("UTC", 45.0, -93.0, None, None, false),
        ] {
            let orchard = at(zone, north, east);
            assert_eq!(country(&orchard), wanted, "{zone}");
            assert_eq!(state(&orchard), state_wanted, "{zone} {north} {east}");
            assert_eq!(is_east_of_the_rockies(&orchard), is_east, "{zone}");
        }
    }

    #[test]
    fn every_zone_named_here_is_in_the_database() {
        let known: Vec<&str> = crate::domain::zone::Zone::names().collect();
        let states = AUSTRALIA.iter().map(|(zone, _)| zone);
        for zone in UNITED_STATES
            .iter()
            .chain(CANADA)
            .chain(EUROPEAN_UNION)
            .chain(states)
        {
            assert!(known.contains(zone), "{zone}");
        }
    }
}
