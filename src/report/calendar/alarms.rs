//! What makes a phone ring: the last safe day in 7 and in 2 days, fit hours tomorrow, the end of
//! a re-entry interval.

use chrono::{DateTime, TimeDelta, Utc};
use icalendar::{Alarm, Related};

/// Days before a last safe day on which a phone rings: a week leaves room for two forecasts, two
/// days for one fit day.
pub(super) const DAYS_BEFORE: [i64; 2] = [7, 2];

/// At what time of a day before a whole-day entry.
const MORNING: TimeDelta = TimeDelta::hours(7);

/// The alarms ahead of a whole day, on the mornings some days before it.
pub(super) fn mornings_before(what: &str) -> [Alarm; 2] {
    DAYS_BEFORE.map(|days| {
        Alarm::display(
            &format!("{what}: in {days} days"),
            MORNING - TimeDelta::days(days),
        )
    })
}

/// An alarm at a moment.
pub(super) fn at(moment: DateTime<Utc>, what: &str) -> Alarm {
    Alarm::display(what, moment)
}

/// An alarm at the end of its entry.
pub(super) fn at_the_end(what: &str) -> Alarm {
    Alarm::display(what, (TimeDelta::zero(), Related::End))
}
