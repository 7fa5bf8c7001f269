//! Gear and re-entry of a mix: the strictest partner rules.

use crate::domain::season::{Material, Reentry};

/// When people may go back in after a mix.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MixReentry {
    /// The longest re-entry interval of the partners, hours.
    pub hours: Option<f64>,
    /// Must the wood be dry too, because a label says so?
    pub until_dry: bool,
    /// Materials whose re-entry is not known.
    pub unknown: Vec<String>,
}

/// The longest re-entry of several materials, as far as their labels give hours.
pub fn reentry_h<'a>(materials: impl Iterator<Item = &'a Material>) -> Option<f64> {
    let hours = materials.filter_map(|m| match m.label.reentry {
        Some(Reentry::After(span)) => Some(span.hours()),
        _ => None,
    });
    hours.max_by(f64::total_cmp)
}

/// The strictest re-entry of several materials.
pub fn reentry<'a>(materials: impl Iterator<Item = &'a Material>) -> MixReentry {
    let mut all = MixReentry::default();
    for material in materials {
        match material.label.reentry {
            Some(Reentry::After(span)) => {
                all.hours = Some(all.hours.unwrap_or(0.0).max(span.hours()));
            }
            Some(Reentry::UntilDry) => all.until_dry = true,
            None if all.unknown.contains(&material.name) => {}
            None => all.unknown.push(material.name.clone()),
        }
    }
    all
}

impl MixReentry {
    /// In plain words.
    pub fn words(&self) -> String {
        let known = match (self.hours, self.until_dry) {
            (Some(h), true) => format!(
                "{} h, and not before it has dried",
                crate::domain::units::plain_number(h)
            ),
            (Some(h), false) => format!(
                "{} h, or until it has dried, whichever is later",
                crate::domain::units::plain_number(h)
            ),
            (None, true) => "until it has dried; look before letting anyone in".to_owned(),
            (None, false) => "not known: keep everyone out until the labels say".to_owned(),
        };
        if self.unknown.is_empty() || (self.hours.is_none() && !self.until_dry) {
            known
        } else {
            format!("{known}; NOT KNOWN for {}", self.unknown.join(", "))
        }
    }
}

/// All the gear that any partner's label asks for, each piece once; and the
/// materials whose gear is not entered.
pub fn gear<'a>(materials: impl Iterator<Item = &'a Material>) -> (Vec<String>, Vec<String>) {
    let mut pieces: Vec<String> = Vec::new();
    let mut unknown: Vec<String> = Vec::new();
    for material in materials {
        if material.label.gear.is_empty() && !unknown.contains(&material.name) {
            unknown.push(material.name.clone());
        }
        for piece in &material.label.gear {
            if !pieces.iter().any(|p| p.eq_ignore_ascii_case(piece)) {
                pieces.push(piece.clone());
            }
        }
    }
    (pieces, unknown)
}
