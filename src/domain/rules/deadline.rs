//! The last stage at which a use still makes sense.
//!
//! The trade has two deadlines, not one: copper for leaf curl must be on
//! before buds swell, oil for scale, mite and aphid eggs works best from swell
//! to a last stage of its own. So the deadline hangs on label, target, active
//! and kind of tree, and the strictest of them rules.

use super::facts::Use;
use crate::domain::phenology::species::Species;
use crate::domain::season::Season;
use crate::domain::sources::{self, Source};
use crate::domain::targets;

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

/// The strictest deadline of a use.
pub fn deadline(season: &Season, used: Use<'_>) -> Deadline {
    let mut all = Vec::new();
    let species = used.block.species;
    let label = &used.material.label;
    let by_crop = label
        .last_stage_by_crop
        .get(species.words())
        .copied()
        .or(label.last_stage);
    if let Some(bbch) = by_crop {
        all.push(Deadline {
            bbch,
            because: format!(
                "its label allows {} up to BBCH {bbch} on {}",
                used.material.name,
                species.words()
            ),
            source: &sources::LABEL,
        });
    }
    for id in &used.task.targets {
        if let Some((name, bbch, source)) = targets::last_stage(season, id) {
            all.push(Deadline {
                bbch,
                because: if bbch <= 51 {
                    format!("{name} can only be stopped before buds swell")
                } else {
                    format!("{name} is past treating from BBCH {bbch}")
                },
                source,
            });
        }
    }
    if by_crop.is_none() {
        all.push(default_for(&used.material.active, species));
    }
    all.into_iter()
        .min_by_key(|d| d.bbch)
        .unwrap_or_else(|| default_for("", species))
}

/// What the trade does where neither label nor target says: oils up to a stage
/// by kind of tree, everything else on bare wood only.
fn default_for(active: &str, species: Species) -> Deadline {
    let oil = active.to_lowercase().contains("oil");
    let (bbch, words) = match species {
        Species::Apple if oil => (54, "half-inch green"),
        Species::Pear | Species::AsianPear if oil => (55, "cluster bud"),
        Species::SweetCherry | Species::SourCherry if oil => (57, "white bud"),
        // The sources disagree (while dormant, or up to pink): the stricter one rules until a label says more.
        _ => (51, "first swelling"),
    };
    if bbch > 51 {
        return Deadline {
            bbch,
            because: format!(
                "oil on {} is commonly used up to {words} (BBCH {bbch})",
                species.words()
            ),
            source: &sources::OIL_LAST_STAGE,
        };
    }
    let source = if oil {
        &sources::OIL_LAST_STAGE_STRICT
    } else {
        &sources::BARE_WOOD
    };
    Deadline {
        bbch,
        because: "its label gives no last stage here, so bare wood is taken as the limit"
            .to_owned(),
        source,
    }
}
