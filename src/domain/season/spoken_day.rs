//! Days as people say them: `+3`, `-1w`, `sat`, `14 feb`, `2027-02-14`.

use chrono::{Datelike, Days, Months, NaiveDate, TimeDelta, Weekday};
use thiserror::Error;

/// What a spoken day is read against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Calendar {
    /// Today: `today`, `tomorrow` and names of weekdays count from here.
    pub today: NaiveDate,
    /// The day from which `+3` and `-1w` count.
    pub from: NaiveDate,
    /// The first day of the dormant year: `14 feb` is the first one on or after it.
    pub starts: NaiveDate,
}

/// Why a text is not a day.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DayError {
    /// Nothing was written.
    #[error("write a day: +3, -1w, sat, 14 feb or 2027-02-14")]
    Empty,
    /// It cannot be read.
    #[error("'{0}' is not a day; write +3, -1w, sat, 14 feb or 2027-02-14")]
    Unknown(String),
    /// Day and month cannot be told apart.
    #[error("'{0}' could be two days; write the month as a word, for instance 3 feb")]
    Ambiguous(String),
    /// The year is not written out.
    #[error("'{0}' has a short year; write it with four figures, for instance 13/02/2027")]
    ShortYear(String),
    /// The month has no such day.
    #[error("{month} {year} has no day {day}")]
    NoSuchDay {
        /// The day asked for.
        day: u32,
        /// The month's name.
        month: &'static str,
        /// The year looked at.
        year: i32,
    },
    /// It leaves the calendar.
    #[error("that day is outside the calendar")]
    OutOfCalendar,
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

const WEEKDAYS: [(&str, Weekday); 7] = [
    ("monday", Weekday::Mon),
    ("tuesday", Weekday::Tue),
    ("wednesday", Weekday::Wed),
    ("thursday", Weekday::Thu),
    ("friday", Weekday::Fri),
    ("saturday", Weekday::Sat),
    ("sunday", Weekday::Sun),
];

/// Reads a day as people say it.
///
/// | text | meaning |
/// |---|---|
/// | `+3`, `-2d`, `+1w` | days or weeks from [`Calendar::from`] |
/// | `today`, `tomorrow`, `yesterday` | from [`Calendar::today`] |
/// | `sat`, `saturday` | the next one after today |
/// | `14 feb`, `feb 14`, `14 feb 2027` | without a year, the first on or after [`Calendar::starts`] |
/// | `2027-02-14` | that day |
/// | `13/02/2027`, `2/13` | where one of the numbers is no month |
pub fn read_day(text: &str, calendar: &Calendar) -> Result<NaiveDate, DayError> {
    let clean: String = text
        .chars()
        .filter(|c| !crate::domain::harmless::steers(*c))
        .collect::<String>()
        .trim()
        .to_lowercase();
    if clean.is_empty() {
        return Err(DayError::Empty);
    }
    let unknown = || DayError::Unknown(clean.chars().take(40).collect());
    if clean.starts_with(['+', '-']) {
        return shifted(&clean, calendar.from).ok_or_else(unknown)?;
    }
    let next = |days| {
        calendar
            .today
            .checked_add_signed(TimeDelta::days(days))
            .ok_or(DayError::OutOfCalendar)
    };
    match clean.as_str() {
        "today" => return Ok(calendar.today),
        "tomorrow" => return next(1),
        "yesterday" => return next(-1),
        _ => {}
    }
    if let Some(wanted) = weekday(&clean) {
        let ahead = (7 + i64::from(wanted.num_days_from_monday())
            - i64::from(calendar.today.weekday().num_days_from_monday()))
            % 7;
        return next(if ahead == 0 { 7 } else { ahead });
    }
    let parts: Vec<&str> = clean
        .split([' ', '-', '/', '.', ','])
        .filter(|p| !p.is_empty())
        .collect();
    match parts.as_slice() {
        [year, m, d] if year.len() == 4 && all_digits(&[year, m, d]) => {
            let month = number(m).ok_or_else(unknown)?;
            let day = number(d).ok_or_else(unknown)?;
            dated(year.parse().map_err(|_| unknown())?, month, day, &unknown)
        }
        [a, b, rest @ ..] if rest.len() <= 1 && all_digits(&[a, b]) => {
            let (a, b) = number(a).zip(number(b)).ok_or_else(unknown)?;
            let (day, month) = match (a, b) {
                // No month is over twelve: the other number is the month.
                (13.., 1..=12) => (a, b),
                (1..=12, 13..) => (b, a),
                (1..=12, 1..=12) if a == b => (a, b),
                (1..=12, 1..=12) => {
                    return Err(DayError::Ambiguous(clean.chars().take(40).collect()));
                }
                _ => return Err(unknown()),
            };
            match rest.first() {
                // "13/02/27" may be a day of 2013 or of 2027: a year has four figures.
                Some(year) if year.len() == 4 && all_digits(&[year]) => {
                    dated(year.parse().map_err(|_| unknown())?, month, day, &unknown)
                }
                Some(_) => Err(DayError::ShortYear(clean.chars().take(40).collect())),
                None => in_season(month, day, calendar.starts, &unknown),
            }
        }
        [a, b, rest @ ..] if rest.len() <= 1 => {
            let (day, month) = match (number(a), month(b)) {
                (Some(day), Some(month)) => (day, month),
                _ => (
                    number(b).ok_or_else(unknown)?,
                    month(a).ok_or_else(unknown)?,
                ),
            };
            if let Some(year) = rest.first() {
                let year = year.parse().map_err(|_| unknown())?;
                return dated(year, month, day, &unknown);
            }
            in_season(month, day, calendar.starts, &unknown)
        }
        _ => Err(unknown()),
    }
}

fn all_digits(parts: &[&str]) -> bool {
    parts.iter().all(|p| p.chars().all(|c| c.is_ascii_digit()))
}

fn number(text: &str) -> Option<u32> {
    let digits = ["st", "nd", "rd", "th"]
        .iter()
        .find_map(|suffix| text.strip_suffix(suffix))
        .unwrap_or(text);
    digits.parse().ok()
}

/// A month by its name or the first three letters or more of it, 1 to 12.
fn month(text: &str) -> Option<u32> {
    if text.chars().count() < 3 {
        return None;
    }
    (1..)
        .zip(MONTHS)
        .find(|(_, name)| name.to_lowercase().starts_with(text))
        .map(|(n, _)| n)
}

fn weekday(text: &str) -> Option<Weekday> {
    if text.chars().count() < 3 {
        return None;
    }
    WEEKDAYS
        .iter()
        .find(|(name, _)| name.starts_with(text))
        .map(|(_, day)| *day)
}

/// `+3`, `-1w`: `None` where it cannot be read.
fn shifted(text: &str, from: NaiveDate) -> Option<Result<NaiveDate, DayError>> {
    let compact: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    let digits: String = compact
        .chars()
        .skip(1)
        .take_while(char::is_ascii_digit)
        .collect();
    let unit: String = compact.chars().skip(1 + digits.chars().count()).collect();
    let count: i64 = digits.parse().ok()?;
    let days = match unit.as_str() {
        "" | "d" | "day" | "days" => count,
        "w" | "week" | "weeks" => count.checked_mul(7)?,
        _ => return None,
    };
    let days = if compact.starts_with('-') {
        -days
    } else {
        days
    };
    Some(
        TimeDelta::try_days(days)
            .and_then(|d| from.checked_add_signed(d))
            .filter(|d| (1..=9999).contains(&d.year()))
            .ok_or(DayError::OutOfCalendar),
    )
}

fn dated(
    year: i32,
    month: u32,
    day: u32,
    unknown: &impl Fn() -> DayError,
) -> Result<NaiveDate, DayError> {
    let name = usize::try_from(month)
        .ok()
        .and_then(|m| MONTHS.get(m.wrapping_sub(1)))
        .ok_or_else(unknown)?;
    NaiveDate::from_ymd_opt(year, month, day).ok_or(DayError::NoSuchDay {
        day,
        month: name,
        year,
    })
}

/// The first such day on or after the start of the season. A day that this
/// year lacks (29 February) is looked for in the season's own year only.
fn in_season(
    month: u32,
    day: u32,
    starts: NaiveDate,
    unknown: &impl Fn() -> DayError,
) -> Result<NaiveDate, DayError> {
    let ends = starts
        .checked_add_months(Months::new(12))
        .and_then(|d| d.checked_sub_days(Days::new(1)))
        .ok_or(DayError::OutOfCalendar)?;
    let first = dated(starts.year(), month, day, unknown);
    match first {
        Ok(date) if date >= starts => Ok(date),
        _ if starts.year() == ends.year() => first,
        _ => {
            let month_in_first_year =
                NaiveDate::from_ymd_opt(starts.year(), month, 1).is_some_and(|d| {
                    d.checked_add_months(Months::new(1))
                        .is_some_and(|e| e > starts)
                });
            if first.is_err() && month_in_first_year {
                return first;
            }
            dated(ends.year(), month, day, unknown)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(y: i32, m: u32, d: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(y, m, d).unwrap()
    }

    /// Wednesday 25 November 2026, season from 11 August 2026.
    fn calendar() -> Calendar {
        Calendar {
            today: day(2026, 11, 25),
            from: day(2027, 2, 10),
            starts: day(2026, 8, 11),
        }
    }

    fn reads(text: &str) -> NaiveDate {
        read_day(text, &calendar()).unwrap()
    }

    #[test]
    fn counts_days_and_weeks_from_the_given_day() {
        assert_eq!(reads("+3"), day(2027, 2, 13));
        assert_eq!(reads("-1w"), day(2027, 2, 3));
        assert_eq!(reads(" + 2 weeks "), day(2027, 2, 24));
        assert_eq!(reads("+0"), day(2027, 2, 10));
    }

    #[test]
    fn weekdays_are_the_next_ones_after_today() {
        assert_eq!(reads("sat"), day(2026, 11, 28));
        assert_eq!(reads("Wednesday"), day(2026, 12, 2));
        assert_eq!(reads("tomorrow"), day(2026, 11, 26));
    }

    #[test]
    fn the_dormant_year_decides_the_year() {
        assert_eq!(reads("14 feb"), day(2027, 2, 14));
        assert_eq!(reads("Feb 14"), day(2027, 2, 14));
        assert_eq!(reads("3 december"), day(2026, 12, 3));
        assert_eq!(reads("10 aug"), day(2027, 8, 10));
        assert_eq!(reads("11 aug"), day(2026, 8, 11));
        assert_eq!(reads("14 feb 2028"), day(2028, 2, 14));
        assert_eq!(reads("2027-02-14"), day(2027, 2, 14));
    }

    #[test]
    fn a_southern_season_within_one_year_stays_in_it() {
        let south = Calendar {
            today: day(2026, 6, 1),
            from: day(2026, 6, 1),
            starts: day(2026, 2, 20),
        };
        assert_eq!(read_day("14 aug", &south).unwrap(), day(2026, 8, 14));
        assert_eq!(read_day("14 jan", &south).unwrap(), day(2027, 1, 14));
    }

    #[test]
    fn a_number_that_is_no_month_settles_the_order() {
        for text in ["13/02/2027", "13.2.2027", "2/13/2027", "13/2", "02-13"] {
            assert_eq!(reads(text), day(2027, 2, 13), "{text}");
        }
        assert_eq!(reads("3/3"), day(2027, 3, 3), "the same either way");
        for text in ["12/02/2027", "2/12", "03.02.2027"] {
            assert!(
                matches!(read_day(text, &calendar()), Err(DayError::Ambiguous(_))),
                "{text}"
            );
        }
        for text in ["13/13/2027", "0/13", "32/2", "13/0"] {
            let said = read_day(text, &calendar()).unwrap_err().to_string();
            assert!(!said.contains("two days"), "{text}: {said}");
        }
        let said = read_day("13/02/27", &calendar()).unwrap_err().to_string();
        assert!(said.contains("four figures"), "{said}");
    }

    #[test]
    fn says_what_is_wrong() {
        assert_eq!(
            read_day("30 feb", &calendar()).unwrap_err().to_string(),
            "February 2027 has no day 30"
        );
        assert_eq!(
            read_day("29 feb", &calendar()).unwrap_err().to_string(),
            "February 2027 has no day 29"
        );
        assert!(matches!(
            read_day("3/2", &calendar()),
            Err(DayError::Ambiguous(_))
        ));
        for text in [
            "",
            "  ",
            "soon",
            "+",
            "+x",
            "14 foo",
            "+99999999999999999999",
            "1 2 3 4",
            "é",
            "2027-13-01",
        ] {
            assert!(read_day(text, &calendar()).is_err(), "{text}");
        }
        assert_eq!(
            read_day("+999999999", &calendar()),
            Err(DayError::OutOfCalendar)
        );
    }
}
