//! The order in which things go into the tank.
//!
//! Oklahoma State University: water and agitation first, then conditioners,
//! dry products, suspensions, soluble liquids, emulsifiable concentrates and
//! oils, wetting agents last; then top up.

use crate::domain::materials::{Actives, actives_of};
use crate::domain::season::{Formulation, Material};
use crate::domain::sources::{self, Source};

/// One step at the tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What to do.
    pub words: String,
    /// Where that comes from.
    pub source: &'static Source,
}

/// The form a material goes in as: as entered, else what its active tells.
pub fn form(material: &Material) -> Option<Formulation> {
    material.formulation.or_else(|| {
        let kinds = actives_of(&material.active);
        if kinds.any(Actives::OIL) {
            Some(Formulation::Ec)
        } else if kinds.any(Actives::LIME_SULFUR) {
            Some(Formulation::Sl)
        } else {
            None
        }
    })
}

/// Materials in the order they go in; those of unknown form come before the
/// concentrates, and a step says to look at the label.
pub fn sorted<'a>(materials: &[&'a Material]) -> Vec<&'a Material> {
    let mut all = materials.to_vec();
    // Oil goes last of the concentrates: it is the one that separates.
    all.sort_by_key(|m| {
        let oil = actives_of(&m.active).any(Actives::OIL);
        match form(m) {
            Some(Formulation::Adjuvant) => (5, false),
            Some(Formulation::Ec) => (4, oil),
            Some(Formulation::Sl) => (3, false),
            None => (3, true),
            Some(Formulation::Sp) => (2, false),
            Some(Formulation::Sc) => (1, false),
            Some(Formulation::Wp | Formulation::Wg) => (0, form(m) == Some(Formulation::Wg)),
        }
    });
    all
}

/// The form in words.
pub fn form_words(form: Option<Formulation>) -> &'static str {
    match form {
        Some(Formulation::Wp) => "wettable powder",
        Some(Formulation::Wg) => "water-dispersible granule",
        Some(Formulation::Sc) => "suspension",
        Some(Formulation::Sp) => "soluble powder",
        Some(Formulation::Sl) => "soluble liquid",
        Some(Formulation::Ec) => "emulsifiable concentrate",
        Some(Formulation::Adjuvant) => "wetting agent",
        None => "form not entered",
    }
}

/// The steps at the tank, from clean tank to spraying.
pub fn steps(materials: &[&Material], water_ph: Option<f64>) -> Vec<Step> {
    let mut out = Vec::new();
    let mut step = |words: String, source: &'static Source| out.push(Step { words, source });
    let sorted = sorted(materials);
    if sorted.len() > 1 {
        step(
            "Jar test first: the same parts in a jar, in this order; shake, let stand 5 to 15 minutes. Flakes, sludge, gel, layers or oil beads: do not mix.".to_owned(),
            &sources::JAR_TEST,
        );
    }
    if let Some(words) = ph_words(&sorted, water_ph) {
        step(words, &sources::COPPER_PH);
    }
    step(
        "Clean tank, half to three quarters full of water, agitation on.".to_owned(),
        &sources::MIX_FILL,
    );
    for material in &sorted {
        let form = form(material);
        let how = match form {
            Some(Formulation::Wp) => "stir to a thin slurry in a bucket first, then add slowly",
            Some(Formulation::Wg) => "add slowly, let it wet and disperse",
            Some(Formulation::Sp) => "dissolve in a bucket first, then add",
            Some(Formulation::Sc) => "shake well, then add",
            Some(Formulation::Sl) => "add",
            Some(Formulation::Ec) => "add slowly with full agitation",
            Some(Formulation::Adjuvant) => "add last",
            None => "its form is not entered: look at its label for its place in the order",
        };
        step(
            format!(
                "{} ({}): {how}; wait until it is mixed.",
                material.name,
                form_words(form)
            ),
            &sources::MIX_ORDER,
        );
    }
    step(
        "Top up with water to the mark.".to_owned(),
        &sources::MIX_ORDER,
    );
    if sorted
        .iter()
        .any(|m| actives_of(&m.active).any(Actives::OIL))
    {
        step(
            "Agitate without a break: oil separates, and separated oil burns.".to_owned(),
            &sources::OIL_AGITATE,
        );
    } else {
        step(
            "Agitate without a break; powders settle.".to_owned(),
            &sources::MIX_ORDER,
        );
    }
    step(
        "Spray it out the same day; never leave a mix standing.".to_owned(),
        &sources::SAME_DAY,
    );
    out
}

fn ph_words(materials: &[&Material], water_ph: Option<f64>) -> Option<String> {
    let low = materials
        .iter()
        .filter_map(|m| {
            m.label.water_ph_min.or_else(|| {
                actives_of(&m.active)
                    .any(Actives::COPPER_HYDROXIDE)
                    .then_some(6.5)
            })
        })
        .reduce(f64::max);
    let high = materials
        .iter()
        .filter_map(|m| {
            m.label
                .water_ph_max
                .or_else(|| actives_of(&m.active).any(Actives::CAPTAN).then_some(7.0))
        })
        .reduce(f64::min);
    let wanted = match (low, high) {
        (Some(l), Some(h)) if (l - h).abs() < 1e-9 => format!("{l}"),
        (Some(l), Some(h)) => format!("between {l} and {h}"),
        (Some(l), None) => format!("{l} or more"),
        (None, Some(h)) => format!("{h} or less"),
        (None, None) => return None,
    };
    Some(match water_ph {
        Some(ph) => format!("Water: pH {wanted} is wanted; {ph} is entered."),
        None => format!("Water: pH {wanted} is wanted: measure it."),
    })
}
