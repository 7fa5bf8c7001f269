//! Sprayer calibration: the equations of the worksheets, in SI.
//!
//! Every worksheet constant (128, 340, 5940, 495, 43 560) comes from the
//! definitions of acre, foot, mile and gallon, so one SI equation serves all;
//! the tests hold it against the printed examples.

mod method;

pub use method::{Course, Method, Outcome};

use crate::domain::season::Calibration;
use chrono::NaiveDate;
use serde::Serialize;

/// Spray used on a measured plot or lap, L/ha: the area and refill methods.
/// None where the area is nothing.
pub fn l_per_ha_from_area(used_l: f64, area_m2: f64) -> Option<f64> {
    positive(used_l * 10_000.0 / area_m2)
}

/// Course to walk so that fluid ounces caught equal gallons an acre: the
/// 1/128-acre plot over the width sprayed, m.
pub fn course_128th_m(width_m: f64) -> Option<f64> {
    positive(4_046.856_422_4 / 128.0 / width_m)
}

/// Output of one nozzle or gun from what was caught, L/min.
pub fn l_per_min(caught_l: f64, seconds: f64) -> Option<f64> {
    positive(caught_l * 60.0 / seconds)
}

/// Speed over a measured course, m/s.
pub fn speed_m_per_s(course_m: f64, seconds: f64) -> Option<f64> {
    positive(course_m / seconds)
}

/// The moving-boom equation: L/ha from output, speed and the width one nozzle
/// (or the whole boom) covers.
pub fn l_per_ha_from_boom(l_per_min: f64, speed_m_per_s: f64, width_m: f64) -> Option<f64> {
    positive(l_per_min / 60.0 / (speed_m_per_s * width_m) * 10_000.0)
}

/// Output an air-blast sprayer must give on both sides together, L/min, to
/// put on so many L/ha at a speed between rows.
pub fn airblast_l_per_min(l_per_ha: f64, speed_m_per_s: f64, row_m: f64) -> Option<f64> {
    positive(l_per_ha / 10_000.0 * speed_m_per_s * row_m * 60.0)
}

/// Seconds to spray one tree so that it gets its share of L/ha.
pub fn seconds_per_tree(l_per_ha: f64, row_m: f64, tree_m: f64, l_per_min: f64) -> Option<f64> {
    positive(l_per_ha / 10_000.0 * row_m * tree_m / l_per_min * 60.0)
}

fn positive(value: f64) -> Option<f64> {
    (value.is_finite() && value > 0.0).then_some(value)
}

/// A nozzle held against its nominal output.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NozzleCheck {
    /// Which one, counted from one.
    pub number: usize,
    /// Off its nominal output, percent.
    pub off_percent: f64,
    /// More than a tenth off: replace it.
    pub replace: bool,
}

/// Holds each nozzle's output against the nominal one (both L/min).
pub fn nozzles(measured_l_per_min: &[f64], nominal_l_per_min: f64) -> Vec<NozzleCheck> {
    measured_l_per_min
        .iter()
        .enumerate()
        .filter(|_| nominal_l_per_min > 0.0)
        .map(|(i, measured)| {
            let off_percent = (measured / nominal_l_per_min - 1.0) * 100.0;
            NozzleCheck {
                number: i + 1,
                off_percent,
                replace: off_percent.abs() > 10.0 + 1e-9,
            }
        })
        .collect()
}

/// The entry to store on the sprayer.
pub fn entry(
    date: NaiveDate,
    l_per_min: Option<f64>,
    l_per_ha: Option<f64>,
    checks: &[NozzleCheck],
    note: Option<String>,
) -> Calibration {
    let worst = checks
        .iter()
        .map(|c| c.off_percent)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()));
    Calibration {
        date,
        l_per_min,
        l_per_ha,
        worst_nozzle_percent: worst,
        note,
    }
}
