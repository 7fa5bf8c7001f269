//! How good the estimate has been here.

use crate::domain::phenology::calibrate::{CALENDAR, SeriesFit};

/// Errors on the dates seen at this place, each year left out in turn, with the season's
/// temperatures known.
#[derive(Debug, Clone, PartialEq)]
pub struct HindcastRecord {
    /// Root-mean-square error, days.
    pub rmse_days: f64,
    /// Years judged.
    pub years: usize,
    /// The same for the mean date of the other years.
    pub calendar_rmse_days: f64,
    /// What it was judged on.
    pub data: String,
}

/// Fewest years worth a record.
const FEWEST_YEARS: usize = 4;

impl HindcastRecord {
    pub(super) fn of(fit: &SeriesFit, shares: &[f32]) -> Option<Self> {
        if fit.len() < FEWEST_YEARS {
            return None;
        }
        let rmse = |errors: &mut dyn Iterator<Item = f32>| {
            let squares: f64 = errors.map(|e| f64::from(e).powi(2)).sum();
            (squares / fit.len() as f64).sqrt()
        };
        let mixture = |e: &[f32]| shares.iter().zip(e).map(|(w, e)| w * e).sum::<f32>();
        Some(Self {
            rmse_days: rmse(&mut fit.errors.iter().map(|e| mixture(e))),
            years: fit.len(),
            calendar_rmse_days: rmse(&mut fit.errors.iter().map(|e| e[CALENDAR])),
            data: "your own dates, each year left out in turn, that year's temperatures known"
                .to_owned(),
        })
    }
}
