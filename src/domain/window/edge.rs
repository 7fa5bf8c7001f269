//! What opens or closes a window.

use crate::domain::season::Material;
use crate::domain::sources::{self, Source};
use crate::domain::targets::TargetView;
use chrono::NaiveDate;

/// Who says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum By<'a> {
    /// The product's label.
    Label,
    /// The row of a target.
    Target(TargetView<'a>, &'static Source),
    /// Common practice for this kind of tree and active.
    Practice(&'static Source),
}

impl By<'_> {
    /// Where that comes from.
    pub fn source(&self) -> &'static Source {
        match self {
            Self::Label => &sources::LABEL,
            Self::Target(_, source) | Self::Practice(source) => source,
        }
    }
}

/// What an edge rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EdgeKind<'a> {
    /// All leaves are down: seen, or expected.
    LeafDrop {
        /// Was it seen?
        seen: bool,
    },
    /// Part of the leaves are down: so many days before leaf drop.
    Leaves {
        /// The stage.
        bbch: u8,
    },
    /// A stage of the buds: opening from it, closing when it begins.
    Stage {
        /// The stage.
        bbch: u8,
        /// Who says so.
        by: By<'a>,
    },
    /// Weeks before the last safe day: before swell, the later the better.
    LateWinter,
    /// The shortest time between two uses.
    Interval {
        /// What was used before.
        name: &'a str,
        /// On which day.
        on: NaiveDate,
        /// Days asked for.
        days: i64,
    },
    /// Days kept apart from another active.
    Apart {
        /// What was used before.
        name: &'a str,
        /// On which day.
        on: NaiveDate,
        /// Days asked for.
        days: i64,
        /// Where it comes from.
        source: &'static Source,
        /// Does a label say so?
        by_label: bool,
    },
    /// Nobody may go in yet after another spray.
    ReEntry {
        /// What was sprayed.
        title: &'a str,
        /// On which day.
        on: NaiveDate,
    },
}

impl EdgeKind<'_> {
    /// Can nothing be done about it? A likely date of a stage is not firm, nor is a custom of the
    /// trade; nor re-entry, since who sprays may go in with the gear that the label names.
    pub const fn is_firm(&self) -> bool {
        match self {
            Self::LeafDrop { .. } | Self::Interval { .. } => true,
            Self::Apart { by_label, .. } => *by_label,
            Self::Leaves { .. } | Self::LateWinter | Self::ReEntry { .. } => false,
            Self::Stage { by, .. } => matches!(by, By::Label),
        }
    }

    /// Does it rest on where another spray lies? Whoever moves several at once keeps those
    /// distances himself.
    pub const fn is_distance(&self) -> bool {
        matches!(
            self,
            Self::Interval { .. } | Self::Apart { .. } | Self::ReEntry { .. }
        )
    }
}

/// One side of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge<'a> {
    /// The first day it is open; or the last safe day.
    pub day: NaiveDate,
    /// What it rests on.
    pub kind: EdgeKind<'a>,
}

impl Edge<'_> {
    /// Where it comes from.
    pub fn source(&self) -> &'static Source {
        match self.kind {
            EdgeKind::LeafDrop { .. } => &sources::LEAF_DROP_START,
            EdgeKind::Leaves { .. } => &sources::LEAF_FALL_PACE,
            EdgeKind::Stage { by, .. } => by.source(),
            EdgeKind::LateWinter => &sources::LATE_WINTER,
            EdgeKind::Apart { source, .. } => source,
            EdgeKind::Interval { .. } | EdgeKind::ReEntry { .. } => &sources::LABEL,
        }
    }
}

/// A stage by its name with its number behind it.
pub(crate) fn stage_words(bbch: u8) -> String {
    let name = match bbch {
        0..=50 => "dormant",
        51 => "bud swell",
        52 => "the end of swelling",
        53 => "first green",
        54 => "half-inch green",
        55 => "cluster bud",
        56 => "tight cluster",
        57 => "pink or white bud",
        58 | 59 => "open cluster",
        60..=64 => "first bloom",
        65..=69 => "full bloom",
        91 | 92 => "first leaf colour",
        93 | 94 => "early leaf fall",
        95 | 96 => "half leaf fall",
        97.. => "leaf drop",
        _ => "after bloom",
    };
    format!("{name} (BBCH {bbch})")
}

/// Why a window closes, as a clause.
pub(crate) fn closes_because(edge: &Edge<'_>, material: Option<&Material>) -> String {
    let it = material.map_or("it", |m| m.name.as_str());
    match edge.kind {
        EdgeKind::Stage { bbch, by } => match by {
            By::Label if bbch <= 51 => format!("the label of {it} asks for bare wood"),
            By::Label => format!(
                "the label allows {it} through {}",
                stage_words(bbch.saturating_sub(1))
            ),
            By::Target(view, _) if bbch <= 51 => {
                format!("{} can only be stopped before buds swell", view.name())
            }
            By::Target(view, _) => {
                format!(
                    "{} is past treating from {}",
                    view.name(),
                    stage_words(bbch)
                )
            }
            By::Practice(_) if bbch <= 51 => {
                format!("the label of {it} gives no last stage here, so bare wood is the limit")
            }
            By::Practice(_) => format!("{it} is commonly used up to {}", stage_words(bbch)),
        },
        _ => String::new(),
    }
}
