//! Forecasts: the public JSON of two weather services, and fetching it.
//!
//! | format | read by |
//! |---|---|
//! | grid-point layers of the US national service: ISO 8601 intervals, unit codes | [`read`] |
//! | hours in words of the same service | [`read`] |
//! | point time series of the Norwegian national service, for anywhere on earth | [`read`] |
//!
//! Both were built from the services' published descriptions: the grid-point questions and
//! answers and the `OpenAPI` document of the first, the general forecast JSON format and its
//! schema of the second. The data of the second are CC BY 4.0 and NLOD: name their source where
//! you show them.

pub mod fetch;
mod grid;
mod gridpoint;
mod interval;
mod periods;
mod timeseries;
mod unit;

use chrono::{DateTime, Utc};
use serde_json::Value;
use thiserror::Error;

use crate::domain::climate::hourly_series::HourlySeries;

/// The largest document read, bytes; real ones are under two million.
pub const MOST_BYTES: usize = 16 << 20;

/// A forecast, and what its document held that could not be used.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// The hours.
    pub series: HourlySeries,
    /// When the service made it.
    pub issued: Option<DateTime<Utc>>,
    /// Whose data it is, to be named where it is shown.
    pub credit: &'static str,
    /// What was skipped, each in one plain line with its number.
    pub skipped: Vec<String>,
    /// Where it is for, as its document says.
    pub place: Option<fetch::Place>,
}

/// Why a document is not a forecast.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ForecastError {
    /// Larger than any forecast.
    #[error("the document is over {MOST_BYTES} bytes: that is no forecast for one place")]
    TooLarge,
    /// Not JSON at all, or cut off.
    #[error("the document is not whole JSON: {0}")]
    NotJson(String),
    /// JSON of neither format.
    #[error(
        "neither grid-point layers (properties.temperature.values) nor a time series (properties.timeseries) was found"
    )]
    UnknownFormat,
    /// The right format without one usable hour.
    #[error("no hour of it could be used: {0}")]
    Empty(String),
}

/// Reads a forecast in whichever of the formats it is.
///
/// # Errors
/// When the document is too large, not JSON, of neither format, or without a usable hour.
pub fn read(document: &[u8]) -> Result<Forecast, ForecastError> {
    if document.len() > MOST_BYTES {
        return Err(ForecastError::TooLarge);
    }
    let value: Value =
        serde_json::from_slice(document).map_err(|e| ForecastError::NotJson(e.to_string()))?;
    // Some programs save the answer in an envelope.
    let value = match value.get("data") {
        Some(inner) if value.get("properties").is_none() && inner.is_object() => inner,
        _ => &value,
    };
    let properties = value
        .get("properties")
        .ok_or(ForecastError::UnknownFormat)?;
    let mut forecast = if properties.get("timeseries").is_some_and(Value::is_array) {
        timeseries::read(properties)
    } else if properties
        .get("temperature")
        .is_some_and(|t| t.get("values").is_some())
    {
        gridpoint::read(properties)
    } else if properties.get("periods").is_some_and(Value::is_array) {
        periods::read(properties)
    } else {
        return Err(ForecastError::UnknownFormat);
    };
    if forecast.series.hours().all(|h| h.temp_c.is_none()) {
        let why = forecast.skipped.join("; ");
        return Err(ForecastError::Empty(if why.is_empty() {
            "it is empty".to_owned()
        } else {
            why
        }));
    }
    forecast.place = place_of(value.get("geometry"));
    Ok(forecast)
}

/// The point of a geometry: of a polygon the middle of its corners.
fn place_of(geometry: Option<&Value>) -> Option<fetch::Place> {
    let coordinates = geometry?.get("coordinates")?.as_array()?;
    let pair = |value: &Value| -> Option<(f64, f64)> {
        let pair = value.as_array()?;
        Some((pair.first()?.as_f64()?, pair.get(1)?.as_f64()?))
    };
    let (longitude, latitude) = match coordinates.first()? {
        Value::Number(_) => (
            coordinates.first()?.as_f64()?,
            coordinates.get(1)?.as_f64()?,
        ),
        Value::Array(ring) => {
            // The last corner repeats the first.
            let corners: Vec<(f64, f64)> =
                ring.iter().skip(1).take(1000).filter_map(pair).collect();
            let n = corners.len() as f64;
            let sum = corners
                .iter()
                .fold((0.0, 0.0), |s, c| (s.0 + c.0, s.1 + c.1));
            (sum.0 / n, sum.1 / n)
        }
        _ => return None,
    };
    let on_earth = latitude.abs() <= 90.0 && longitude.abs() <= 180.0;
    on_earth.then(|| fetch::Place {
        latitude,
        longitude,
        elevation_m: coordinates.get(2).and_then(Value::as_f64),
    })
}

/// A time with an offset, as both services write it.
fn time(value: Option<&Value>) -> Option<DateTime<Utc>> {
    let text = value?.as_str()?;
    DateTime::parse_from_rfc3339(text)
        .ok()
        .map(|t| t.with_timezone(&Utc))
}
