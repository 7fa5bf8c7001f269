//! The estimate of each kind of tree: what a board with many blocks says at a glance.

use super::{BlockEstimate, Estimates};
use crate::domain::phenology::species::Species;
use crate::domain::season::Season;
use crate::domain::season::starter::Swell;
use chrono::NaiveDate;

/// The swell of one kind of tree: that of its block with the earliest last safe day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpeciesSwell {
    /// The kind of tree.
    pub species: Species,
    /// 1 in 10, even, 9 in 10.
    pub dates: [NaiveDate; 3],
    /// The last safe day.
    pub safe: NaiveDate,
}

/// When the buds of each block move, for a first plan; of a block without an estimate what the
/// earliest of the others has.
pub fn of_blocks(season: &Season, estimates: &Estimates) -> Option<Vec<Swell>> {
    let orchard = &season.orchard;
    let tolerance = orchard.tolerance.fraction();
    let of = |e: &BlockEstimate, guard: u32| Swell {
        last_safe: e.swell.last_safe(tolerance, guard),
        likely: e.swell.p10(),
        about: e.swell.p50(),
        green: e.at_bbch(54).last_safe(tolerance, 0),
    };
    let each: Vec<Option<Swell>> = season
        .blocks
        .iter()
        .map(|b| {
            let guard = b.guard_days.unwrap_or(orchard.guard_days);
            estimates.of(&b.id).map(|e| of(e, guard))
        })
        .collect();
    let earliest = each.iter().flatten().min_by_key(|s| s.last_safe).copied()?;
    Some(each.into_iter().map(|s| s.unwrap_or(earliest)).collect())
}

/// One a species, in the order of their last safe days.
pub(super) fn by_species(season: &Season, estimates: &Estimates) -> Vec<SpeciesSwell> {
    let orchard = &season.orchard;
    let mut found: Vec<SpeciesSwell> = Vec::new();
    for block in &season.blocks {
        let Some(estimate) = estimates.of(&block.id) else {
            continue;
        };
        let swell = &estimate.swell;
        let guard = block.guard_days.unwrap_or(orchard.guard_days);
        let one = SpeciesSwell {
            species: block.species,
            dates: [swell.p10(), swell.p50(), swell.p90()],
            safe: swell.last_safe(orchard.tolerance.fraction(), guard),
        };
        match found.iter_mut().find(|s| s.species == one.species) {
            Some(known) if known.safe <= one.safe => {}
            Some(known) => *known = one,
            None => found.push(one),
        }
    }
    found.sort_by_key(|s| s.safe);
    found
}
