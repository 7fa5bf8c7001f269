//! What the grower read or saw this season that bears on the estimate.

use super::BlockId;
use crate::domain::units::Temperature;
use chrono::NaiveDate;
use serde::Serialize;

/// A degree-day total from elsewhere, or a look at the buds.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Reading {
    /// A degree-day total as a station or newsletter gives it.
    DegreeDays {
        /// As of the end of this day.
        date: NaiveDate,
        /// The total, in degrees of the base's scale.
        total: f64,
        /// The base.
        base: Temperature,
        /// Counted from the start of this day.
        since: NaiveDate,
        /// Blocks it holds for; empty means all.
        blocks: Vec<BlockId>,
        /// Where it comes from.
        note: Option<String>,
    },
    /// The stage of the buds on a day.
    Buds {
        /// The day looked at.
        date: NaiveDate,
        /// BBCH stage: 0 still tight, 51 swelling, 53 green tip, …
        bbch: u8,
        /// Blocks it holds for; empty means all.
        blocks: Vec<BlockId>,
        /// What was seen.
        note: Option<String>,
        /// A picture of it: a path, from the season's folder where it is not absolute. It is
        /// shown as text and never opened.
        #[serde(skip_serializing_if = "Option::is_none")]
        photo: Option<String>,
    },
}

impl Reading {
    /// The day of the reading.
    pub fn date(&self) -> NaiveDate {
        match self {
            Self::DegreeDays { date, .. } | Self::Buds { date, .. } => *date,
        }
    }

    /// The picture of a look at the buds.
    pub fn photo(&self) -> Option<&str> {
        match self {
            Self::Buds { photo, .. } => photo.as_deref(),
            Self::DegreeDays { .. } => None,
        }
    }

    /// Does it hold for this block?
    pub fn is_for(&self, block: &BlockId) -> bool {
        let (Self::DegreeDays { blocks, .. } | Self::Buds { blocks, .. }) = self;
        blocks.is_empty() || blocks.contains(block)
    }
}
