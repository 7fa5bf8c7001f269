//! The weather a season has: what was observed, what is forecast.

use super::daily::DailySeries;
use super::hourly_series::HourlySeries;

/// Weather of one orchard, as far as it is known.
#[derive(Debug, Clone, Default)]
pub struct Weather {
    /// Observed days: past years and this season so far.
    pub daily: Option<DailySeries>,
    /// Forecast days.
    pub forecast: Option<DailySeries>,
    /// Observed and forecast hours, each with its provenance.
    pub hourly: Option<HourlySeries>,
}
