//! Tables in JSON: columns of the same length under names, with their units beside them.
//!
//! Two shapes are known: `{"daily":{"time":[…],"x":[…]},"daily_units":{"x":"°C"}}` (the answer of
//! an open forecast interface, saved by the grower) and the answers of the POWER archive,
//! `{"properties":{"parameter":{"T2M_MIN":{"19830101":-25.37}}}}`.

use std::collections::BTreeMap;
use std::fmt::Write;

use serde_json::Value;

use super::super::problem::ImportError;

/// The table of a document as lines of text; `None` where the text is no JSON.
pub(super) fn table_of(text: &str, file: &str) -> Result<Option<String>, ImportError> {
    if !text.trim_start().starts_with(['{', '[']) {
        return Ok(None);
    }
    let refuse = |what: String, instead: &str| Err(ImportError::one(file, 0, &what, instead));
    let value: Value = match serde_json::from_str(text) {
        Ok(value) => value,
        Err(error) => {
            return refuse(
                format!("it begins as JSON but is not whole ({error})"),
                "save it again from where it came",
            );
        }
    };
    // A document in its envelope: {"data": {…}}.
    let value = match value.get("data") {
        Some(inner) if inner.is_object() => inner,
        _ => &value,
    };
    if let Some(table) = columns(value, "daily").or_else(|| columns(value, "hourly")) {
        return Ok(Some(table));
    }
    if let Some(table) = by_parameter(value) {
        return Ok(Some(table));
    }
    refuse(
        "no table of days or hours was found in this JSON".to_owned(),
        "save the table as CSV, or a forecast as the weather service gives it (properties.timeseries, or the layers of a grid point)",
    )
}

fn number(value: &Value) -> String {
    match value {
        Value::Number(n) => n.to_string(),
        Value::String(s) => s.replace(['\t', '\n', '\r'], " "),
        _ => String::new(),
    }
}

fn head(value: &Value, text: &mut String) {
    for (label, key) in [
        ("Latitude", "latitude"),
        ("Longitude", "longitude"),
        ("Elevation", "elevation"),
    ] {
        if let Some(n) = value.get(key).and_then(Value::as_f64) {
            let _ = writeln!(text, "{label}: {n}");
        }
    }
    if let Some(seconds) = value.get("utc_offset_seconds").and_then(Value::as_f64) {
        let _ = writeln!(text, "Local time zone: {}", seconds / 3600.0);
    }
}

fn columns(value: &Value, name: &str) -> Option<String> {
    let table = value.get(name)?.as_object()?;
    let units = value.get(format!("{name}_units"));
    let rows = table.get("time")?.as_array()?.len();
    let mut text = String::new();
    head(value, &mut text);
    let kept: Vec<(&String, &Vec<Value>)> = table
        .iter()
        .filter_map(|(k, v)| Some((k, v.as_array()?)))
        .filter(|(_, v)| v.len() == rows)
        .take(100)
        .collect();
    for (key, _) in &kept {
        let unit = units
            .and_then(|u| u.get(key.as_str()))
            .and_then(Value::as_str)
            .unwrap_or_default();
        let _ = write!(text, "{} ({unit})\t", key.replace(['\t', '\n'], " "));
    }
    text.push('\n');
    for row in 0..rows {
        for (_, column) in &kept {
            text.push_str(&column.get(row).map(number).unwrap_or_default());
            text.push('\t');
        }
        text.push('\n');
    }
    Some(text)
}

fn by_parameter(value: &Value) -> Option<String> {
    let parameters = value.get("properties")?.get("parameter")?.as_object()?;
    let mut times: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for (column, series) in parameters.values().take(20).enumerate() {
        for (time, number_of) in series.as_object()? {
            let row = times.entry(time.as_str()).or_default();
            row.resize(column, String::new());
            row.push(number(number_of));
        }
    }
    let mut text = String::new();
    if let Some([lon, lat, height]) = value
        .get("geometry")
        .and_then(|g| g.get("coordinates"))
        .and_then(Value::as_array)
        .and_then(|c| <&[Value; 3]>::try_from(c.as_slice()).ok())
    {
        let _ = writeln!(
            text,
            "Latitude: {}\nLongitude: {}\nElevation: {}",
            number(lat),
            number(lon),
            number(height)
        );
    }
    let utc = value
        .get("header")
        .and_then(|h| h.get("time_standard"))
        .and_then(Value::as_str)
        .is_some_and(|s| s == "UTC");
    let _ = write!(text, "date{}", if utc { " utc" } else { "" });
    for name in parameters.keys().take(20) {
        let unit = value
            .get("parameters")
            .and_then(|p| p.get(name))
            .and_then(|p| p.get("units"))
            .and_then(Value::as_str)
            .unwrap_or_default();
        let unit = if unit == "C" { "°C" } else { unit };
        let _ = write!(text, "\t{} ({unit})", name.replace('_', " "));
    }
    text.push('\n');
    for (time, row) in times {
        let _ = writeln!(text, "{time}\t{}", row.join("\t"));
    }
    Some(text)
}
