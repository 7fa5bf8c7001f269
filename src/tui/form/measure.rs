//! What may be measured or left empty in a record, and what it means.

use super::names;
use crate::domain::units::{Amount, Area, Rate, Speed, Temperature, Volume, plain_number};
use chrono::{NaiveTime, Timelike};
use std::fmt::Display;
use std::str::FromStr;

/// A measured value; an empty field means that it is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// A time of day.
    Clock,
    /// Ground.
    Area,
    /// A whole number.
    Count,
    /// A BBCH stage, by number or words.
    Stage,
    /// An amount of product.
    Amount,
    /// A rate of product.
    Rate,
    /// Spray.
    Spray,
    /// Wind.
    Wind,
    /// Air temperature.
    Air,
    /// Percent from 0 to 100.
    Percent,
}

/// A time of day: `9:30`, `0930`, `9`.
pub fn clock(text: &str) -> Result<NaiveTime, String> {
    let digits: String = text
        .trim()
        .chars()
        .filter(|c| !matches!(c, ':' | '.' | 'h' | ' '))
        .collect();
    let wrong = || format!("'{}' is no time of day; write it as 9:30", text.trim());
    let number: u32 = digits.parse().map_err(|_| wrong())?;
    let (hour, minute) = if digits.len() <= 2 {
        (number, 0)
    } else {
        (number / 100, number % 100)
    };
    NaiveTime::from_hms_opt(hour, minute, 0).ok_or_else(wrong)
}

/// A time of day as it is written.
pub fn clock_text(time: impl Timelike) -> String {
    format!("{:02}:{:02}", time.hour(), time.minute())
}

/// A value or nothing.
pub fn known<T: FromStr>(text: &str) -> Result<Option<T>, String>
where
    T::Err: Display,
{
    match text.trim() {
        "" => Ok(None),
        text => text.parse().map(Some).map_err(|e: T::Err| e.to_string()),
    }
}

/// Percent from 0 to 100, or nothing.
pub fn percent(text: &str) -> Result<Option<f64>, String> {
    match text.trim().trim_end_matches('%').trim() {
        "" => Ok(None),
        text => names::number(text).and_then(|n| {
            (n <= 100.0)
                .then_some(Some(n))
                .ok_or_else(|| format!("'{text}' is more than 100 percent"))
        }),
    }
}

/// A stage, or nothing.
pub fn stage(text: &str) -> Result<Option<u8>, String> {
    match text.trim() {
        "" => Ok(None),
        text => {
            // Leaf fall is told in numbers only: the words are those of spring.
            if let Ok(bbch @ 90..=97) = text.parse::<u8>() {
                return Ok(Some(bbch));
            }
            names::stage(text).map(|(bbch, _)| Some(bbch))
        }
    }
}

impl Measure {
    /// What is written, in full words, or what is wrong with it.
    pub fn check(self, text: &str) -> Result<String, String> {
        if text.trim().is_empty() {
            return Ok(String::new());
        }
        let shown = |v: Option<String>| v.unwrap_or_default();
        match self {
            Self::Clock => clock(text).map(clock_text),
            Self::Area => known::<Area>(text)
                .map(|v| shown(v.map(|a| format!("{} ha", plain_number(round(a.ha(), 1000.0)))))),
            Self::Count => match text.trim().parse::<u32>() {
                Ok(_) => Ok(String::new()),
                Err(_) => Err(format!("'{}' is not a whole number", text.trim())),
            },
            Self::Stage => stage(text).map(|v| match v {
                Some(bbch @ 90..) => format!("BBCH {bbch}: leaf fall"),
                Some(bbch) => format!("BBCH {bbch}: {}", names::stage_words(bbch)),
                None => String::new(),
            }),
            Self::Amount => known::<Amount>(text).map(|_| String::new()),
            Self::Rate => known::<Rate>(text).map(|_| String::new()),
            Self::Spray => known::<Volume>(text)
                .map(|v| shown(v.map(|v| format!("{} L", plain_number(v.l().round()))))),
            Self::Wind => known::<Speed>(text)
                .map(|v| shown(v.map(|s| format!("{} m/s", plain_number(round(s.ms(), 10.0)))))),
            Self::Air => known::<Temperature>(text)
                .map(|v| shown(v.map(|t| format!("{} C", plain_number(round(t.c(), 10.0)))))),
            Self::Percent => percent(text).map(|_| String::new()),
        }
    }
}

fn round(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_people_type_them() {
        for (text, wanted) in [
            ("9:30", "09:30"),
            ("0930", "09:30"),
            ("930", "09:30"),
            ("9", "09:00"),
            (" 17.05 ", "17:05"),
        ] {
            assert_eq!(clock(text).map(clock_text).unwrap(), wanted, "{text}");
        }
        for text in ["25", "9:75", "noon", "-1", ""] {
            assert!(clock(text).is_err(), "{text}");
        }
    }

    #[test]
    fn what_is_empty_is_not_known_and_what_is_odd_is_told() {
        assert_eq!(percent("62 %").unwrap(), Some(62.0));
        assert!(percent("101").is_err());
        assert_eq!(stage("97").unwrap(), Some(97));
        assert_eq!(stage("").unwrap(), None);
        assert!(Measure::Wind.check("4 mph").unwrap().contains("1.8 m/s"));
        assert!(Measure::Wind.check("4").is_err());
        assert_eq!(Measure::Count.check("").unwrap(), "");
    }
}
