//! A label rate: how much product for how much water, ground or tree.

use super::{Amount, Area, Percent, UnitError, Volume, shown};
use crate::domain::units::quantity::{A_IS_NOT_CLEAR, AreaUnit, MassUnit, VolumeUnit};
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
        match numbered.parse::<Volume>() {
            Ok(volume) if volume.value > 0.0 => {
                let says_us = product.to_lowercase().contains("us");
                let amount = if says_us {
                    amount
                } else {
                    alike(amount, volume)
                };
                return Ok(Self::PerVolume(amount, volume));
            }
            Ok(_) => return Err(unknown()),
            Err(UnitError::UnknownUnit { .. }) => {}
            Err(other) => return Err(other),
        }
        match numbered.parse::<Area>() {
            // "4 lb/a" is an acre to whoever weighs in pounds, and an are by its symbol.
            Ok(area) if area.unit == AreaUnit::Are && is_a(per) && is_us(amount) => {
                Err(UnitError::NotClear {
                    text: shown(text),
                    why: A_IS_NOT_CLEAR,
                })
            }
            Ok(area) if area.value > 0.0 => Ok(Self::PerArea(amount, area)),
            Err(doubt @ (UnitError::NotClear { .. } | UnitError::TwoReadings { .. })) => Err(doubt),
            _ => Err(unknown()),
        }
    }
}

/// Ounces and pints per imperial gallon are imperial ones.
fn alike(amount: Amount, per: Volume) -> Amount {
    let imperial = |unit| match unit {
        VolumeUnit::Gal => VolumeUnit::ImpGal,
        VolumeUnit::Qt => VolumeUnit::ImpQt,
        VolumeUnit::Pt => VolumeUnit::ImpPt,
        VolumeUnit::FlOz => VolumeUnit::ImpFlOz,
        other => other,
    };
    match (amount, per.unit) {
        (
            Amount::Volume(v),
            VolumeUnit::ImpGal | VolumeUnit::ImpQt | VolumeUnit::ImpPt | VolumeUnit::ImpFlOz,
        ) => Amount::Volume(Volume::new(v.value, imperial(v.unit))),
        _ => amount,
    }
}

/// Is the area given by the bare letter?
fn is_a(per: &str) -> bool {
    per.trim_start_matches(|c: char| !c.is_alphabetic()).trim() == "a"
}

/// Is the product measured in pounds, ounces or gallons?
fn is_us(amount: Amount) -> bool {
    match amount {
        Amount::Volume(v) => !matches!(v.unit, VolumeUnit::L | VolumeUnit::Ml),
        Amount::Mass(m) => !matches!(m.unit, MassUnit::Kg | MassUnit::G),
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
            Self::PerVolume(a, v) => {
                let per = per(v.value, VolumeUnit::label(v.unit));
                match a {
                    // Bare pints per imperial gallon would be read as imperial ones.
                    Amount::Volume(us) if alike(*a, *v) != *a => {
                        let number = super::plain_number(us.value);
                        write!(f, "{number} us {}/{per}", VolumeUnit::label(us.unit))
                    }
                    _ => write!(f, "{a}/{per}"),
                }
            }
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

    // The are is 100 m2: 1 kg per 10 a is 10 kg/ha.
    #[test]
    fn rates_by_the_are_are_read_and_an_a_of_pounds_asks() {
        let Ok(Rate::PerArea(Amount::Mass(kg), area)) = "1 kg/10 a".parse::<Rate>() else {
            panic!("no rate by area");
        };
        assert!((kg.kg() / area.ha() - 10.0).abs() < 1e-9);
        for text in ["4 lb/a", "4 lb/A", "2 kg/A", "3 qt/a", "4 lb/10 a"] {
            let error = text.parse::<Rate>().unwrap_err();
            assert!(
                matches!(error, UnitError::NotClear { .. }),
                "{text}: {error}"
            );
            assert!(error.to_string().contains("acre"), "{error}");
        }
        assert!("4 lb/are".parse::<Rate>().is_ok());
    }

    #[test]
    fn rates_have_decimal_commas_and_imperial_gallons() {
        for (text, read) in [
            ("1,5 l/ha", "1.5 L/ha"),
            ("10 fl oz/imp gal", "10 imp fl oz/imp gal"), // 6.25 mL/L
            ("1 us pt/imp gal", "1 us pt/imp gal"),
            ("0,5 kg/100 l", "0.5 kg/100 L"),
            ("6 oz wt/gal", "6 oz wt/gal"),
        ] {
            assert_eq!(text.parse::<Rate>().unwrap().to_string(), read);
        }
        assert!(matches!(
            "1.500 l/ha".parse::<Rate>(),
            Err(UnitError::TwoReadings { .. })
        ));
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
