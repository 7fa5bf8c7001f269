//! The running heat of a season, for the chart.

use std::sync::Arc;

use chrono::NaiveDate;

use super::Member;
use crate::domain::phenology::dormant_year::{DAYS, DormantYear, SOLSTICE};

/// Accumulated heat of a season by day: seen so far, and the range still to come. Blocks and
/// stages that share a season share its sums.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatCurve {
    /// First day of the curve: the shortest day of the year.
    pub first: NaiveDate,
    /// Days of it that are known.
    pub known_days: usize,
    /// Sum by the end of each day: one member in ten is lower.
    pub p10: Arc<Vec<f32>>,
    /// Sum by the end of each day, median of the members; what happened, on known days.
    pub median: Arc<Vec<f32>>,
    /// Sum by the end of each day: one member in ten is higher.
    pub p90: Arc<Vec<f32>>,
    /// Sum at which the stage is expected: early edge, middle, late edge of the requirement.
    pub requirement: (f32, f32, f32),
    /// Unit in words.
    pub unit: &'static str,
}

impl HeatCurve {
    /// Sums the members from the shortest day on.
    pub(super) fn new(year: DormantYear, known: usize, members: &[Member]) -> Self {
        let [mut p10, mut median, mut p90] = [(); 3].map(|()| Vec::with_capacity(DAYS - SOLSTICE));
        let mut sums = Vec::with_capacity(members.len());
        for day in SOLSTICE + 1..=DAYS {
            sums.clear();
            sums.extend(members.iter().map(|m| m.heat[day] - m.heat[SOLSTICE]));
            sums.sort_by(f32::total_cmp);
            let at = |share: f64| {
                let place = (share * (sums.len().saturating_sub(1)) as f64).round() as usize;
                sums.get(place).copied().unwrap_or(0.0)
            };
            p10.push(at(0.1));
            median.push(at(0.5));
            p90.push(at(0.9));
        }
        Self {
            first: year.date(SOLSTICE),
            known_days: known.saturating_sub(SOLSTICE),
            p10: Arc::new(p10),
            median: Arc::new(median),
            p90: Arc::new(p90),
            requirement: (0.0, 0.0, 0.0),
            unit: "degree days above 4.7 °C since the shortest day",
        }
    }
}
