//! A place as it was known before one of its springs.

use super::{Climatology, PastYear};
use crate::domain::climate::daily::DailySeries;
use crate::domain::phenology::dormant_year::DormantYear;

impl Climatology {
    /// The same place with only the years before a spring to lend their weather: an answer judged
    /// with later years looks better than it was. Springs that own dates are of are still found.
    #[must_use]
    pub fn before(&self, spring_year: i32) -> Self {
        let copy = |past: &PastYear| PastYear {
            drivers: past.drivers.clone(),
            went: past.went.clone(),
        };
        Self {
            latitude_deg: self.latitude_deg,
            shape: self.shape.clone(),
            observed: self.observed.clone(),
            past: self.past.iter().map(|(y, p)| (*y, copy(p))).collect(),
            lends_before: Some(spring_year),
        }
    }

    /// Mean temperature, °C, of the three months about the turn of winter (1 December to
    /// 28 February in the north), over all years on record; `None` with less than a winter.
    pub fn winter_c(&self) -> Option<f64> {
        let years = self.past.values().map(|p| p.drivers.year());
        mean_winter_c(&self.observed, years)
    }
}

/// Mean temperature, °C, of the winters of some dormant years; `None` with less than a winter.
pub fn mean_winter_c(
    temperatures: &DailySeries,
    years: impl Iterator<Item = DormantYear>,
) -> Option<f64> {
    let (mut sum, mut count) = (0.0, 0.0);
    for year in years {
        for day in WINTER {
            if let Some((low, high)) = temperatures.day(year.date(day)) {
                sum += f64::midpoint(low, high);
                count += 1.0;
            }
        }
    }
    (count >= FEWEST_DAYS).then(|| sum / count)
}

/// Fewest days that tell a place's winter.
const FEWEST_DAYS: f64 = 60.0;
/// Days of the dormant year from 1 December to 28 February.
const WINTER: std::ops::Range<usize> = 91..181;
