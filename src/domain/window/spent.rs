//! What a label allows in a season, where earlier sprays have taken all of it.

use crate::domain::materials::Actives;
use crate::domain::season::CopperRegime;
use crate::domain::units::Rate;
use crate::domain::uses::copper::{self, EU_SEVEN_YEARS_KG_PER_HA, PastYears, Sum};
use crate::domain::uses::{Use, Uses, count, product};
use std::fmt;

/// A season's limit with no room left for another use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spent {
    /// The label's number of uses.
    Uses(u32),
    /// The label's amount of the product.
    Product(Rate),
    /// Metallic copper, kg/ha.
    Copper(f64),
}

impl fmt::Display for Spent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Uses(1) => f.write_str("the one use its label allows a season"),
            Self::Uses(most) => write!(f, "the {most} uses its label allows a season"),
            Self::Product(most) => write!(f, "the {most} its label allows a season"),
            Self::Copper(most) => write!(f, "the {most:.1} kg/ha of metallic copper allowed"),
        }
    }
}

/// What earlier uses, done and planned, have taken all of; a limit of which only a part is left
/// closes nothing, since a lower rate may still go on.
pub(super) fn spent(uses: &Uses<'_>, used: &Use<'_>) -> Option<Spent> {
    let label = &used.material.label;
    if let Some(most) = label.max_uses
        && count::nth_of_season(uses, used) > most as usize
    {
        return Some(Spent::Uses(most));
    }
    if let Some(most) = label.max_per_season {
        let (before, with) = product::of_season(uses, used, most);
        if is_taken(before.sum, with.sum, 1.0) {
            return Some(Spent::Product(most));
        }
    }
    if !used.kinds.any(Actives::COPPER) {
        return None;
    }
    let own = Sum::of_task(uses, used).kg_per_ha;
    let taken = |sum: f64, most: f64| is_taken(sum - own, sum, most).then_some(Spent::Copper(most));
    let of_label = copper::season_limit(uses, used).and_then(|(most, _)| {
        let (sum, ..) = copper::fuller_year(uses, used);
        taken(sum.kg_per_ha, most)
    });
    of_label.or_else(|| {
        let orchard = &uses.season.orchard;
        if orchard.copper_regime != CopperRegime::EuSevenYears {
            return None;
        }
        let past = PastYears::of(orchard, used.block).kg_per_ha();
        let sum = copper::to(uses, used, uses.season.starts()).kg_per_ha;
        taken(past + sum, EU_SEVEN_YEARS_KG_PER_HA)
    })
}

/// Was all of a limit taken before a use that adds to it?
fn is_taken(before: f64, with: f64, most: f64) -> bool {
    before >= most * (1.0 - 1e-9) && with > most * (1.0 + 1e-9) + 1e-12
}
