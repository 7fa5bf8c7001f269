//! The hours and days on which the grower works.

use chrono::{Datelike, NaiveDateTime, Timelike, Weekday};

use crate::domain::season::Orchard;

/// When the grower works, on the orchard's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OwnTime {
    /// First hour and the hour after the last; a range over midnight wraps.
    pub hours: Option<(u32, u32)>,
    /// Bit 0 is Monday.
    days: u8,
}

impl OwnTime {
    /// As the season file says; unreadable day names are passed over.
    pub fn of(orchard: &Orchard) -> Self {
        let days = orchard
            .work_days
            .iter()
            .filter_map(|name| name.trim().parse::<Weekday>().ok())
            .fold(0, |days, day| days | 1 << day.num_days_from_monday());
        Self {
            hours: orchard.work_hours.map(|[from, to]| (from, to)),
            days: if days == 0 { 0x7f } else { days },
        }
    }

    /// Does the grower work at any time?
    pub fn is_always(self) -> bool {
        self.hours.is_none() && self.days == 0x7f
    }

    /// Does the grower work in the hour that begins at this time?
    pub fn holds(self, local: NaiveDateTime) -> bool {
        self.holds_day(local.weekday())
            && self.hours.is_none_or(|(from, to)| {
                let hour = local.hour();
                if from <= to {
                    (from..to).contains(&hour)
                } else {
                    hour >= from || hour < to
                }
            })
    }

    /// Does the grower work on this day of the week?
    pub fn holds_day(self, day: Weekday) -> bool {
        self.days & (1 << day.num_days_from_monday()) != 0
    }

    /// In plain words.
    pub fn words(self) -> String {
        let days: Vec<&str> = [
            (Weekday::Mon, "Mon"),
            (Weekday::Tue, "Tue"),
            (Weekday::Wed, "Wed"),
            (Weekday::Thu, "Thu"),
            (Weekday::Fri, "Fri"),
            (Weekday::Sat, "Sat"),
            (Weekday::Sun, "Sun"),
        ]
        .into_iter()
        .filter(|(day, _)| self.holds_day(*day))
        .map(|(_, name)| name)
        .collect();
        let days = if days.len() == 7 {
            "every day".to_owned()
        } else {
            days.join(", ")
        };
        match self.hours {
            Some((from, to)) => format!("{days}, {from:02}:00 to {to:02}:00"),
            None => days,
        }
    }
}
