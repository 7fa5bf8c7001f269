//! Numbers as people write them: decimal points, decimal commas, marks between thousands.

/// Why a text is no plain number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Problem {
    /// It is none.
    NoNumber,
    /// It is two: the smaller and the larger reading.
    TwoReadings(String, String),
}

/// Units that only countries with a decimal point use: there a comma parts thousands.
const US_UNITS: &[&str] = &[
    "acre", "ac", "sq ft", "ft", "in", "inch", "gal", "fl", "qt", "pt", "tbsp", "tsp", "lb", "oz",
    "f", "°f", "mph", "feet", "foot", "gallon", "quart", "pint", "pound", "ounce", "imp", "us",
];

/// Does a unit say that the number before it has a decimal point?
pub(super) fn is_us_unit(rest: &str) -> bool {
    let lower = rest.trim().to_lowercase();
    let word: String = lower
        .chars()
        .take_while(|c| c.is_alphabetic() || *c == '°')
        .collect();
    US_UNITS.iter().any(|u| {
        *u == word
            || word.strip_suffix('s') == Some(*u)
            || (u.contains(' ') && lower.starts_with(u))
    })
}

/// The number with a decimal point and nothing between thousands.
///
/// One mark of either kind is a decimal mark, unless exactly three digits follow one to three
/// others: `1,500` is fifteen hundred with a US unit and could be one and a half with any other;
/// `1.500` the other way round. `1.234` is read as written, since this program writes three
/// decimals itself and never a nought at their end; `0,250` and `0.250` can only be a quarter.
pub(super) fn plain(number: &str, us_unit: bool) -> Result<String, Problem> {
    let (sign, digits) = match number.strip_prefix(['-', '+']) {
        Some(digits) => (number.get(..1).unwrap_or_default(), digits),
        None => ("", number),
    };
    let (points, commas) = (digits.matches('.').count(), digits.matches(',').count());
    let signed = |text: String| format!("{sign}{text}");
    match (points, commas) {
        (0, 0) => Ok(signed(digits.to_owned())),
        (1, 0) | (0, 1) => {
            let mark = if points == 1 { '.' } else { ',' };
            let decimal = digits.replace(mark, ".");
            let whole = digits.replace(mark, "");
            let thousands_possible = is_grouped(digits, mark) && !digits.starts_with('0');
            let reads_thousands = match mark {
                ',' => thousands_possible,
                _ => thousands_possible && digits.ends_with('0') && !us_unit,
            };
            if !reads_thousands {
                Ok(signed(decimal))
            } else if mark == ',' && us_unit {
                Ok(signed(whole))
            } else {
                let small: f64 = decimal.parse().map_err(|_| Problem::NoNumber)?;
                Err(Problem::TwoReadings(
                    signed(super::plain_number(small)),
                    signed(whole),
                ))
            }
        }
        (_, 0) | (0, _) => {
            let mark = if commas == 0 { '.' } else { ',' };
            if is_grouped(digits, mark) {
                Ok(signed(digits.replace(mark, "")))
            } else {
                Err(Problem::NoNumber)
            }
        }
        // Both: the last one is the decimal mark, the other parts thousands.
        _ => {
            let last = digits.rfind(['.', ',']).unwrap_or(0);
            let (whole, part) = digits.split_at(last);
            let mark = if part.starts_with(',') { '.' } else { ',' };
            if is_grouped(whole, mark) {
                let part: String = part.chars().skip(1).collect();
                Ok(signed(format!("{}.{part}", whole.replace(mark, ""))))
            } else {
                Err(Problem::NoNumber)
            }
        }
    }
}

/// One to three digits, then groups of exactly three.
fn is_grouped(digits: &str, mark: char) -> bool {
    let mut groups = digits.split(mark);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len())
        && groups.all(|g| g.len() == 3)
        && digits.chars().all(|c| c.is_ascii_digit() || c == mark)
}

#[cfg(test)]
mod tests {
    use super::*;

    // ISO 80000-1:2022 knows both the comma and the point as decimal marks.
    #[test]
    fn commas_and_points_are_read_as_people_write_them() {
        for (text, us, read) in [
            ("150,5", false, "150.5"),
            ("150.5", false, "150.5"),
            ("-2,5", false, "-2.5"),
            ("0,250", false, "0.250"),
            ("0.250", false, "0.250"),
            ("1,000", true, "1000"),
            ("1.500", true, "1.500"),
            ("1.234", false, "1.234"),
            ("12,34", false, "12.34"),
            ("1.234,5", false, "1234.5"),
            ("1,234.5", true, "1234.5"),
            ("1,234,567", true, "1234567"),
            ("1.234.567", false, "1234567"),
        ] {
            assert_eq!(plain(text, us).as_deref(), Ok(read), "{text}");
        }
    }

    #[test]
    fn what_can_be_two_numbers_is_asked() {
        let two = |a: &str, b: &str| Err(Problem::TwoReadings(a.to_owned(), b.to_owned()));
        assert_eq!(plain("1.500", false), two("1.5", "1500"));
        assert_eq!(plain("1,500", false), two("1.5", "1500"));
        assert_eq!(plain("1,2,3", true), Err(Problem::NoNumber));
        assert_eq!(plain("1.2.3", false), Err(Problem::NoNumber));
    }

    #[test]
    fn units_tell_how_numbers_are_written() {
        for unit in [
            "sq ft",
            "acre",
            "acres",
            "gal",
            "fl oz",
            "lb/100 gal",
            "imp gal",
        ] {
            assert!(is_us_unit(unit), "{unit}");
        }
        for unit in ["l", "L/ha", "kg", "ha", "m2", "mL", "", "are"] {
            assert!(!is_us_unit(unit), "{unit}");
        }
    }
}
