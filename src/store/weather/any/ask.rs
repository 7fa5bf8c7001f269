//! What a table leaves open, as questions with the options that answer them.

use std::fmt;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Question {
    /// Which column holds the day.
    Day,
    /// Which column holds the time.
    Time,
    /// Which column holds the minimum.
    Low,
    /// Which column holds the maximum.
    High,
    /// Which column holds the temperature.
    Temp,
    /// The unit of the temperatures.
    Unit,
    /// The order of the numbers of a day.
    Order,
    /// The table of the other half.
    OtherHalf,
}

impl Question {
    /// The option that answers it.
    pub const fn option(self) -> &'static str {
        match self {
            Self::Day => "--date-column",
            Self::Time => "--time",
            Self::Low => "--tmin",
            Self::High => "--tmax",
            Self::Temp => "--temp",
            Self::Unit => "--unit",
            Self::Order => "--dates",
            Self::OtherHalf => "FILE FILE",
        }
    }

    /// What it is about.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Day => "day",
            Self::Time => "time",
            Self::Low => "minimum",
            Self::High => "maximum",
            Self::Temp => "temperature",
            Self::Unit => "unit",
            Self::Order => "order of day and month",
            Self::OtherHalf => "other half",
        }
    }
}

/// A question with what is known and what answers it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ask {
    /// What is asked.
    pub question: Question,
    /// What is known.
    pub what: String,
    /// What answers it.
    pub instead: String,
}

impl Ask {
    pub(super) const fn new(question: Question, what: String, instead: String) -> Self {
        Self {
            question,
            what,
            instead,
        }
    }
}

impl fmt::Display for Ask {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.what, self.instead)
    }
}
