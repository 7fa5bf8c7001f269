//! Fast reading of numbers and dates from the bytes of a cell.

use chrono::{Datelike, NaiveDate};

/// Years a weather record may lie in: the oldest series in use begin in the 18th century.
pub(super) const FIRST_YEAR: i32 = 1700;
/// See [`FIRST_YEAR`].
pub(super) const LAST_YEAR: i32 = 2199;

/// Texts and markers that stand for "not measured".
const MISSING: [&[u8]; 8] = [b"", b"NA", b"N/A", b"nan", b"null", b"none", b"-", b"M"];
/// Numbers that stand for "not measured" in weather archives; none is a possible value.
const MISSING_NUMBERS: [f64; 5] = [-9999.0, -999.0, -999.9, -99.9, -9900.0];

const POWERS: [f64; 16] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// A cell that is neither a number nor a sign for "missing".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NotANumber;

/// The number in a cell, `None` where it says "missing". `point` is the decimal sign.
pub(super) fn number(cell: &[u8], point: u8) -> Result<Option<f64>, NotANumber> {
    let cell = cell.trim_ascii();
    if let Some(value) = plain(cell, point) {
        return Ok((!MISSING_NUMBERS.contains(&value)).then_some(value));
    }
    if MISSING.iter().any(|sign| cell.eq_ignore_ascii_case(sign)) {
        return Ok(None);
    }
    let text = std::str::from_utf8(cell).map_err(|_| NotANumber)?;
    let value: f64 = text.parse().map_err(|_| NotANumber)?;
    if value.is_finite() {
        Ok(Some(value))
    } else {
        Err(NotANumber)
    }
}

/// Sign, digits, at most one decimal sign: correctly rounded because digits and power are exact.
fn plain(cell: &[u8], point: u8) -> Option<f64> {
    let (negative, digits) = match cell {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] | rest => (false, rest),
    };
    if digits.len() > POWERS.len() {
        return None;
    }
    let (mut mantissa, mut seen, mut decimals) = (0_u64, 0_usize, None);
    for &byte in digits {
        if byte.is_ascii_digit() {
            mantissa = mantissa * 10 + u64::from(byte - b'0');
            seen += 1;
        } else if byte == point && decimals.is_none() {
            decimals = Some(seen);
        } else {
            return None;
        }
    }
    if seen == 0 || seen >= POWERS.len() {
        return None;
    }
    let power = POWERS.get(decimals.map_or(0, |before| seen - before))?;
    let value = mantissa as f64 / power;
    Some(if negative { -value } else { value })
}

/// Why a cell is not a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BadDate {
    /// Not in a form that is read.
    Form,
    /// The form is right but the calendar has no such day.
    NoSuchDay,
    /// A day far from any weather record.
    Year,
}

impl BadDate {
    /// What is wrong and what to write instead.
    pub(super) fn texts(self, shown: &str) -> (String, String) {
        let instead = "write year-month-day, for example 2024-02-09".to_string();
        match self {
            Self::Form => (
                format!("\"{shown}\" is not a date that can be read"),
                instead,
            ),
            Self::NoSuchDay => (
                format!("\"{shown}\": the calendar has no such day"),
                "correct the day, or leave the line out".to_string(),
            ),
            Self::Year => (
                format!("\"{shown}\" lies outside the years {FIRST_YEAR} to {LAST_YEAR}"),
                instead,
            ),
        }
    }
}

/// Digits as a number; `None` if there is anything else.
pub(super) fn digits(bytes: &[u8]) -> Option<u32> {
    if bytes.is_empty() || bytes.len() > 9 {
        return None;
    }
    bytes.iter().try_fold(0, |sum: u32, byte| {
        byte.is_ascii_digit()
            .then(|| sum * 10 + u32::from(byte - b'0'))
    })
}

/// A civil day from its parts, inside the years of weather records.
pub(super) fn civil(year: u32, month: u32, day: u32) -> Result<NaiveDate, BadDate> {
    let year = i32::try_from(year).map_err(|_| BadDate::Year)?;
    if !(FIRST_YEAR..=LAST_YEAR).contains(&year) {
        return Err(BadDate::Year);
    }
    NaiveDate::from_ymd_opt(year, month, day).ok_or(BadDate::NoSuchDay)
}

/// `2024-02-09`, `2024/02/09` or `20240209`; a time of day after the date is left to the caller.
pub(super) fn date_and_rest(cell: &[u8]) -> Result<(NaiveDate, &[u8]), BadDate> {
    let parts = match cell {
        [
            y0,
            y1,
            y2,
            y3,
            s @ (b'-' | b'/'),
            m0,
            m1,
            t,
            d0,
            d1,
            rest @ ..,
        ] if s == t => Some(([*y0, *y1, *y2, *y3], [*m0, *m1], [*d0, *d1], rest)),
        [y0, y1, y2, y3, m0, m1, d0, d1, rest @ ..]
            if rest.first().is_none_or(|b| !b.is_ascii_digit()) =>
        {
            Some(([*y0, *y1, *y2, *y3], [*m0, *m1], [*d0, *d1], rest))
        }
        _ => None,
    };
    let (year, month, day, rest) = parts.ok_or(BadDate::Form)?;
    match (digits(&year), digits(&month), digits(&day)) {
        (Some(year), Some(month), Some(day)) => Ok((civil(year, month, day)?, rest)),
        _ => Err(BadDate::Form),
    }
}

/// A date; a midnight written after it is accepted, any other time is not a daily value.
pub(super) fn date(cell: &[u8]) -> Result<NaiveDate, BadDate> {
    let (date, rest) = date_and_rest(cell.trim_ascii())?;
    let midnight = rest
        .iter()
        .all(|b| matches!(b, b'0' | b':' | b'.' | b'T' | b' ' | b'Z'));
    if midnight {
        Ok(date)
    } else {
        Err(BadDate::Form)
    }
}

/// Days since the first of January of [`FIRST_YEAR`], the origin of the day grid.
pub(super) fn day_index(date: NaiveDate) -> usize {
    let origin = NaiveDate::from_ymd_opt(FIRST_YEAR, 1, 1).map_or(0, |d| d.num_days_from_ce());
    usize::try_from(date.num_days_from_ce() - origin).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn numbers_and_signs_for_missing() {
        for (cell, value) in [
            ("1.5", Some(1.5)),
            (" -0.1 ", Some(-0.1)),
            ("+7", Some(7.0)),
            (".5", Some(0.5)),
            ("5.", Some(5.0)),
            ("1e1", Some(10.0)),
            ("0.1000000000000000055511151231257827", Some(0.1)),
            ("", None),
            ("NaN", None),
            ("na", None),
            ("-9999", None),
            ("-9999.0", None),
            ("-99.9", None),
        ] {
            assert_eq!(number(cell.as_bytes(), b'.'), Ok(value), "{cell}");
        }
        for cell in [
            "inf",
            "-Infinity",
            "1,5",
            "1.2.3",
            "--1",
            "12a",
            "0x10",
            ".",
        ] {
            assert_eq!(number(cell.as_bytes(), b'.'), Err(NotANumber), "{cell}");
        }
        assert_eq!(number(b"1,5", b','), Ok(Some(1.5)));
    }

    #[test]
    fn dates_of_each_form_and_the_ones_that_are_none() {
        let leap = NaiveDate::from_ymd_opt(2024, 2, 29);
        for cell in [
            "2024-02-29",
            "2024/02/29",
            "20240229",
            "2024-02-29T00:00:00",
            " 2024-02-29 00:00",
        ] {
            assert_eq!(date(cell.as_bytes()).ok(), leap, "{cell}");
        }
        for (cell, reason) in [
            ("2023-02-29", BadDate::NoSuchDay),
            ("2023-02-30", BadDate::NoSuchDay),
            ("2023-13-01", BadDate::NoSuchDay),
            ("2023-00-01", BadDate::NoSuchDay),
            ("02/10/2024", BadDate::Form),
            ("2024-2-9", BadDate::Form),
            ("2024-02-29T06:00", BadDate::Form),
            ("2024-02/29", BadDate::Form),
            ("1066-10-14", BadDate::Year),
            ("9999-01-01", BadDate::Year),
            ("", BadDate::Form),
            ("tomorrow", BadDate::Form),
        ] {
            assert_eq!(date(cell.as_bytes()), Err(reason), "{cell}");
        }
    }

    proptest! {
        /// The quick reader gives what the standard library gives, bit for bit.
        #[test]
        fn quick_numbers_are_the_standard_ones(text in "[-+]?[0-9]{1,9}(\\.[0-9]{0,6})?") {
            let expected: f64 = text.parse().unwrap();
            let found = number(text.as_bytes(), b'.').unwrap();
            if !MISSING_NUMBERS.contains(&expected) {
                prop_assert_eq!(found, Some(expected));
            }
        }

        #[test]
        fn any_bytes_are_survived(bytes in prop::collection::vec(any::<u8>(), 0..30)) {
            let _ = (number(&bytes, b'.'), date(&bytes));
        }
    }
}
