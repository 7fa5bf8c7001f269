//! The board's day and time: those of the orchard, whatever the clock of this machine is set to.

use crate::domain::season::Season;
use crate::domain::zone::Zone;
use chrono::{DateTime, NaiveDate, NaiveDateTime, TimeZone, Utc};

/// The clock of an orchard.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock {
    zone: Zone,
    /// The day asked for, or that of practice: it never turns.
    fixed: Option<NaiveDate>,
}

impl Clock {
    pub(super) fn of(season: &Season, fixed: Option<NaiveDate>) -> Self {
        Self {
            zone: season.orchard.time_zone,
            fixed,
        }
    }

    /// Before a season is open.
    pub(super) fn unset() -> Self {
        Self {
            zone: Zone::UTC,
            fixed: None,
        }
    }

    /// The same clock, whatever day was asked for.
    pub(super) fn running(self) -> Self {
        Self {
            fixed: None,
            ..self
        }
    }

    /// The day at a moment.
    pub(super) fn day(self, moment: DateTime<Utc>) -> NaiveDate {
        self.fixed
            .unwrap_or_else(|| moment.with_timezone(&self.zone).date_naive())
    }

    /// The time at a moment: noon where the day is another than that of the clock.
    pub(super) fn time(self, moment: DateTime<Utc>) -> NaiveDateTime {
        let today = self.day(moment);
        let clock = moment.with_timezone(&self.zone).naive_local();
        if clock.date() == today {
            clock
        } else {
            today.and_hms_opt(12, 0, 0).unwrap_or_default()
        }
    }

    /// A time on this clock as a moment.
    pub(super) fn moment(self, local: NaiveDateTime) -> DateTime<Utc> {
        let at = self.zone.from_local_datetime(&local).earliest();
        at.map_or_else(|| local.and_utc(), |t| t.with_timezone(&Utc))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clock(zone: &str) -> Clock {
        Clock {
            zone: zone.parse().unwrap(),
            fixed: None,
        }
    }

    fn at(moment: &str) -> DateTime<Utc> {
        moment.parse().unwrap()
    }

    /// A second before and at the moment in which the day turns.
    fn turns(zone: &str, moment: &str, from: &str, to: &str) {
        let (clock, moment) = (clock(zone), at(moment));
        let second = chrono::TimeDelta::seconds(1);
        assert_eq!(clock.day(moment - second).to_string(), from, "{zone}");
        assert_eq!(clock.day(moment).to_string(), to, "{zone}");
        let midnight = clock.time(moment);
        assert_eq!(midnight.date().to_string(), to, "{zone}");
        assert!(clock.time(moment - second) < midnight, "{zone}");
    }

    /// Offsets and clock changes as the database of time zones of the IANA has them (2025b).
    #[test]
    fn the_day_turns_at_the_orchards_midnight() {
        // UTC+13 in summer: noon of the day before by a clock in UTC is an hour past midnight.
        turns(
            "Pacific/Auckland",
            "2027-02-12T11:00:00Z",
            "2027-02-12",
            "2027-02-13",
        );
        // UTC-8 in winter: eight hours after the host's midnight.
        turns(
            "America/Los_Angeles",
            "2027-02-13T08:00:00Z",
            "2027-02-12",
            "2027-02-13",
        );
        turns("UTC", "2027-02-13T00:00:00Z", "2027-02-12", "2027-02-13");
        // The night in which summer time ended there, and the one after it: an hour apart.
        turns(
            "Pacific/Auckland",
            "2027-04-03T11:00:00Z",
            "2027-04-03",
            "2027-04-04",
        );
        turns(
            "Pacific/Auckland",
            "2027-04-04T12:00:00Z",
            "2027-04-04",
            "2027-04-05",
        );
        // The same where it begins.
        turns(
            "America/Los_Angeles",
            "2027-03-14T08:00:00Z",
            "2027-03-13",
            "2027-03-14",
        );
        turns(
            "America/Los_Angeles",
            "2027-03-15T07:00:00Z",
            "2027-03-14",
            "2027-03-15",
        );
        // Midnight itself is skipped: the day begins at one o'clock.
        turns(
            "America/Santiago",
            "2026-09-06T04:00:00Z",
            "2026-09-05",
            "2026-09-06",
        );
        let first = clock("America/Santiago").time(at("2026-09-06T04:00:00Z"));
        assert_eq!(first.to_string(), "2026-09-06 01:00:00");
        // The last hour of the day comes twice; the day turns once, behind the second.
        turns(
            "America/Santiago",
            "2027-04-04T04:00:00Z",
            "2027-04-03",
            "2027-04-04",
        );
        assert_eq!(
            clock("America/Santiago")
                .day(at("2027-04-04T03:00:00Z"))
                .to_string(),
            "2027-04-03"
        );
    }

    #[test]
    fn a_day_asked_for_never_turns_and_is_at_noon() {
        let asked = Clock {
            fixed: Some("2027-02-08".parse().unwrap()),
            ..clock("Pacific/Auckland")
        };
        for moment in ["2027-02-12T10:59:59Z", "2027-02-12T11:00:00Z"] {
            assert_eq!(asked.time(at(moment)).to_string(), "2027-02-08 12:00:00");
        }
        assert_eq!(
            asked.time(at("2027-02-07T12:30:00Z")).to_string(),
            "2027-02-08 01:30:00"
        );
    }

    #[test]
    fn a_time_of_the_clock_and_its_moment_are_inverse_but_in_an_hour_that_comes_twice() {
        for zone in ["Pacific/Auckland", "America/Los_Angeles", "UTC"] {
            let clock = clock(zone);
            for hour in 0..24 * 400 {
                let moment = at("2026-09-01T00:30:00Z") + chrono::TimeDelta::hours(hour);
                let back = clock.moment(clock.time(moment));
                let apart = (moment - back).num_minutes();
                assert!(apart == 0 || apart == 60, "{zone} {moment} {apart}");
            }
        }
    }
}
