//! Which addresses of a service lead to the forecast of a place.

use std::sync::atomic::AtomicBool;

use serde_json::Value;

use super::cache::Kept;
use super::config::{ConfigError, FetchConfig, Place, Service};
use super::http::{Client, Condition, Document, Reply};
use super::{FetchError, Progress};

/// What the service answered.
pub(super) enum Answer<'a> {
    /// A new document.
    New(Document),
    /// The one kept is still the newest.
    NotModified(&'a Kept),
}

/// Asks the service, by way of the one kept.
pub(super) fn ask<'a>(
    config: &FetchConfig,
    place: Place,
    kept: Option<&'a Kept>,
    called_off: &AtomicBool,
    progress: &mut dyn FnMut(Progress),
) -> Result<Answer<'a>, FetchError> {
    let on_earth =
        (-90.0..=90.0).contains(&place.latitude) && (-180.0..=180.0).contains(&place.longitude);
    if !on_earth {
        return Err(
            ConfigError::NoPlace(place.latitude.to_string(), place.longitude.to_string()).into(),
        );
    }
    let client = Client::new(config, called_off);
    let base = config.base_url.trim_end_matches('/');
    // Both services ask for no more than four decimals: that is eleven metres.
    let (lat, lon) = (decimal(place.latitude), decimal(place.longitude));
    let url = match config.service {
        Service::Norwegian => {
            let height = place
                .elevation_m
                .map_or_else(String::new, |m| format!("&altitude={m:.0}"));
            format!("{base}/weatherapi/locationforecast/2.0/complete?lat={lat}&lon={lon}{height}")
        }
        // The grid square of a place seldom changes: the one found before saves a request.
        Service::UsNational => match kept {
            Some(kept) => kept.url.clone(),
            None => grid_address(&client, &format!("{base}/points/{lat},{lon}"), progress)?,
        },
    };
    let condition = kept.map_or_else(Condition::default, |kept| Condition {
        etag: kept.etag.as_deref(),
        last_modified: kept.last_modified.as_deref(),
    });
    match (client.get(&url, &condition, progress)?, kept) {
        (Reply::Document(document), _) => Ok(Answer::New(document)),
        (Reply::NotModified, Some(kept)) => Ok(Answer::NotModified(kept)),
        (Reply::NotModified, None) => Err(FetchError::Answer(
            "'not modified' without anything kept".to_owned(),
        )),
    }
}

/// The address of the layers of the grid square a point lies in.
fn grid_address(
    client: &Client<'_>,
    url: &str,
    progress: &mut dyn FnMut(Progress),
) -> Result<String, FetchError> {
    let Reply::Document(document) = client.get(url, &Condition::default(), progress)? else {
        return Err(FetchError::Answer(
            "'not modified' without anything kept".to_owned(),
        ));
    };
    let value: Value = serde_json::from_slice(&document.body)
        .map_err(|e| FetchError::Answer(format!("the point: {e}")))?;
    value
        .get("properties")
        .and_then(|p| p.get("forecastGridData"))
        .and_then(Value::as_str)
        .map(str::to_owned)
        .ok_or_else(|| {
            FetchError::Answer("the point names no grid (properties.forecastGridData)".to_owned())
        })
}

/// At most four decimals, without trailing zeros.
fn decimal(degrees: f64) -> String {
    let text = format!("{degrees:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn coordinates_have_four_decimals_at_most() {
        for (degrees, text) in [
            (47.449_96, "47.45"),
            (-122.309_313, "-122.3093"),
            (0.0, "0"),
            (-0.000_01, "0"),
            (-8.0, "-8"),
        ] {
            assert_eq!(super::decimal(degrees), text);
        }
    }
}
