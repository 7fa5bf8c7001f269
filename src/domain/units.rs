//! A type per quantity. Each keeps the number and unit its owner wrote, so that
//! a season file is written back as it was, and answers in SI when asked.

mod amount;
mod number;
mod quantity;
mod rate;
mod span;

pub use amount::Amount;
pub use quantity::{
    Area, AreaUnit, Length, LengthUnit, Mass, MassUnit, Percent, PercentUnit, RainDepth, RainUnit,
    Speed, SpeedUnit, Temperature, TemperatureUnit, Volume, VolumeUnit,
};
pub use rate::Rate;
pub use span::Span;

use thiserror::Error;

/// Why a text is not the quantity it should be.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum UnitError {
    /// There is no number in front.
    #[error("'{text}' has no number in front; write for instance \"{example}\"")]
    NoNumber {
        /// What was read.
        text: String,
        /// A text that would do.
        example: &'static str,
    },
    /// The number is not an ordinary one (NaN, infinite, far too large).
    #[error("'{text}' is not an ordinary number; write for instance \"{example}\"")]
    NotFinite {
        /// What was read.
        text: String,
        /// A text that would do.
        example: &'static str,
    },
    /// The unit is missing or not known here.
    #[error("'{text}' has no unit known here; use one of: {known}")]
    UnknownUnit {
        /// What was read.
        text: String,
        /// The units that can be used.
        known: String,
    },
    /// Not a quantity but a date, a list or a word, and not readable as one.
    #[error("'{text}' cannot be read here; write for instance \"{example}\"")]
    NotUnderstood {
        /// What was read.
        text: String,
        /// A text that would do.
        example: &'static str,
    },
    /// The number can be read in two ways that differ a thousandfold.
    #[error("'{text}' can be read as {small} or as {large}; write one of these two")]
    TwoReadings {
        /// What was read.
        text: String,
        /// The number, its mark read as a decimal one.
        small: String,
        /// The number, its mark read as one between thousands.
        large: String,
    },
    /// A unit that is used for two things.
    #[error("'{text}' is not clear: {why}")]
    NotClear {
        /// What was read.
        text: String,
        /// What it could be, and what to write.
        why: &'static str,
    },
    /// The number may not be negative here.
    #[error("'{text}' is negative; write zero or more, for instance \"{example}\"")]
    Negative {
        /// What was read.
        text: String,
        /// A text that would do.
        example: &'static str,
    },
}

/// Splits a leading number from the rest: `"1.5 fl oz"` → `(1.5, "fl oz")`.
///
/// A comma is read as people write it: `150,5 l` has a decimal comma, `1,000 sq ft` and
/// `1.234,5 l` have a mark between thousands. Where one text could be either, as `1.500 l` or
/// `1,500 l`, it is not guessed: [`UnitError::TwoReadings`] names both.
pub(crate) fn split_number<'a>(
    text: &'a str,
    example: &'static str,
) -> Result<(f64, &'a str), UnitError> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|&(i, c)| {
            !(c.is_ascii_digit() || matches!(c, '.' | ',') || (i == 0 && (c == '-' || c == '+')))
        })
        .map_or(text.len(), |(i, _)| i);
    // A comma or full stop that no digit follows belongs to the sentence around it.
    let number = text
        .get(..end)
        .unwrap_or_default()
        .trim_end_matches([',', '.']);
    let rest = text.get(number.len()..).unwrap_or_default();
    let named = || shown(text);
    if !number.contains(|c: char| c.is_ascii_digit()) {
        let lower = text.to_lowercase();
        if lower.contains("nan") || lower.contains("inf") {
            return Err(UnitError::NotFinite {
                text: named(),
                example,
            });
        }
        return Err(UnitError::NoNumber {
            text: named(),
            example,
        });
    }
    let plain =
        number::plain(number, number::is_us_unit(rest)).map_err(|problem| match problem {
            number::Problem::TwoReadings(small, large) => UnitError::TwoReadings {
                text: named(),
                small,
                large,
            },
            number::Problem::NoNumber => UnitError::NoNumber {
                text: named(),
                example,
            },
        })?;
    let value: f64 = plain.parse().map_err(|_| UnitError::NoNumber {
        text: named(),
        example,
    })?;
    if !value.is_finite() || value.abs() > 1e9 {
        return Err(UnitError::NotFinite {
            text: named(),
            example,
        });
    }
    Ok((value, rest.trim_start_matches(['.', ',']).trim()))
}

/// Makes a foreign text harmless and short enough for a message.
pub(crate) fn shown(text: &str) -> String {
    let clean: String = text
        .chars()
        .filter(|c| !crate::domain::harmless::steers(*c))
        .take(40)
        .collect();
    clean
}

/// Writes a number the way people do: no trailing zeros, at most six decimals.
pub fn plain_number(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// A number with its word: `1 day`, `3 days`.
pub fn count(n: impl TryInto<i64> + std::fmt::Display + Copy, one: &str, many: &str) -> String {
    let is_one = n.try_into().is_ok_and(|n: i64| n.abs() == 1);
    format!("{n} {}", if is_one { one } else { many })
}
