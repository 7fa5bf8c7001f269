//! The last stage at which a use still makes sense, and the last safe day before it.
//!
//! The trade has two deadlines, not one: copper for leaf curl must be on before buds swell, oil for
//! scale, mite and aphid eggs works best from swell to a last stage of its own. So the deadline
//! rests on label, target, active and kind of tree. The label and the target's own row go before
//! common practice; of those two the stricter rules.

use super::edge::{By, Edge, EdgeKind};
use crate::domain::materials::Actives;
use crate::domain::phenology::species::Species;
use crate::domain::season::{Block, Material};
use crate::domain::sources;
use crate::domain::targets::TargetView;
use crate::domain::uses::Uses;
use chrono::{Days, NaiveDate};

/// The stage whose beginning ends a use, and who says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit<'a> {
    /// BBCH stage whose beginning ends the window.
    pub bbch: u8,
    /// Who says so.
    pub by: By<'a>,
    /// The end of the strictest handbook on oil where it comes earlier: a caution, no stop.
    pub practice: Option<u8>,
}

impl<'a> Limit<'a> {
    /// The limit of a material on a block against targets.
    pub(super) fn of(
        material: &Material,
        kinds: Actives,
        block: &Block,
        targets: &[TargetView<'a>],
    ) -> Self {
        let species = block.species;
        let label = &material.label;
        let by_label = label
            .last_stage_by_crop
            .get(species.words())
            .copied()
            .or(label.last_stage)
            .map(behind);
        let mut strictest = by_label.map(|bbch| (bbch, By::Label));
        for view in targets {
            if let Some((bbch, source)) = view.last_stage()
                && strictest.is_none_or(|(s, _)| bbch < s)
            {
                strictest = Some((bbch, By::Target(*view, source)));
            }
        }
        let (common, strict) = common_practice(kinds, species);
        let source = match (common > 51, kinds.any(Actives::OIL)) {
            (true, _) => &sources::OIL_LAST_STAGE,
            (false, true) => &sources::OIL_LAST_STAGE_STRICT,
            (false, false) => &sources::BARE_WOOD,
        };
        let (bbch, by) = strictest.unwrap_or((common, By::Practice(source)));
        Self {
            bbch,
            by,
            // Bare wood is common practice without a source: a target's published stage goes
            // before it. On oil handbooks differ.
            practice: (by_label.is_none() && kinds.any(Actives::OIL) && strict < bbch)
                .then_some(strict),
        }
    }

    /// Must it be over before buds swell?
    pub const fn is_before_swell(&self) -> bool {
        self.bbch <= 51
    }
}

/// A label's last stage is one at which it is still allowed, so the next one ends it. "Dormant"
/// and "up to swell" both mean bare wood.
const fn behind(last_allowed: u8) -> u8 {
    if last_allowed <= 51 {
        51
    } else {
        last_allowed.saturating_add(1)
    }
}

/// What the trade does where neither label nor target says, and the strictest handbook beside it:
/// oils up to a stage by kind of tree (half-inch green, cluster bud, white bud, before bloom),
/// everything else on bare wood only. On peach and its kin one handbook lets oil go from the
/// swollen bud to before bloom and another only while they are dormant: both are said.
fn common_practice(kinds: Actives, species: Species) -> (u8, u8) {
    let oil = kinds.any(Actives::OIL);
    match species {
        Species::Apple if oil => (54, 54),
        Species::Pear | Species::AsianPear if oil => (55, 55),
        Species::SweetCherry | Species::SourCherry if oil => (57, 57),
        Species::Peach | Species::Nectarine if oil => (57, 51),
        // The handbook names peach and nectarine; for their kin an earlier end is our inference.
        Species::Apricot | Species::EuropeanPlum | Species::JapanesePlum | Species::Almond
            if oil =>
        {
            (55, 51)
        }
        _ => (51, 51),
    }
}

/// The last safe day before a stage: by what the owner accepts and, before swell, by guard days.
pub(super) fn last_safe(uses: &Uses<'_>, block_ix: usize, bbch: u8) -> Option<NaiveDate> {
    let block = uses.season.blocks.get(block_ix)?;
    let guard = if bbch <= 51 {
        uses.guard_days(block)
    } else {
        0
    };
    Some(
        uses.stage(block_ix, bbch)?
            .last_safe(uses.tolerance(), guard),
    )
}

/// The edge of a limit on a block.
pub(super) fn edge<'a>(uses: &Uses<'a>, block_ix: usize, limit: &Limit<'a>) -> Option<Edge<'a>> {
    Some(Edge {
        day: last_safe(uses, block_ix, limit.bbch)?,
        kind: EdgeKind::Stage {
            bbch: limit.bbch,
            by: limit.by,
        },
    })
}

/// The last safe day against a target, whatever is sprayed.
pub(super) fn against<'a>(
    uses: &Uses<'a>,
    block_ix: usize,
    view: TargetView<'a>,
) -> Option<Edge<'a>> {
    let (bbch, source) = view.last_stage()?;
    Some(Edge {
        day: last_safe(uses, block_ix, bbch)?,
        kind: EdgeKind::Stage {
            bbch,
            by: By::Target(view, source),
        },
    })
}

/// The day before, held at the calendar's edge.
pub(super) fn before(day: NaiveDate, days: u64) -> NaiveDate {
    day.checked_sub_days(Days::new(days)).unwrap_or(day)
}
