//! A label rate: how much product for how much water, ground or tree.

use super::{Amount, Area, Percent, UnitError, Volume, shown};
use crate::domain::units::quantity::{AreaUnit, VolumeUnit};
use serde::{Serialize, Serializer};
use std::{fmt, str::FromStr};

/// A rate as labels print it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rate {
    /// Share of the finished spray by volume: `2 % v/v`.
    VolumePercent(Percent),
    /// Product per volume of water: `1.5 fl oz/gal`, `8 lb/100 gal`.
    PerVolume(Amount, Volume),
    /// Product per area of ground: `4 lb/acre`.
    PerArea(Amount, Area),
    /// Product per tree: `30 mL/tree`.
    PerTree(Amount),
}

const KNOWN: &str =
    "\"2 % v/v\", \"1.5 fl oz/gal\", \"8 lb/100 gal\", \"4 lb/acre\", \"30 mL/tree\"";

impl FromStr for Rate {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        let unknown = || UnitError::UnknownUnit {
            text: shown(text),
            known: format!("a rate such as {KNOWN}"),
        };
        let lower = text.trim().to_lowercase();
        if lower.contains('%') {
            let bare = lower.replace("v/v", "");
            return bare.trim().parse().map(Self::VolumePercent);
        }
        let (product, per) = text
            .split_once('/')
            .or_else(|| text.split_once(" per "))
            .ok_or_else(unknown)?;
        let amount: Amount = product.trim().parse()?;
        let per = per.trim();
        if per.eq_ignore_ascii_case("tree") {
            return Ok(Self::PerTree(amount));
        }
        let numbered = if per.starts_with(|c: char| c.is_ascii_digit()) {
            per.to_owned()
        } else {
            format!("1 {per}")
        };
        if let Ok(volume) = numbered.parse::<Volume>() {
            return if volume.value > 0.0 {
                Ok(Self::PerVolume(amount, volume))
            } else {
                Err(unknown())
            };
        }
        match numbered.parse::<Area>() {
            Ok(area) if area.value > 0.0 => Ok(Self::PerArea(amount, area)),
            _ => Err(unknown()),
        }
    }
}

fn per(value: f64, label: &str) -> String {
    if (value - 1.0).abs() < 1e-12 {
        label.to_owned()
    } else {
        format!("{} {label}", super::plain_number(value))
    }
}

impl fmt::Display for Rate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::VolumePercent(p) => write!(f, "{p} v/v"),
            Self::PerVolume(a, v) => write!(f, "{a}/{}", per(v.value, VolumeUnit::label(v.unit))),
            Self::PerArea(a, v) => write!(f, "{a}/{}", per(v.value, AreaUnit::label(v.unit))),
            Self::PerTree(a) => write!(f, "{a}/tree"),
        }
    }
}

impl Serialize for Rate {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_and_writes_label_rates() {
        for text in [
            "2 % v/v",
            "1.5 fl oz/gal",
            "8 lb/100 gal",
            "4 lb/acre",
            "30 mL/tree",
            "10 mL/L",
        ] {
            assert_eq!(text.parse::<Rate>().unwrap().to_string(), text);
        }
        assert_eq!("2 %".parse::<Rate>().unwrap().to_string(), "2 % v/v");
    }

    #[test]
    fn refuses_negative_and_unknown_rates() {
        assert!(matches!(
            "-1 lb/acre".parse::<Rate>(),
            Err(UnitError::Negative { .. })
        ));
        assert!(matches!(
            "-2 % v/v".parse::<Rate>(),
            Err(UnitError::Negative { .. })
        ));
        assert!("2 lb".parse::<Rate>().is_err());
        assert!("2 lb/0 gal".parse::<Rate>().is_err());
        assert!("2 lb/fortnight".parse::<Rate>().is_err());
    }
}
