//! Degree days from daily minimum and maximum.
//!
//! Sources: Arnold 1960; Baskerville & Emin 1969 (Ecology 50:514–517); Allen 1976 (Environ.
//! Entomol. 5:388–396); Zalom, Goodell, Wilson, Barnett & Bentley 1983 (Univ. California leaflet
//! 21373); `McMaster` & Wilhelm 1997 (Agric. For. Meteorol. 87:291–300). The four-case rule is
//! the Irish meteorological service's.
//!
//! The six-case tables of the triangle and sine methods fold into one identity: with A(θ) the
//! degree days above θ and F(θ) the share of the day above θ, the horizontal cut-off is
//! A(L) − A(U), the intermediate A(L) − 2A(U), the vertical A(L) − A(U) − (U − L)F(U).

mod day_curve;
mod names;
mod totals;

use std::fmt;

use thiserror::Error;

use day_curve::{DayCurve, above, share_above};
pub use totals::{DaySum, running};

/// How the day's temperature is pictured between its minimum and maximum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// Mean less the lower threshold, floored at 0 (`McMaster` & Wilhelm 1997, method 1).
    SimpleAverage,
    /// Both extremes brought inside the thresholds first, then the mean (same, method 2).
    ClampedAverage,
    /// Mean less the lower threshold, negative days included.
    UnflooredAverage,
    /// One triangle a day.
    SingleTriangle,
    /// Two half triangles: to today's maximum and on to tomorrow's minimum.
    DoubleTriangle,
    /// One sine wave a day (Baskerville & Emin 1969).
    SingleSine,
    /// Two half sine waves (Allen 1976).
    DoubleSine,
    /// Four cases of minimum, maximum and mean against the base, no upper threshold.
    FourCase,
}

/// What happens above the upper threshold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Cutoff {
    /// No upper threshold.
    #[default]
    None,
    /// Growth goes on at the rate of the upper threshold.
    Horizontal,
    /// Growth slows by one degree for each degree above it.
    Intermediate,
    /// Growth stops.
    Vertical,
}

impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::SimpleAverage => "average",
            Self::ClampedAverage => "average of clamped extremes",
            Self::UnflooredAverage => "average without floor",
            Self::SingleTriangle => "single triangle",
            Self::DoubleTriangle => "double triangle",
            Self::SingleSine => "single sine",
            Self::DoubleSine => "double sine",
            Self::FourCase => "four cases",
        })
    }
}

impl fmt::Display for Cutoff {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::None => "no",
            Self::Horizontal => "horizontal",
            Self::Intermediate => "intermediate",
            Self::Vertical => "vertical",
        })
    }
}

/// A complete, checked recipe for degree days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DegreeDays {
    method: Method,
    cutoff: Cutoff,
    lower_c: f64,
    upper_c: f64,
}

/// Why a recipe makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum DegreeDaysError {
    /// A threshold is NaN or infinite.
    #[error("a threshold is not a number")]
    NotANumber,
    /// The upper threshold is not above the lower one.
    #[error("the upper threshold ({upper_c:.1} °C) must lie above the base ({lower_c:.1} °C)")]
    Reversed {
        /// Lower threshold, °C.
        lower_c: f64,
        /// Upper threshold, °C.
        upper_c: f64,
    },
    /// A cut-off was named without an upper threshold.
    #[error("a cut-off needs an upper threshold to work at")]
    NoUpper,
    /// An upper threshold was given without saying what happens there.
    #[error("an upper threshold needs a cut-off: horizontal, intermediate or vertical")]
    NoCutoff,
    /// The four-case rule is published without an upper threshold.
    #[error("the four-case method has no upper threshold; leave it out or choose another method")]
    FourCaseUpper,
}

impl DegreeDays {
    /// Degree days above a base in °C without an upper threshold.
    pub fn above(method: Method, lower_c: f64) -> Result<Self, DegreeDaysError> {
        Self::new(method, lower_c, None, Cutoff::None)
    }

    /// Degree days between thresholds in °C.
    pub fn new(
        method: Method,
        lower_c: f64,
        upper_c: Option<f64>,
        cutoff: Cutoff,
    ) -> Result<Self, DegreeDaysError> {
        if !lower_c.is_finite() || upper_c.is_some_and(|upper_c| !upper_c.is_finite()) {
            return Err(DegreeDaysError::NotANumber);
        }
        let upper_c = match (upper_c, cutoff) {
            (None, Cutoff::None) => f64::INFINITY,
            (None, _) => return Err(DegreeDaysError::NoUpper),
            (Some(_), Cutoff::None) => return Err(DegreeDaysError::NoCutoff),
            (Some(_), _) if method == Method::FourCase => {
                return Err(DegreeDaysError::FourCaseUpper);
            }
            (Some(upper_c), _) if upper_c <= lower_c => {
                return Err(DegreeDaysError::Reversed { lower_c, upper_c });
            }
            (Some(upper_c), _) => upper_c,
        };
        Ok(Self {
            method,
            cutoff,
            lower_c,
            upper_c,
        })
    }

    /// The method.
    pub const fn method(&self) -> Method {
        self.method
    }

    /// The cut-off.
    pub const fn cutoff(&self) -> Cutoff {
        self.cutoff
    }

    /// The base, °C.
    pub const fn lower_c(&self) -> f64 {
        self.lower_c
    }

    /// The upper threshold, °C.
    pub fn upper_c(&self) -> Option<f64> {
        self.upper_c.is_finite().then_some(self.upper_c)
    }

    /// Degree days (°C) of one day. `tmin_next_c` is tomorrow's minimum, used by the double
    /// methods; where unknown today's stands in. Reversed extremes are put in order; NaN gives NaN.
    pub fn day(&self, tmin_c: f64, tmax_c: f64, tmin_next_c: Option<f64>) -> f64 {
        let next_c = tmin_next_c.unwrap_or(tmin_c);
        match self.method {
            Method::SimpleAverage => self.rate(f64::midpoint(tmin_c, tmax_c)).max(0.0),
            Method::UnflooredAverage => self.unfloored_rate(f64::midpoint(tmin_c, tmax_c)),
            Method::ClampedAverage => f64::midpoint(self.rate(tmin_c), self.rate(tmax_c)).max(0.0),
            Method::SingleTriangle => self.curve(DayCurve::Triangle, tmin_c, tmax_c).max(0.0),
            Method::SingleSine => self.curve(DayCurve::Sine, tmin_c, tmax_c).max(0.0),
            Method::DoubleTriangle => self.halves(DayCurve::Triangle, tmin_c, tmax_c, next_c),
            Method::DoubleSine => self.halves(DayCurve::Sine, tmin_c, tmax_c, next_c),
            Method::FourCase => four_cases(tmin_c.min(tmax_c), tmax_c.max(tmin_c), self.lower_c),
        }
    }

    /// Rate at one temperature: degrees above the base, with the cut-off.
    fn rate(&self, temp_c: f64) -> f64 {
        self.unfloored_rate(temp_c.max(self.lower_c))
    }

    fn unfloored_rate(&self, temp_c: f64) -> f64 {
        if temp_c <= self.upper_c {
            return temp_c - self.lower_c;
        }
        let full = self.upper_c - self.lower_c;
        match self.cutoff {
            Cutoff::Horizontal => full,
            Cutoff::Intermediate => full - (temp_c - self.upper_c),
            Cutoff::Vertical => 0.0,
            Cutoff::None => temp_c - self.lower_c,
        }
    }

    fn curve(&self, curve: DayCurve, tmin_c: f64, tmax_c: f64) -> f64 {
        let (low, high) = (tmin_c.min(tmax_c), tmax_c.max(tmin_c));
        let over_base = above(curve, low, high, self.lower_c);
        let over_top = || above(curve, low, high, self.upper_c);
        match self.cutoff {
            Cutoff::None => over_base,
            Cutoff::Horizontal => over_base - over_top(),
            Cutoff::Intermediate => over_base - 2.0 * over_top(),
            Cutoff::Vertical => {
                over_base
                    - over_top()
                    - (self.upper_c - self.lower_c) * share_above(curve, low, high, self.upper_c)
            }
        }
    }

    fn halves(&self, curve: DayCurve, tmin_c: f64, tmax_c: f64, tmin_next_c: f64) -> f64 {
        let up = self.curve(curve, tmin_c, tmax_c);
        let down = self.curve(curve, tmin_next_c, tmax_c);
        f64::midpoint(up, down).max(0.0)
    }
}

/// The Irish meteorological service's four cases.
fn four_cases(low: f64, high: f64, base: f64) -> f64 {
    let mean = f64::midpoint(low, high);
    if low >= base {
        mean - base
    } else if high <= base {
        0.0
    } else if mean >= base {
        (high - base) / 2.0 - (base - low) / 4.0
    } else {
        (high - base) / 4.0
    }
}

#[cfg(test)]
mod tests;
