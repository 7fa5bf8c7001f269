//! Quantities in fields: read, and said in full.

use crate::domain::season::UnitSystem;
use crate::domain::units::{
    Amount, Area, AreaUnit, Length, Rate, UnitError, Volume, VolumeUnit, plain_number,
};
use crate::tui::form::names;

/// A quantity that a field may hold, or nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// An amount of product, by volume or mass.
    Amount,
    /// Money.
    Price,
    /// A count.
    Count,
    /// Seconds or minutes.
    Time,
    /// A length.
    Length,
    /// Ground.
    Area,
    /// One volume, or several with commas between.
    Volumes,
    /// Spray per ground: `100 gal/acre`.
    SprayPerArea,
}

fn told<T>(read: Result<T, UnitError>) -> Result<T, String> {
    read.map_err(|fault| fault.to_string())
}

/// Nothing where nothing is written, else what it reads as.
pub fn optional<T>(
    text: &str,
    read: impl Fn(&str) -> Result<T, String>,
) -> Result<Option<T>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    read(text).map(Some)
}

/// An amount of product.
pub fn amount(text: &str) -> Result<Amount, String> {
    told(text.trim().parse())
}

/// Metres.
pub fn metres(text: &str) -> Result<f64, String> {
    let length: Length = told(text.trim().parse())?;
    if length.m() > 0.0 {
        Ok(length.m())
    } else {
        Err("a length of nothing; write for instance \"100 ft\" or \"30 m\"".to_owned())
    }
}

/// Hectares.
pub fn hectares(text: &str) -> Result<f64, String> {
    let area: Area = told(text.trim().parse())?;
    if area.ha() > 0.0 {
        Ok(area.ha())
    } else {
        Err("ground of nothing; write for instance \"0.1 acre\" or \"400 m2\"".to_owned())
    }
}

/// Litres, one figure a volume written.
pub fn litres(text: &str) -> Result<Vec<f64>, String> {
    let all: Vec<f64> = text
        .split([',', ';'])
        .map(str::trim)
        .filter(|t| !t.is_empty())
        .map(|t| told(t.parse::<Volume>()).map(|v| v.l()))
        .collect::<Result<_, _>>()?;
    if all.is_empty() || all.iter().any(|l| *l <= 0.0) {
        return Err("write what was caught or used, for instance \"20 fl oz\"".to_owned());
    }
    Ok(all)
}

/// Litres a hectare.
pub fn litres_per_ha(text: &str) -> Result<f64, String> {
    match told(text.trim().parse::<Rate>())? {
        Rate::PerArea(Amount::Volume(v), area) if v.l() > 0.0 => Ok(v.l() / area.ha()),
        _ => Err(
            "write spray on the ground, for instance \"100 gal/acre\" or \"900 L/ha\"".to_owned(),
        ),
    }
}

/// A number above nothing.
pub fn above_nothing(text: &str) -> Result<f64, String> {
    match names::number(text)? {
        n if n > 0.0 => Ok(n),
        _ => Err("write a number above 0".to_owned()),
    }
}

impl Quantity {
    /// What is written, said in SI units where that tells more, or what is wrong.
    pub fn said(self, text: &str, system: UnitSystem) -> Result<String, String> {
        if text.trim().is_empty() {
            return Ok("not given".to_owned());
        }
        let round = |v: f64| plain_number((v * 100.0).round() / 100.0);
        match self {
            Self::Amount => amount(text).map(|a| a.to_string()),
            Self::Price | Self::Count => names::number(text).map(|_| String::new()),
            Self::Time => above_nothing(text).map(|_| String::new()),
            Self::Length => metres(text).map(|m| format!("{} m", round(m))),
            Self::Area => hectares(text).map(|ha| match system {
                UnitSystem::Us => format!(
                    "{} acre",
                    round(Area::new(ha, AreaUnit::Ha).to(AreaUnit::Acre).value)
                ),
                UnitSystem::Metric => format!("{} ha", plain_number((ha * 1e4).round() / 1e4)),
            }),
            Self::Volumes => litres(text).map(|all| {
                let sum: f64 = all.iter().sum();
                let sum = match system {
                    UnitSystem::Us => {
                        let gallons = Volume::new(sum, VolumeUnit::L).to(VolumeUnit::Gal);
                        format!("{} gal", round(gallons.value))
                    }
                    UnitSystem::Metric => format!("{} L", round(sum)),
                };
                match all.len() {
                    1 => sum,
                    n => format!("{n} nozzles, {sum} in all"),
                }
            }),
            Self::SprayPerArea => litres_per_ha(text).map(|l| format!("{} L/ha", round(l))),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_are_told_one_a_nozzle_and_nonsense_is_refused() {
        let said = Quantity::Volumes.said("20 fl oz, 21 fl oz", UnitSystem::Us);
        assert_eq!(said.unwrap(), "2 nozzles, 0.32 gal in all");
        for text in ["0 L", "20", "two", ",", "-1 L"] {
            assert!(litres(text).is_err(), "{text}");
        }
        assert!(litres_per_ha("4 lb/acre").is_err());
        assert!(above_nothing("0").is_err());
        assert_eq!(optional(" ", metres), Ok(None));
    }
}
