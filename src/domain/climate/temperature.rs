//! One temperature as a person wrote it: a number and its scale.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

/// The two scales growers' thermometers and published thresholds use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TemperatureScale {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl TemperatureScale {
    /// A reading on this scale, in °C.
    pub fn to_celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            Self::Fahrenheit => (value - 32.0) / 1.8,
        }
    }

    /// A temperature in °C, read on this scale.
    pub fn from_celsius(self, temp_c: f64) -> f64 {
        match self {
            Self::Celsius => temp_c,
            Self::Fahrenheit => temp_c.mul_add(1.8, 32.0),
        }
    }

    /// How many degrees of this scale make up one degree Celsius: turns degree days in °C
    /// into degree days on this scale.
    pub fn degrees_per_celsius(self) -> f64 {
        match self {
            Self::Celsius => 1.0,
            Self::Fahrenheit => 1.8,
        }
    }

    /// `C` or `F`.
    pub fn letter(self) -> char {
        match self {
            Self::Celsius => 'C',
            Self::Fahrenheit => 'F',
        }
    }
}

/// A temperature kept on the scale it was written in, so that "43F" is shown as "43F" again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Temperature {
    value: f64,
    scale: TemperatureScale,
}

impl Temperature {
    /// A temperature on a scale. No check beyond the type: see [`Temperature::from_str`].
    pub const fn new(value: f64, scale: TemperatureScale) -> Self {
        Self { value, scale }
    }

    /// A temperature in °C.
    pub const fn from_celsius(temp_c: f64) -> Self {
        Self::new(temp_c, TemperatureScale::Celsius)
    }

    /// A temperature in °F.
    pub const fn from_fahrenheit(temp_f: f64) -> Self {
        Self::new(temp_f, TemperatureScale::Fahrenheit)
    }

    /// The scale it was written in.
    pub const fn scale(self) -> TemperatureScale {
        self.scale
    }

    /// The number as written.
    pub const fn value(self) -> f64 {
        self.value
    }

    /// The same temperature in °C.
    pub fn celsius(self) -> f64 {
        self.scale.to_celsius(self.value)
    }
}

impl fmt::Display for Temperature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.value, self.scale.letter())
    }
}

/// A text that is not a temperature.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum TemperatureError {
    /// The number part cannot be read or is not finite.
    #[error("the number is missing or not a number; write for example 43F or 6.1C")]
    NotANumber,
    /// No C or F at the end.
    #[error("the scale is missing; end with F or C, for example 43F or 6.1C")]
    NoScale,
    /// Below absolute zero or hotter than anything that grows.
    #[error("out of range; orchard temperatures lie between -90C and 70C (-130F and 158F)")]
    OutOfRange,
}

impl FromStr for Temperature {
    type Err = TemperatureError;

    /// Reads "43F", "43 °F", "6.1 C", "-2c".
    fn from_str(text: &str) -> Result<Self, TemperatureError> {
        let text = text.trim();
        let scale = match text.chars().next_back() {
            Some('C' | 'c') => TemperatureScale::Celsius,
            Some('F' | 'f') => TemperatureScale::Fahrenheit,
            _ => return Err(TemperatureError::NoScale),
        };
        let number = text
            .trim_end_matches(['C', 'c', 'F', 'f'])
            .trim_end()
            .trim_end_matches('°')
            .trim_end();
        let value: f64 = number.parse().map_err(|_| TemperatureError::NotANumber)?;
        if !value.is_finite() {
            return Err(TemperatureError::NotANumber);
        }
        if !(-90.0..=70.0).contains(&scale.to_celsius(value)) {
            return Err(TemperatureError::OutOfRange);
        }
        Ok(Self::new(value, scale))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn written_forms_are_read_and_shown_again() {
        for (text, shown, celsius) in [
            ("43F", "43F", 6.111_111),
            ("43 °F", "43F", 6.111_111),
            (" 6.1 c ", "6.1C", 6.1),
            ("-2C", "-2C", -2.0),
        ] {
            let read: Temperature = text.parse().unwrap();
            assert_eq!(read.to_string(), shown, "{text}");
            assert!((read.celsius() - celsius).abs() < 1e-5, "{text}");
        }
    }

    #[test]
    fn nonsense_is_refused_with_its_reason() {
        for (text, reason) in [
            ("43", TemperatureError::NoScale),
            ("", TemperatureError::NoScale),
            ("F", TemperatureError::NotANumber),
            ("nanF", TemperatureError::NotANumber),
            ("infC", TemperatureError::NotANumber),
            ("400F", TemperatureError::OutOfRange),
        ] {
            assert_eq!(text.parse::<Temperature>(), Err(reason), "{text}");
        }
    }
}
