//! The seal of a record: a checksum over what it says and over the seal of
//! the record before it.
//!
//! A seal reads `<own> after <previous>`, for instance
//! `5f0c… after nothing` on the first record. `own` is the SHA-256 (FIPS
//! 180-4), cut to 96 bits, of the previous seal and the record's content in a
//! fixed form. So a season file stays open to hand editing, yet an edited
//! record no longer fits its seal, and a record taken out, put in or moved no
//! longer fits its neighbours. There is no secret in it: it shows slips and
//! plain edits, not a forger who makes every later seal afresh. Against that,
//! note the last seal elsewhere (it is printed on the season report).

use crate::domain::season::{Record, RecordsHead, Season};
use crate::domain::units::plain_number;
use serde_json::Value;
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// What the first record follows.
const NOTHING: &str = "nothing";
const OWN_HEX: usize = 24;

/// A seal taken apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seal {
    /// The checksum of this record.
    pub own: String,
    /// The checksum of the record it was written after; none for the first.
    pub after: Option<String>,
}

impl Seal {
    /// Reads a seal.
    pub fn parse(text: &str) -> Option<Self> {
        let (own, after) = text.trim().split_once(" after ")?;
        let is_sum = |s: &str| s.len() == OWN_HEX && s.chars().all(|c| c.is_ascii_hexdigit());
        let after = after.trim();
        let after = match after {
            NOTHING => None,
            sum if is_sum(sum) => Some(sum.to_owned()),
            _ => return None,
        };
        is_sum(own).then(|| Self {
            own: own.to_owned(),
            after,
        })
    }

    /// The seal as written.
    pub fn text(&self) -> String {
        format!(
            "{} after {}",
            self.own,
            self.after.as_deref().unwrap_or(NOTHING)
        )
    }

    /// The seal of a record written after another.
    pub fn of(record: &Record, after: Option<&str>) -> Self {
        let mut hash = Sha256::new();
        hash.update(b"barewood record 1\n");
        hash.update(after.unwrap_or(NOTHING));
        hash.update(b"\n");
        hash.update(content(record));
        let mut own = String::new();
        for byte in hash.finalize().iter().take(OWN_HEX / 2) {
            let _ = write!(own, "{byte:02x}");
        }
        Self {
            own,
            after: after.map(str::to_owned),
        }
    }
}

/// What a record says, in a form that writing and reading the file, or a field
/// that a later version adds, does not change: empty parts are left out, keys
/// are sorted, numbers are plain, and spaces around a text do not count.
fn content(record: &Record) -> String {
    let mut bare = record.clone();
    bare.seal = None;
    let mut out = String::new();
    if let Ok(value) = serde_json::to_value(&bare) {
        put(&mut out, &value);
    }
    out
}

fn is_empty(value: &Value) -> bool {
    match value {
        Value::Null | Value::Bool(false) => true,
        Value::String(text) => text.trim().is_empty(),
        Value::Array(items) => items.iter().all(is_empty),
        Value::Object(map) => map.values().all(is_empty),
        _ => false,
    }
}

fn put(out: &mut String, value: &Value) {
    match value {
        Value::Null => out.push_str("null"),
        Value::Bool(b) => {
            let _ = write!(out, "{b}");
        }
        Value::Number(n) => out.push_str(&plain_number(n.as_f64().unwrap_or(0.0))),
        Value::String(text) => {
            let text = text.trim().replace("\r\n", "\n");
            out.push_str(&Value::String(text).to_string());
        }
        Value::Array(items) => {
            out.push('[');
            for item in items {
                put(out, item);
                out.push(',');
            }
            out.push(']');
        }
        Value::Object(map) => {
            let mut keys: Vec<&String> = map.keys().collect();
            keys.sort();
            out.push('{');
            for key in keys {
                if let Some(item) = map.get(key).filter(|v| !is_empty(v)) {
                    let _ = write!(out, "{key}:");
                    put(out, item);
                    out.push(',');
                }
            }
            out.push('}');
        }
    }
}

/// The own seals, in file order.
pub(super) fn owns(season: &Season) -> Vec<String> {
    season
        .records
        .iter()
        .filter_map(|r| Seal::parse(r.seal.as_deref()?))
        .map(|seal| seal.own)
        .collect()
}

/// How far the records go now; none where nothing is sealed.
pub fn head(season: &Season) -> Option<RecordsHead> {
    let owns = owns(season);
    Some(RecordsHead {
        count: u32::try_from(owns.len()).unwrap_or(u32::MAX),
        seal: owns.last()?.clone(),
    })
}
