//! Starting points by active. None of them is a label.
//!
//! Only what sources agree on is filled in: form, usual dormant rate, standing
//! under organic rules. Crops, registration, gear, limits, partners and days
//! apart are the label's alone and stay empty: until they are entered the
//! rules use the common readings and say so. Re-entry hours were found from
//! memory only and stay empty too.

use crate::domain::season::{Formulation, Label, Material, MaterialId, Organic};
use crate::domain::sources::{self, Source};
use crate::domain::units::{Percent, PercentUnit, Rate};

/// A form of fixed copper and the share of copper in the pure compound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CopperForm {
    /// Its name.
    pub name: &'static str,
    /// Its formula.
    pub formula: &'static str,
    /// Copper in the pure compound, by mass, from standard atomic weights.
    pub copper_share: f64,
}

impl CopperForm {
    /// Every form, as products name them.
    pub const ALL: [Self; 4] = [
        Self {
            name: "copper hydroxide",
            formula: "Cu(OH)2",
            copper_share: 0.651,
        },
        Self {
            name: "copper sulfate pentahydrate",
            formula: "CuSO4.5H2O",
            copper_share: 0.255,
        },
        Self {
            name: "cuprous oxide",
            formula: "Cu2O",
            copper_share: 0.888,
        },
        Self {
            name: "copper oxychloride",
            formula: "3Cu(OH)2.CuCl2",
            copper_share: 0.595,
        },
    ];

    /// Metallic copper in a product with so much of the compound in it.
    pub fn metallic(&self, share_of_product: f64) -> f64 {
        self.copper_share * share_of_product
    }
}

/// A starting point by active.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Starter {
    /// Its id, also the id of the material made from it.
    pub id: &'static str,
    /// A generic name.
    pub name: &'static str,
    /// The active.
    pub active: &'static str,
    /// The form it is mostly sold in.
    pub formulation: Option<Formulation>,
    /// Active in the product, percent.
    pub active_percent: Option<f64>,
    /// Metallic copper in the product, percent.
    pub metallic_percent: Option<f64>,
    /// The usual dormant rate, where sources give one.
    pub rate: Option<&'static str>,
    /// Standing under organic rules.
    pub organic: Organic,
    /// What to know.
    pub note: &'static str,
    /// Where the figures come from.
    pub source: &'static Source,
}

const BLANK: Starter = Starter {
    id: "",
    name: "",
    active: "",
    formulation: None,
    active_percent: None,
    metallic_percent: None,
    rate: None,
    organic: Organic::Unknown,
    note: "",
    source: &sources::LABEL,
};

const COPPER: Starter = Starter {
    organic: Organic::Restricted,
    note: "Compare copper products by their metal, never by their weight.",
    source: &sources::COPPER_FORMULA,
    ..BLANK
};

/// The built-in starting points.
pub static STARTERS: &[Starter] = &[
    Starter {
        id: "horticultural-oil",
        name: "horticultural oil",
        active: "horticultural oil",
        formulation: Some(Formulation::Ec),
        rate: Some("2 % v/v"),
        organic: Organic::Allowed,
        note: "Trees dormant and well watered; no frost within a day; agitate without a break. Kept from sulfur and captan until its label says how long.",
        source: &sources::OIL_RATES,
        ..BLANK
    },
    Starter {
        id: "copper-hydroxide",
        name: "copper hydroxide, 77 %",
        active: "fixed copper (copper hydroxide)",
        formulation: Some(Formulation::Wp),
        active_percent: Some(77.0),
        metallic_percent: Some(50.0),
        source: &sources::COPPER_LABEL_MCE,
        ..COPPER
    },
    Starter {
        id: "copper-oxychloride",
        name: "copper oxychloride",
        active: "fixed copper (copper oxychloride)",
        formulation: Some(Formulation::Wp),
        note: "Enter the metallic equivalent from the label: 59.5 % of the pure compound, times its share in the product.",
        ..COPPER
    },
    Starter {
        id: "cuprous-oxide",
        name: "cuprous oxide",
        active: "fixed copper (cuprous oxide)",
        formulation: Some(Formulation::Wg),
        note: "Enter the metallic equivalent from the label: 88.8 % of the pure compound, times its share in the product.",
        ..COPPER
    },
    Starter {
        id: "copper-sulfate",
        name: "copper sulfate",
        active: "copper sulfate",
        formulation: Some(Formulation::Sp),
        active_percent: Some(100.0),
        metallic_percent: Some(25.5),
        note: "Burns when used alone; for Bordeaux mixture with hydrated lime.",
        ..COPPER
    },
    Starter {
        id: "copper-soap",
        name: "copper soap",
        active: "copper soap",
        formulation: Some(Formulation::Sc),
        note: "Carries little metal: compare by metallic copper.",
        ..COPPER
    },
    Starter {
        id: "bordeaux",
        name: "Bordeaux mixture",
        active: "bordeaux mixture",
        formulation: Some(Formulation::Wp),
        note: "Freshly made beats packaged; used at once.",
        source: &sources::CAPTAN_ALKALINE,
        ..COPPER
    },
    Starter {
        id: "lime-sulfur",
        name: "lime sulfur",
        active: "lime sulfur",
        formulation: Some(Formulation::Sl),
        organic: Organic::Allowed,
        note: "Corrosive. NEVER with acids: toxic gas. In the United States not for home use.",
        source: &sources::LIME_SULFUR_MIX,
        ..BLANK
    },
    Starter {
        id: "wettable-sulfur",
        name: "wettable sulfur",
        active: "sulfur",
        formulation: Some(Formulation::Wp),
        organic: Organic::Allowed,
        source: &sources::OIL_SULFUR,
        ..BLANK
    },
    Starter {
        id: "urea",
        name: "urea",
        active: "urea",
        formulation: Some(Formulation::Sp),
        rate: Some("50 g/L"),
        organic: Organic::Not,
        note: "5 % on leaves after harvest, before they drop; to the litter by ground boom later.",
        source: &sources::UREA_RATE,
        ..BLANK
    },
    Starter {
        id: "captan",
        name: "captan",
        active: "captan",
        formulation: Some(Formulation::Wg),
        organic: Organic::Not,
        note: "Oil carries it into the plant and it burns.",
        source: &sources::OIL_CAPTAN,
        ..BLANK
    },
    Starter {
        id: "chlorothalonil",
        name: "chlorothalonil",
        active: "chlorothalonil",
        formulation: Some(Formulation::Sc),
        organic: Organic::Not,
        source: &sources::OIL_CHLOROTHALONIL,
        ..BLANK
    },
    Starter {
        id: "kaolin",
        name: "kaolin particle film",
        active: "kaolin",
        formulation: Some(Formulation::Wp),
        source: &sources::PSYLLA,
        ..BLANK
    },
    Starter {
        id: "hydrated-lime",
        name: "hydrated lime",
        active: "hydrated lime",
        formulation: Some(Formulation::Wp),
        organic: Organic::Restricted,
        source: &sources::CAPTAN_ALKALINE,
        ..BLANK
    },
];

/// The starting point with this id.
pub fn starter(id: &str) -> Option<&'static Starter> {
    STARTERS.iter().find(|s| s.id == id)
}

/// Every starting point as a material, marked as not a label.
pub fn starters() -> Vec<Material> {
    STARTERS.iter().map(Starter::material).collect()
}

impl Starter {
    /// A material made from it, marked as not a label.
    pub fn material(&self) -> Material {
        let percent = |p: Option<f64>| p.map(|p| Percent::new(p, PercentUnit::Percent));
        Material {
            id: MaterialId::from(self.id),
            name: self.name.to_owned(),
            active: self.active.to_owned(),
            formulation: self.formulation,
            registration: None,
            active_share: percent(self.active_percent),
            metallic_copper: percent(self.metallic_percent),
            density_kg_per_l: None,
            stock: None,
            pack: None,
            pack_price: None,
            label: Label {
                generic: true,
                rate: self.rate.and_then(|r| r.parse::<Rate>().ok()),
                organic: self.organic,
                notes: Some(format!(
                    "Starting point, not a label. {} {}",
                    self.note,
                    self.source.line()
                )),
                ..Label::default()
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn every_starting_point_is_marked_and_its_rate_can_be_read() {
        for (starter, material) in STARTERS.iter().zip(starters()) {
            assert!(material.label.generic, "{}", starter.id);
            assert!(material.label.read_on.is_none());
            assert!(material.label.reentry.is_none() && material.label.crops.is_empty());
            assert_eq!(
                material.label.rate.is_some(),
                starter.rate.is_some(),
                "{}",
                starter.id
            );
        }
    }

    // Standard atomic weights (IUPAC): Cu 63.546, O 15.999, H 1.008, S 32.06, Cl 35.45.
    #[test]
    fn copper_shares_follow_from_atomic_weights() {
        let (cu, o, h, s, cl) = (63.546, 15.999, 1.008, 32.06, 35.45);
        let hydroxide = cu + 2.0 * (o + h);
        let by_weight = [
            cu / hydroxide,
            cu / (cu + s + 4.0 * o + 5.0 * (2.0 * h + o)),
            2.0 * cu / (2.0 * cu + o),
            4.0 * cu / (3.0 * hydroxide + cu + 2.0 * cl),
        ];
        for (form, share) in CopperForm::ALL.iter().zip(by_weight) {
            assert_relative_eq!(form.copper_share, share, epsilon = 6e-4);
        }
        // A US label prints 50 % metallic for 77 % hydroxide.
        assert_relative_eq!(CopperForm::ALL[0].metallic(0.77), 0.50, epsilon = 2e-3);
    }
}
