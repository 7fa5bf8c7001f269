//! What overwinters on the trees: the built-in table and the grower's own rows.

use super::season::{Season, TargetId};
use super::sources::{self, Source};

/// A built-in target.
#[derive(Debug, Clone, Copy)]
pub struct Target {
    /// Its id.
    pub id: &'static str,
    /// Its common name.
    pub name: &'static str,
    /// BBCH stage from which treating it is too late.
    pub last_stage: u8,
    /// Where that comes from.
    pub source: &'static Source,
}

/// The built-in targets.
pub static TARGETS: &[Target] = &[
    Target {
        id: "leaf-curl",
        name: "peach leaf curl",
        last_stage: 51,
        source: &sources::LEAF_CURL_BEFORE_SWELL,
    },
    Target {
        id: "scale",
        name: "San Jose scale",
        last_stage: 56,
        source: &sources::OIL_LAST_STAGE,
    },
    Target {
        id: "mite-eggs",
        name: "red mite eggs",
        last_stage: 57,
        source: &sources::OIL_LAST_STAGE,
    },
    Target {
        id: "aphid-eggs",
        name: "aphid eggs",
        last_stage: 57,
        source: &sources::OIL_LAST_STAGE,
    },
];

/// The name of a target, the stage from which it is too late, and the source:
/// the grower's own row first.
pub fn last_stage(season: &Season, id: &TargetId) -> Option<(String, u8, &'static Source)> {
    if let Some(own) = season.targets.iter().find(|t| &t.id == id)
        && let Some(stage) = own.last_stage
    {
        return Some((own.name.clone(), stage, &sources::GROWER));
    }
    TARGETS
        .iter()
        .find(|t| t.id == id.as_str())
        .map(|t| (t.name.to_owned(), t.last_stage, t.source))
}
