//! A material the grower may spray, with what its label says.

use super::{Label, MaterialId};
use crate::domain::units::{Amount, Percent};
use serde::Serialize;

/// The form a product is sold in; sets its place in the mixing order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Formulation {
    /// Wettable powder.
    Wp,
    /// Water-dispersible granule or dry flowable.
    Wg,
    /// Suspension concentrate.
    Sc,
    /// Soluble powder or granule.
    Sp,
    /// Soluble liquid.
    Sl,
    /// Emulsifiable concentrate, oils among them.
    Ec,
    /// Wetting agent or other helper.
    Adjuvant,
}

/// A material: an active in a form, with stock, cost and label.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Material {
    /// Its id.
    pub id: MaterialId,
    /// What the grower calls it (a generic name).
    pub name: String,
    /// The active, in plain words of the built-in list (`horticultural oil`,
    /// `fixed copper`, `lime sulfur`, …) or the grower's own.
    pub active: String,
    /// The form it is sold in.
    pub formulation: Option<Formulation>,
    /// Registration number on the label.
    pub registration: Option<String>,
    /// Share of active in the product, by mass.
    pub active_share: Option<Percent>,
    /// Metallic copper equivalent, by mass of product.
    pub metallic_copper: Option<Percent>,
    /// Density of a liquid, kg/L, where amounts must be converted.
    pub density_kg_per_l: Option<f64>,
    /// What is in the shed.
    pub stock: Option<Amount>,
    /// Smallest pack sold.
    pub pack: Option<Amount>,
    /// Price of one pack, in the grower's money.
    pub pack_price: Option<f64>,
    /// What the label says.
    pub label: Label,
}
