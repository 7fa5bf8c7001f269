//! Days and times as people and machines write them.
//!
//! A day written with the year first is read as it stands. `3/4/2027` is not: which of the two
//! numbers is the day is settled for a whole file (see `super::order`), never cell by cell.

use chrono::NaiveDate;

use super::super::number;

/// In which order the numbers of a day stand where the year does not come first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DateOrder {
    /// Day, month, year.
    DayMonthYear,
    /// Month, day, year.
    MonthDayYear,
    /// Year, month, day, the year in two digits.
    YearMonthDay,
}

impl DateOrder {
    /// Every order.
    pub const ALL: [Self; 3] = [Self::DayMonthYear, Self::MonthDayYear, Self::YearMonthDay];

    /// The word of the option.
    pub const fn key(self) -> &'static str {
        match self {
            Self::DayMonthYear => "dmy",
            Self::MonthDayYear => "mdy",
            Self::YearMonthDay => "ymd",
        }
    }

    /// Reads the word of the option.
    pub fn from_key(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        Self::ALL.into_iter().find(|o| o.key() == text)
    }

    /// In words, for a grower.
    pub const fn words(self) -> &'static str {
        match self {
            Self::DayMonthYear => "day, month, year",
            Self::MonthDayYear => "month, day, year",
            Self::YearMonthDay => "year, month, day",
        }
    }
}

/// The day of a cell as far as the cell alone tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Day {
    /// Certain.
    Sure(NaiveDate),
    /// Three numbers whose order the cell does not tell: by separator, whether it was a full stop.
    Open { parts: [u32; 3], dots: bool },
}

impl Day {
    /// The day in an order; `None` where the calendar has none.
    pub(super) fn in_order(self, order: DateOrder) -> Option<NaiveDate> {
        match self {
            Self::Sure(date) => Some(date),
            Self::Open {
                parts: [a, b, c], ..
            } => {
                let (year, month, day) = match order {
                    DateOrder::DayMonthYear => (c, b, a),
                    DateOrder::MonthDayYear => (c, a, b),
                    DateOrder::YearMonthDay => (a, b, c),
                };
                number::civil(whole_year(year), month, day).ok()
            }
        }
    }
}

/// Two digits mean a year near ours: 69 is 2069, 70 is 1970 (the rule of POSIX `strptime` is one
/// year apart, 69 being 1969; no weather file in use turns on it).
const fn whole_year(year: u32) -> u32 {
    match year {
        0..70 => 2000 + year,
        70..100 => 1900 + year,
        _ => year,
    }
}

/// A time of day, seconds since midnight; 24:00 is the end of the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Clock {
    pub seconds: i64,
    /// Seconds east of UTC, where the cell says so.
    pub offset_s: Option<i64>,
}

/// What a cell says of day and time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct When {
    pub day: Day,
    pub clock: Option<Clock>,
}

/// First letters of the months in common languages; the longest that fits is taken.
const MONTHS: &[(&str, u32)] = &[
    ("jan", 1),
    ("ene", 1),
    ("gen", 1),
    ("led", 1),
    ("sty", 1),
    ("tammi", 1),
    ("feb", 2),
    ("fev", 2),
    ("few", 2),
    ("uno", 2),
    ("lut", 2),
    ("helmi", 2),
    ("mar", 3),
    ("mrz", 3),
    ("maa", 3),
    ("mrt", 3),
    ("bre", 3),
    ("apr", 4),
    ("avr", 4),
    ("abr", 4),
    ("dub", 4),
    ("kwi", 4),
    ("huhti", 4),
    ("may", 5),
    ("mai", 5),
    ("mei", 5),
    ("maj", 5),
    ("mag", 5),
    ("kve", 5),
    ("touko", 5),
    ("jun", 6),
    ("juin", 6),
    ("giu", 6),
    ("cze", 6),
    ("kesa", 6),
    ("jul", 7),
    ("juil", 7),
    ("lug", 7),
    ("lip", 7),
    ("heina", 7),
    ("aug", 8),
    ("aou", 8),
    ("ago", 8),
    ("srp", 8),
    ("sie", 8),
    ("elo", 8),
    ("sep", 9),
    ("set", 9),
    ("zar", 9),
    ("wrz", 9),
    ("syys", 9),
    ("okt", 10),
    ("oct", 10),
    ("out", 10),
    ("ott", 10),
    ("loka", 10),
    ("nov", 11),
    ("marras", 11),
    ("dec", 12),
    ("dez", 12),
    ("dic", 12),
    ("joulu", 12),
];

fn month_of(word: &str) -> Option<u32> {
    let word = super::names::fold(word);
    MONTHS
        .iter()
        .filter(|(start, _)| word.starts_with(start))
        .max_by_key(|(start, _)| start.len())
        .map(|(_, month)| *month)
}

/// Reads a cell as a day, with a time of day where it has one.
pub(super) fn when(cell: &str) -> Option<When> {
    let cell = cell.trim().trim_matches('"').trim();
    if cell.len() > 60 || cell.len() < 5 || !cell.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    if cell.bytes().all(|b| b.is_ascii_digit()) {
        return compact(cell);
    }
    if let Some((day, rest)) = cell.split_at_checked(8)
        && day.bytes().all(|b| b.is_ascii_digit())
        && !rest.starts_with(|c: char| c.is_ascii_digit())
    {
        return Some(When {
            clock: clock_after(rest)?,
            ..compact(day)?
        });
    }
    numbers_first(cell).or_else(|| named_month(cell))
}

fn sure(year: u32, month: u32, day: u32) -> Option<Day> {
    number::civil(year, month, day).ok().map(Day::Sure)
}

fn digits(text: &str) -> Option<u32> {
    number::digits(text.as_bytes())
}

/// `20270213`, `2027021314`, `202702131405`, seconds or milliseconds since 1970.
fn compact(cell: &str) -> Option<When> {
    let part = |from: usize, to: usize| cell.get(from..to).and_then(digits);
    let modern = cell.starts_with("19") || cell.starts_with("20");
    let day = || sure(part(0, 4)?, part(4, 6)?, part(6, 8)?);
    let at = |hour: u32, minute: u32| {
        (hour <= 24 && minute < 60).then_some(Clock {
            seconds: i64::from(hour * 3600 + minute * 60),
            offset_s: None,
        })
    };
    match cell.len() {
        8 => Some(When {
            day: day()?,
            clock: None,
        }),
        10 if modern => Some(When {
            day: day()?,
            clock: Some(at(part(8, 10)?, 0)?),
        }),
        12 | 14 if modern => Some(When {
            day: day()?,
            clock: Some(at(part(8, 10)?, part(10, 12)?)?),
        }),
        10 | 13 => epoch(cell),
        _ => None,
    }
}

fn epoch(cell: &str) -> Option<When> {
    let value: i64 = cell.parse().ok()?;
    let seconds = if cell.len() == 13 {
        value / 1000
    } else {
        value
    };
    let time = chrono::DateTime::from_timestamp(seconds, 0)?.naive_utc();
    let clock = Clock {
        seconds: seconds.rem_euclid(86_400),
        offset_s: Some(0),
    };
    Some(When {
        day: Day::Sure(time.date()),
        clock: Some(clock),
    })
}

/// Three numbers with the same sign between them, then perhaps a time; `2027年2月13日` too.
fn numbers_first(cell: &str) -> Option<When> {
    let mut rest = cell;
    let mut parts = [0_u32; 3];
    let mut lengths = [0_usize; 3];
    let mut signs = [' '; 2];
    for (i, part) in parts.iter_mut().enumerate() {
        let end = rest
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(rest.len());
        let (number, after) = rest.split_at_checked(end)?;
        if number.is_empty() || number.len() > 4 {
            return None;
        }
        *part = digits(number)?;
        *lengths.get_mut(i)? = number.len();
        rest = after;
        if let Some(sign) = signs.get_mut(i) {
            *sign = rest.chars().next()?;
            if !matches!(*sign, '-' | '/' | '.' | '年' | '月') {
                return None;
            }
            rest = rest.get(sign.len_utf8()..)?.trim_start();
        }
    }
    let [first, second] = signs;
    let far_east = first == '年' && second == '月';
    if first != second && !far_east {
        return None;
    }
    rest = rest.strip_prefix('日').unwrap_or(rest);
    // German and Hungarian days may end in a stop: "2027. 02. 13."
    rest = rest
        .strip_prefix('.')
        .filter(|_| first == '.')
        .unwrap_or(rest);
    let [a, b, c] = parts;
    let day = match lengths {
        [4, ..] => sure(a, b, c)?,
        [1 | 2, 1 | 2, 4 | 2] => Day::Open {
            parts,
            dots: first == '.',
        },
        _ => return None,
    };
    Some(When {
        day,
        clock: clock_after(rest)?,
    })
}

/// `13 Feb 2027`, `13-Feb-27`, `Feb 13, 2027`, `Sat 13 février 2027 14:05`.
fn named_month(cell: &str) -> Option<When> {
    let mut month = None;
    let mut numbers: Vec<(u32, usize)> = Vec::new();
    let mut rest = cell;
    while !rest.is_empty() && (month.is_none() || numbers.len() < 2) {
        let first = rest.chars().next()?;
        let same = |c: char| {
            if first.is_ascii_digit() {
                c.is_ascii_digit()
            } else {
                c.is_alphabetic()
            }
        };
        if !first.is_ascii_digit() && !first.is_alphabetic() {
            if !matches!(first, ' ' | ',' | '-' | '/' | '.' | '\u{a0}') {
                return None;
            }
            rest = rest.get(first.len_utf8()..)?;
            continue;
        }
        let end = rest.find(|c: char| !same(c)).unwrap_or(rest.len());
        let (word, after) = rest.split_at_checked(end)?;
        rest = after;
        if first.is_ascii_digit() {
            numbers.push((digits(word)?, word.len()));
            // "13th", "1er"
            for ending in ["st", "nd", "rd", "th", "er"] {
                if rest.to_lowercase().starts_with(ending) {
                    rest = rest.get(2..)?;
                }
            }
        } else if month.is_none() {
            month = month_of(word);
            // A day of the week may stand before, "de" between; anything else is no day.
            let filler = matches!(word.to_lowercase().as_str(), "de" | "di");
            if month.is_none() && !(numbers.is_empty() || filler) {
                return None;
            }
        } else if !matches!(word.to_lowercase().as_str(), "de" | "del") {
            return None;
        }
    }
    let ((a, a_len), (b, b_len)) = (*numbers.first()?, *numbers.get(1)?);
    let (year, day) = if a_len == 4 { (a, b) } else { (b, a) };
    if a_len != 4 && !matches!(b_len, 2 | 4) {
        return None;
    }
    Some(When {
        day: sure(whole_year(year), month?, day)?,
        clock: clock_after(rest)?,
    })
}

/// What follows a day: nothing, or a time. `None` where it is neither.
#[expect(
    clippy::option_option,
    reason = "nothing told is not the same as nothing understood"
)]
fn clock_after(rest: &str) -> Option<Option<Clock>> {
    let rest = rest
        .trim_start_matches([' ', ',', '\u{a0}', ';'])
        .trim_end();
    // "20050101:0000": the time behind a colon.
    let rest = rest
        .strip_prefix(['T', 't', ':', '_', '-'])
        .unwrap_or(rest)
        .trim_start();
    if rest.is_empty() || rest.eq_ignore_ascii_case("z") {
        return Some(None);
    }
    clock(rest).map(Some)
}

/// A time of day: `14:05`, `14:05:30.0`, `2:05 PM`, `14h05`, `1405`, `14`, each perhaps with its
/// distance from UTC.
pub(super) fn clock(text: &str) -> Option<Clock> {
    let text = text.trim().trim_matches('"').trim();
    if text.len() > 40 || !text.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, ':' | 'h' | 'H' | '.')))
        .unwrap_or(text.len());
    let (time, rest) = text.split_at_checked(end)?;
    let bare = time.split('.').next().unwrap_or(time);
    let pieces: Vec<&str> = bare
        .split([':', 'h', 'H'])
        .filter(|p| !p.is_empty())
        .collect();
    let (mut hour, minute, second) = match pieces.as_slice() {
        [h, m, s] => (digits(h)?, digits(m)?, digits(s)?),
        [h, m] => (digits(h)?, digits(m)?, 0),
        [one] if one.len() <= 2 => (digits(one)?, 0, 0),
        [one] if one.len() <= 4 => (digits(one)? / 100, digits(one)? % 100, 0),
        _ => return None,
    };
    let mut rest = rest.trim();
    let half: String = rest
        .chars()
        .filter(|c| !matches!(c, '.' | ' '))
        .take(2)
        .collect::<String>()
        .to_lowercase();
    if half == "am" || half == "pm" {
        if !(1..=12).contains(&hour) {
            return None;
        }
        hour = hour % 12 + if half == "pm" { 12 } else { 0 };
        let after = rest.find(['m', 'M'])? + 1;
        rest = rest.get(after..)?.trim_start_matches('.').trim();
    }
    if hour > 24 || minute > 59 || second > 60 || (hour == 24 && minute > 0) {
        return None;
    }
    Some(Clock {
        seconds: i64::from(hour * 3600 + minute * 60 + second),
        offset_s: offset(rest)?,
    })
}

/// Seconds east of UTC of an option such as `-05:00`.
pub(super) fn offset_of(text: &str) -> Option<i64> {
    offset(text.trim()).flatten()
}

/// `Z`, `UTC`, `+01:00`, `-0500`, or nothing; a zone's own letters (`EST`) say too little.
#[expect(
    clippy::option_option,
    reason = "nothing told is not the same as nothing understood"
)]
fn offset(text: &str) -> Option<Option<i64>> {
    match text.to_ascii_uppercase().as_str() {
        "" => return Some(None),
        "Z" | "UTC" | "GMT" | "UT" => return Some(Some(0)),
        _ => {}
    }
    let (sign, rest) = match text.split_at_checked(1)? {
        ("+", rest) => (1, rest),
        ("-", rest) => (-1, rest),
        _ => return None,
    };
    let bare: String = rest.chars().filter(|c| *c != ':').collect();
    let (h, m) = match bare.len() {
        1 | 2 => (digits(&bare)?, 0),
        4 => (digits(bare.get(..2)?)?, digits(bare.get(2..)?)?),
        _ => return None,
    };
    (h <= 14 && m < 60).then_some(Some(sign * i64::from(h * 3600 + m * 60)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seconds of the day, and east of UTC.
    type Seconds = (i64, Option<i64>);

    fn read(cell: &str) -> Option<(String, Option<Seconds>)> {
        let found = when(cell)?;
        let day = match found.day {
            Day::Sure(date) => date.to_string(),
            Day::Open { parts, dots } => format!("{parts:?}{}", if dots { "." } else { "" }),
        };
        Some((day, found.clock.map(|c| (c.seconds, c.offset_s))))
    }

    #[test]
    fn days_and_times_in_many_hands() {
        let sure = "2027-02-13";
        for (cell, day, clock) in [
            ("2027-02-13", sure, None),
            ("2027/2/13", sure, None),
            ("2027. 02. 13.", sure, None),
            ("20270213", sure, None),
            ("2027年2月13日", sure, None),
            ("13 Feb 2027", sure, None),
            ("13-FEB-27", sure, None),
            ("Feb 13, 2027", sure, None),
            ("Sat 13 février 2027", sure, None),
            ("13. Februar 2027", sure, None),
            ("13 de febrero de 2027", sure, None),
            ("2027-02-13T14:05", sure, Some((50_700, None))),
            (
                "2027-02-13 14:05:00-05:00",
                sure,
                Some((50_700, Some(-18_000))),
            ),
            ("2027-02-13T14:05Z", sure, Some((50_700, Some(0)))),
            ("2027021314", sure, Some((50_400, None))),
            ("202702131405", sure, Some((50_700, None))),
            ("20270213:1405", sure, Some((50_700, None))),
            ("1802527500", "2027-02-13", Some((50_700, Some(0)))),
            ("1802527500000", "2027-02-13", Some((50_700, Some(0)))),
            ("13/02/2027", "[13, 2, 2027]", None),
            ("13.2.27", "[13, 2, 27].", None),
            ("2/13/2027 2:05 PM", "[2, 13, 2027]", Some((50_700, None))),
            (
                "2/13/2027 12:05:09 a.m.",
                "[2, 13, 2027]",
                Some((309, None)),
            ),
            ("13-02-2027 24:00", "[13, 2, 2027]", Some((86_400, None))),
        ] {
            assert_eq!(read(cell), Some((day.to_owned(), clock)), "{cell}");
        }
    }

    #[test]
    fn what_is_no_day_is_none() {
        for cell in [
            "",
            "12.5",
            "-3.25",
            "1,234",
            "tomorrow",
            "2027-02-30",
            "13/02",
            "3.4.5.6",
            "43.12",
            "12:30",
            "USW00014768",
            "2027-02-13 25:00",
            "2027/02-13",
            "Mean 12 34",
            "Max 31 Jan",
            "1-2-3-4",
            "20271301",
        ] {
            assert_eq!(read(cell), None, "{cell}");
        }
    }

    #[test]
    fn clocks_alone() {
        for (text, seconds) in [
            ("0", 0),
            ("100", 3600),
            ("2400", 86_400),
            ("7", 25_200),
            ("7:30 pm", 70_200),
            ("14h05", 50_700),
            ("23:59:59", 86_399),
        ] {
            assert_eq!(clock(text).map(|c| c.seconds), Some(seconds), "{text}");
        }
        for text in ["25", "13 pm", "noon", "12:60", "-1", "24:30"] {
            assert_eq!(clock(text), None, "{text}");
        }
    }
}
