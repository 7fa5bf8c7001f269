//! One dormant year as a row of days: from a fixed distance before the winter solstice to early
//! summer, so that both hemispheres count alike and no month is named.

use chrono::{Datelike, Days, NaiveDate};

/// Days in a dormant year as the engine counts it.
pub const DAYS: usize = 290;

/// Day of the dormant year on which the shortest day falls.
pub const SOLSTICE: usize = 111;

/// The dormant year whose buds open in spring of `spring_year`. In the north it begins on
/// 1 September of the year before; in the south on 2 March of the same year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DormantYear {
    spring_year: i32,
    south: bool,
}

impl DormantYear {
    /// The dormant year with buds opening in `spring_year` at a latitude (degrees, south negative).
    pub fn of_spring(spring_year: i32, latitude_deg: f64) -> Self {
        Self {
            spring_year,
            south: latitude_deg < 0.0,
        }
    }

    /// The dormant year in which a date falls.
    pub fn containing(date: NaiveDate, latitude_deg: f64) -> Self {
        let this = Self::of_spring(date.year(), latitude_deg);
        let next = Self::of_spring(date.year().saturating_add(1), latitude_deg);
        let before = Self::of_spring(date.year().saturating_sub(1), latitude_deg);
        if date >= next.first() {
            next
        } else if date >= this.first() {
            this
        } else {
            before
        }
    }

    /// The dormant year that a leaf drop opens: the one whose shortest day follows it, so that
    /// leaves dropping late, after the solstice, still belong to the winter they fall in.
    pub fn after_leaf_drop(leaf_drop: NaiveDate, latitude_deg: f64) -> Self {
        Self::containing(leaf_drop, latitude_deg)
    }

    /// Calendar year of the spring.
    pub const fn spring_year(self) -> i32 {
        self.spring_year
    }

    /// First day counted.
    pub fn first(self) -> NaiveDate {
        let (year, month, day) = if self.south {
            (self.spring_year, 3, 2)
        } else {
            (self.spring_year.saturating_sub(1), 9, 1)
        };
        NaiveDate::from_ymd_opt(year, month, day).unwrap_or(NaiveDate::MIN)
    }

    /// The date of a day counted from [`DormantYear::first`].
    pub fn date(self, day: usize) -> NaiveDate {
        self.first()
            .checked_add_days(Days::new(day as u64))
            .unwrap_or(NaiveDate::MAX)
    }

    /// Day of this dormant year on which `date` falls: negative before its first day, beyond
    /// [`DAYS`] in summer.
    pub fn day_of(self, date: NaiveDate) -> i64 {
        (date - self.first()).num_days()
    }

    /// The same place, `years` later (or earlier when negative).
    #[must_use]
    pub fn shifted(self, years: i32) -> Self {
        Self {
            spring_year: self.spring_year.saturating_add(years),
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default()
    }

    #[test]
    fn solstice_falls_on_the_same_day_in_both_hemispheres() {
        assert_eq!(
            DormantYear::of_spring(2025, 50.0).date(SOLSTICE),
            day(2024, 12, 21)
        );
        assert_eq!(
            DormantYear::of_spring(2025, -35.0).date(SOLSTICE),
            day(2025, 6, 21)
        );
    }

    #[test]
    fn dates_find_their_dormant_year() {
        let north = |d| DormantYear::containing(d, 45.0).spring_year();
        assert_eq!(north(day(2024, 11, 20)), 2025);
        assert_eq!(north(day(2025, 3, 1)), 2025);
        assert_eq!(north(day(2025, 8, 31)), 2025);
        let south = |d| DormantYear::containing(d, -45.0).spring_year();
        assert_eq!(south(day(2025, 5, 20)), 2025);
        assert_eq!(south(day(2025, 9, 10)), 2025);
        assert_eq!(south(day(2026, 2, 10)), 2025);
    }

    #[test]
    fn days_and_dates_are_inverse_over_leap_days() {
        let year = DormantYear::of_spring(2024, 50.0);
        assert_eq!(year.date(181), day(2024, 2, 29));
        assert_eq!(year.day_of(year.date(260)), 260);
    }
}
