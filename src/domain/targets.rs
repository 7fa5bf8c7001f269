//! What overwinters on the trees: the built-in table and the grower's own rows.
//!
//! Stage numbers in the table are a mapping of ours from the words of the
//! sources onto the BBCH scale (see [`BBCH_NOTE`]); a grower's own row with
//! the same id changes a built-in one field by field.

mod diseases;
mod insects;
mod named;
mod threshold;
mod uncontrolled;
mod view;
mod yard;

pub use named::named;
pub use threshold::{LECANIUM_ON_PLUM, Need, Threshold, need, need_on};
pub use view::{TargetView, all, find};

use super::phenology::species::Species;
use super::season::{Lane, Season, TargetId, TaskKind};
use super::sources::{self, Source};

/// What to say beside any stage number of the table.
pub const BBCH_NOTE: &str =
    "The sources give stages in words; the BBCH number is a mapping of ours, not confirmed.";

/// What kind of thing a target is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A fungus, bacterium or the like.
    Disease,
    /// An insect.
    Insect,
    /// A mite.
    Mite,
    /// Anything else.
    Other,
}

/// How far a dormant spray gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Control {
    /// It is what the trade relies on.
    Good,
    /// It helps, or fails in some places: never the only measure.
    Partial,
    /// It does not control it; other work does.
    None,
}

/// A lane in which a treatment works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaneWindow {
    /// Which lane.
    pub lane: Lane,
    /// Does a treatment in this lane count as covering the target?
    pub key: bool,
    /// BBCH stage from which a treatment in this lane works, where bare wood alone is too early.
    pub opens: Option<u8>,
    /// When in the lane, in the words of the trade.
    pub words: &'static str,
}

/// Work other than spraying that helps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sanitation {
    /// What kind of work.
    pub kind: TaskKind,
    /// In which lane it is done.
    pub lane: Lane,
    /// What to do.
    pub words: &'static str,
}

/// A built-in target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Its id.
    pub id: &'static str,
    /// Its common name.
    pub name: &'static str,
    /// Its scientific name, where it is one thing.
    pub latin: &'static str,
    /// What it is.
    pub kind: Kind,
    /// Where it lives; empty means any tree.
    pub hosts: &'static [Species],
    /// Where it overwinters.
    pub overwinters: &'static str,
    /// Lanes in which a treatment works.
    pub lanes: &'static [LaneWindow],
    /// BBCH stage in autumn from which the window opens, where it opens before
    /// the leaves are down.
    pub first_stage: Option<u8>,
    /// BBCH stage from which treating it is too late.
    pub last_stage: Option<u8>,
    /// Actives that work on it when dormant, in plain words.
    pub actives: &'static [&'static str],
    /// How far a dormant spray gets.
    pub control: Control,
    /// Work other than spraying that helps.
    pub sanitation: &'static [Sanitation],
    /// The published count that decides whether to treat.
    pub threshold: Option<Threshold>,
    /// What to know before relying on this row.
    pub caveat: &'static str,
    /// Where it comes from.
    pub source: &'static Source,
}

/// Every built-in target, in the order shown: diseases, insects and mites,
/// then what no dormant spray controls.
pub fn built_in() -> impl Iterator<Item = &'static Target> {
    diseases::ROWS
        .iter()
        .chain(insects::ROWS)
        .chain(yard::ROWS)
        .chain(uncontrolled::ROWS)
}

/// The name of a target, the stage from which it is too late, and the source:
/// the grower's own row first.
pub fn last_stage(season: &Season, id: &TargetId) -> Option<(String, u8, &'static Source)> {
    let view = find(season, id)?;
    let (stage, source) = view.last_stage()?;
    Some((view.name().to_owned(), stage, source))
}

/// Shorthands for the tables.
mod row {
    use super::{Control, Kind, Lane, LaneWindow, Sanitation, Target, TaskKind, sources};

    pub(super) const fn key(lane: Lane, words: &'static str) -> LaneWindow {
        LaneWindow {
            lane,
            key: true,
            opens: None,
            words,
        }
    }
    /// The same where a treatment works from a stage on.
    pub(super) const fn key_from(lane: Lane, opens: u8, words: &'static str) -> LaneWindow {
        LaneWindow {
            lane,
            key: true,
            opens: Some(opens),
            words,
        }
    }
    pub(super) const fn also(lane: Lane, words: &'static str) -> LaneWindow {
        LaneWindow {
            lane,
            key: false,
            opens: None,
            words,
        }
    }
    pub(super) const fn work(kind: TaskKind, lane: Lane, words: &'static str) -> Sanitation {
        Sanitation { kind, lane, words }
    }
    pub(super) const BLANK: Target = Target {
        id: "",
        name: "",
        latin: "",
        kind: Kind::Other,
        hosts: &[],
        overwinters: "",
        lanes: &[],
        first_stage: None,
        last_stage: None,
        actives: &[],
        control: Control::Good,
        sanitation: &[],
        threshold: None,
        caveat: "",
        source: &sources::GROWER,
    };
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn rows_are_whole_and_ids_are_unique() {
        let mut ids = BTreeSet::new();
        for row in built_in() {
            assert!(ids.insert(row.id), "{} twice", row.id);
            assert!(!row.name.is_empty() && !row.source.cite.is_empty());
            assert_ne!(row.source, &sources::GROWER, "{}", row.id);
            if row.control == Control::None {
                assert!(row.actives.is_empty() && row.lanes.is_empty(), "{}", row.id);
            } else {
                assert!(!row.actives.is_empty(), "{}", row.id);
                assert!(row.lanes.iter().any(|l| l.key), "{}", row.id);
            }
        }
        assert!(ids.len() >= 36);
        for id in ["leaf-curl", "scale", "mite-eggs", "aphid-eggs"] {
            assert!(ids.contains(id));
        }
    }
}
