//! A length of time on a label: hours or days.

use super::{UnitError, plain_number, split_number};
use serde::{Serialize, Serializer};
use std::{fmt, str::FromStr};

/// A span of hours or days, as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Span {
    /// Hours.
    Hours(f64),
    /// Whole or part days of 24 hours.
    Days(f64),
}

impl Span {
    /// The span in hours.
    pub fn hours(self) -> f64 {
        match self {
            Self::Hours(h) => h,
            Self::Days(d) => d * 24.0,
        }
    }

    /// The span in whole days, rounded up: the stricter reading.
    pub fn whole_days(self) -> i64 {
        (self.hours() / 24.0).ceil() as i64
    }
}

impl FromStr for Span {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        const EXAMPLE: &str = "14 d";
        let (value, unit) = split_number(text, EXAMPLE)?;
        if value < 0.0 {
            return Err(UnitError::Negative {
                text: super::shown(text),
                example: EXAMPLE,
            });
        }
        match unit.to_lowercase().as_str() {
            "h" | "hour" | "hours" | "hr" | "hrs" => Ok(Self::Hours(value)),
            "d" | "day" | "days" => Ok(Self::Days(value)),
            "week" | "weeks" | "wk" => Ok(Self::Days(value * 7.0)),
            _ => Err(UnitError::UnknownUnit {
                text: super::shown(text),
                known: "h, d, weeks".to_owned(),
            }),
        }
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Hours(h) => write!(f, "{} h", plain_number(*h)),
            Self::Days(d) => write!(f, "{} d", plain_number(*d)),
        }
    }
}

impl Serialize for Span {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
