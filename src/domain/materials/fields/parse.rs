//! How label fields are read from and written as text.

use crate::domain::season::{Formulation, KeepApart, Organic, Reentry};
use crate::domain::units::{UnitError, shown};
use chrono::NaiveDate;
use std::collections::BTreeMap;
use std::fmt::Display;
use std::str::FromStr;

pub(super) fn bad(text: &str, example: &'static str) -> UnitError {
    UnitError::NotUnderstood {
        text: shown(text),
        example,
    }
}

pub(super) fn show<T: Display>(value: Option<T>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

/// A quantity that may be cleared.
pub(super) fn quantity<T: FromStr<Err = UnitError>>(text: &str) -> Result<Option<T>, UnitError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    text.parse().map(Some)
}

pub(super) fn words(text: &str, example: &'static str) -> Result<String, UnitError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(bad(text, example));
    }
    Ok(text.to_owned())
}

pub(super) fn optional_words(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

pub(super) fn date(text: &str) -> Result<Option<NaiveDate>, UnitError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    text.trim()
        .parse()
        .map(Some)
        .map_err(|_| bad(text, "2026-11-25"))
}

pub(super) fn list(text: &str) -> Vec<String> {
    text.split([',', ';'])
        .map(str::trim)
        .filter(|s| !s.is_empty())
        .map(str::to_owned)
        .collect()
}

pub(super) fn whole<T: FromStr>(text: &str, example: &'static str) -> Result<Option<T>, UnitError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    text.trim()
        .parse()
        .map(Some)
        .map_err(|_| bad(text, example))
}

/// A BBCH stage, 0 to 99.
pub(super) fn stage(text: &str) -> Result<Option<u8>, UnitError> {
    let stage: Option<u8> = whole(text, "54")?;
    if stage.is_some_and(|s| s > 99) {
        return Err(bad(text, "54"));
    }
    Ok(stage)
}

/// A number within bounds.
pub(super) fn number(
    text: &str,
    (low, high): (f64, f64),
    example: &'static str,
) -> Result<Option<f64>, UnitError> {
    let value: Option<f64> = whole(text, example)?;
    if value.is_some_and(|v| !(low..=high).contains(&v)) {
        return Err(bad(text, example));
    }
    Ok(value)
}

pub(super) fn stages_by_crop(text: &str) -> Result<BTreeMap<String, u8>, UnitError> {
    const EXAMPLE: &str = "apple 54, peach 51";
    list(text)
        .into_iter()
        .map(|entry| {
            let (crop, bbch) = entry.rsplit_once(' ').ok_or_else(|| bad(&entry, EXAMPLE))?;
            match stage(bbch) {
                Ok(Some(bbch)) => Ok((crop.trim().to_owned(), bbch)),
                _ => Err(bad(&entry, EXAMPLE)),
            }
        })
        .collect()
}

pub(super) fn show_stages(map: &BTreeMap<String, u8>) -> String {
    let all: Vec<String> = map
        .iter()
        .map(|(crop, bbch)| format!("{crop} {bbch}"))
        .collect();
    all.join(", ")
}

pub(super) fn keep_apart(text: &str) -> Result<Vec<KeepApart>, UnitError> {
    const EXAMPLE: &str = "captan 14 d, sulfur 14 d";
    list(text)
        .into_iter()
        .map(|entry| {
            let bare = entry.trim_end_matches("days").trim_end_matches('d').trim();
            let (active, days) = bare.rsplit_once(' ').ok_or_else(|| bad(&entry, EXAMPLE))?;
            let days = days.parse().map_err(|_| bad(&entry, EXAMPLE))?;
            Ok(KeepApart {
                active: active.trim().to_owned(),
                days,
            })
        })
        .collect()
}

pub(super) fn show_apart(all: &[KeepApart]) -> String {
    let all: Vec<String> = all
        .iter()
        .map(|k| format!("{} {} d", k.active, k.days))
        .collect();
    all.join(", ")
}

pub(super) fn reentry(text: &str) -> Result<Option<Reentry>, UnitError> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    if matches!(text.to_lowercase().as_str(), "dry" | "until dry") {
        return Ok(Some(Reentry::UntilDry));
    }
    text.parse().map(|s| Some(Reentry::After(s)))
}

pub(super) fn show_reentry(reentry: Option<Reentry>) -> String {
    match reentry {
        None => String::new(),
        Some(Reentry::UntilDry) => "until dry".to_owned(),
        Some(Reentry::After(span)) => span.to_string(),
    }
}

const FORMS: [(Formulation, &str); 7] = [
    (Formulation::Wp, "WP"),
    (Formulation::Wg, "WG"),
    (Formulation::Sc, "SC"),
    (Formulation::Sp, "SP"),
    (Formulation::Sl, "SL"),
    (Formulation::Ec, "EC"),
    (Formulation::Adjuvant, "ADJUVANT"),
];

pub(super) fn formulation(text: &str) -> Result<Option<Formulation>, UnitError> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    // WDG and DF are other names of the water-dispersible granule.
    let key = match text.to_uppercase().as_str() {
        "WDG" | "DF" => "WG".to_owned(),
        other => other.to_owned(),
    };
    FORMS
        .iter()
        .find(|(_, k)| *k == key)
        .map(|(f, _)| Some(*f))
        .ok_or_else(|| bad(text, "WP, WG, SC, SP, SL, EC or ADJUVANT"))
}

pub(super) fn show_form(form: Option<Formulation>) -> String {
    FORMS
        .iter()
        .find(|(f, _)| Some(*f) == form)
        .map_or_else(String::new, |(_, k)| (*k).to_owned())
}

pub(super) fn organic(text: &str) -> Result<Organic, UnitError> {
    match text.trim().to_lowercase().as_str() {
        "" | "unknown" => Ok(Organic::Unknown),
        "allowed" => Ok(Organic::Allowed),
        "restricted" => Ok(Organic::Restricted),
        "not" | "not allowed" => Ok(Organic::Not),
        _ => Err(bad(text, "allowed, restricted, not or unknown")),
    }
}

pub(super) fn show_organic(organic: Organic) -> String {
    match organic {
        Organic::Allowed => "allowed",
        Organic::Restricted => "restricted",
        Organic::Not => "not",
        Organic::Unknown => "unknown",
    }
    .to_owned()
}

pub(super) fn yes_no(text: &str) -> Result<bool, UnitError> {
    match text.trim().to_lowercase().as_str() {
        "yes" | "true" => Ok(true),
        "" | "no" | "false" => Ok(false),
        _ => Err(bad(text, "yes or no")),
    }
}
