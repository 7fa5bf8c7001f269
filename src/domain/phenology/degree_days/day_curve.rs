//! The two pictures of a day between its extremes: degree days and share of time above a line.

use std::f64::consts::{FRAC_PI_2, PI};

/// Shape of the day's temperature.
#[derive(Debug, Clone, Copy)]
pub(super) enum DayCurve {
    Triangle,
    Sine,
}

/// Where a line crosses a sine day, as an angle from the mean (−π/2 at the minimum).
fn crossing(low: f64, high: f64, line: f64) -> f64 {
    let (mean, half) = (f64::midpoint(low, high), (high - low) / 2.0);
    ((line - mean) / half).clamp(-1.0, 1.0).asin()
}

/// Degree days above `line`; `low` ≤ `high`.
pub(super) fn above(curve: DayCurve, low: f64, high: f64, line: f64) -> f64 {
    let mean = f64::midpoint(low, high);
    if line >= high {
        return 0.0;
    }
    if line <= low {
        return mean - line;
    }
    match curve {
        DayCurve::Triangle => (high - line).powi(2) / (2.0 * (high - low)),
        DayCurve::Sine => {
            let angle = crossing(low, high, line);
            ((mean - line) * (FRAC_PI_2 - angle) + (high - low) / 2.0 * angle.cos()) / PI
        }
    }
}

/// Share of the day above `line`, 0 to 1; `low` ≤ `high`.
pub(super) fn share_above(curve: DayCurve, low: f64, high: f64, line: f64) -> f64 {
    if line >= high {
        return 0.0;
    }
    if line <= low {
        return 1.0;
    }
    match curve {
        DayCurve::Triangle => (high - line) / (high - low),
        DayCurve::Sine => (FRAC_PI_2 - crossing(low, high, line)) / PI,
    }
}
