//! The last stage at which a use still makes sense.
//!
//! The trade has two deadlines, not one: copper for leaf curl must be on
//! before buds swell, oil for scale, mite and aphid eggs works best from swell
//! to a last stage of its own. So the deadline hangs on label, target, active
//! and kind of tree, and the strictest of them rules.

use super::facts::{Facts, Use};
use crate::domain::materials::Actives;
use crate::domain::phenology::species::Species;
use crate::domain::sources::{self, Source};
use crate::domain::targets::TargetView;

/// The last stage of a use, with the reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Deadline {
    /// BBCH stage whose beginning ends the window.
    pub bbch: u8,
    /// Why, in plain words.
    pub because: String,
    /// Where that comes from.
    pub source: &'static Source,
}

impl Deadline {
    /// Is bare wood the condition: must the use be over before buds swell?
    pub fn is_before_swell(&self) -> bool {
        self.bbch <= 51
    }
}

/// Which of the limits is the strictest: numbers only, words when asked.
#[derive(Debug, Clone, Copy)]
pub(super) enum Limit<'a> {
    Label(u8),
    Target(u8, TargetView<'a>, &'static Source),
    Common(u8),
}

impl<'a> Limit<'a> {
    pub(super) fn bbch(self) -> u8 {
        match self {
            Self::Label(bbch) | Self::Target(bbch, ..) | Self::Common(bbch) => bbch,
        }
    }

    /// The strictest limit of a use: of equals the label speaks first, then
    /// the targets, then common practice.
    pub(super) fn of(facts: &Facts<'a>, used: &Use<'a>) -> Self {
        let species = used.block.species;
        let label = &used.material.label;
        let by_label = label
            .last_stage_by_crop
            .get(species.words())
            .copied()
            .or(label.last_stage);
        let mut strictest = by_label.map(Limit::Label);
        for view in facts.targets_of(used) {
            if let Some((bbch, source)) = view.last_stage()
                && strictest.is_none_or(|s| bbch < s.bbch())
            {
                strictest = Some(Limit::Target(bbch, *view, source));
            }
        }
        if by_label.is_none() {
            let common = common_practice(used.kinds, species);
            if strictest.is_none_or(|s| common < s.bbch()) {
                strictest = Some(Limit::Common(common));
            }
        }
        strictest.unwrap_or(Limit::Common(51))
    }

    pub(super) fn in_words(self, used: &Use<'_>) -> Deadline {
        let species = used.block.species.words();
        match self {
            Self::Label(bbch) => Deadline {
                bbch,
                because: format!(
                    "its label allows {} up to BBCH {bbch} on {species}",
                    used.material.name
                ),
                source: &sources::LABEL,
            },
            Self::Target(bbch, view, source) => Deadline {
                bbch,
                because: if bbch <= 51 {
                    format!("{} can only be stopped before buds swell", view.name())
                } else {
                    format!("{} is past treating from BBCH {bbch}", view.name())
                },
                source,
            },
            Self::Common(bbch) if bbch > 51 => Deadline {
                bbch,
                because: format!("oil on {species} is commonly used up to BBCH {bbch}"),
                source: &sources::OIL_LAST_STAGE,
            },
            Self::Common(bbch) => Deadline {
                bbch,
                because: "its label gives no last stage here, so bare wood is taken as the limit"
                    .to_owned(),
                source: if used.kinds.any(Actives::OIL) {
                    &sources::OIL_LAST_STAGE_STRICT
                } else {
                    &sources::BARE_WOOD
                },
            },
        }
    }
}

/// The strictest deadline of a use.
pub fn deadline<'a>(facts: &Facts<'a>, used: &Use<'a>) -> Deadline {
    Limit::of(facts, used).in_words(used)
}

/// What the trade does where neither label nor target says: oils up to a stage
/// by kind of tree (half-inch green, cluster bud, white bud), everything else
/// on bare wood only. Where sources disagree the stricter one rules until a
/// label says more.
fn common_practice(kinds: Actives, species: Species) -> u8 {
    let oil = kinds.any(Actives::OIL);
    match species {
        Species::Apple if oil => 54,
        Species::Pear | Species::AsianPear if oil => 55,
        Species::SweetCherry | Species::SourCherry if oil => 57,
        _ => 51,
    }
}
