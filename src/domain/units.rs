//! A type per quantity. Each keeps the number and unit its owner wrote, so that
//! a season file is written back as it was, and answers in SI when asked.

mod amount;
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
pub(crate) fn split_number<'a>(
    text: &'a str,
    example: &'static str,
) -> Result<(f64, &'a str), UnitError> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|&(i, c)| !(c.is_ascii_digit() || c == '.' || (i == 0 && (c == '-' || c == '+'))))
        .map_or(text.len(), |(i, _)| i);
    let (number, rest) = text.split_at(end);
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
    let value: f64 = number.parse().map_err(|_| UnitError::NoNumber {
        text: named(),
        example,
    })?;
    if !value.is_finite() || value.abs() > 1e9 {
        return Err(UnitError::NotFinite {
            text: named(),
            example,
        });
    }
    Ok((value, rest.trim()))
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
