//! What the grower read or saw this season: degree days, buds, rain.

use super::BlockId;
use crate::domain::units::{RainDepth, Temperature};
use chrono::NaiveDate;
use serde::Serialize;

/// A degree-day total from elsewhere, a look at the buds, or rain in the gauge.
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
        /// How many of the buds show it.
        #[serde(skip_serializing_if = "HowMany::is_all")]
        how_many: HowMany,
        /// Blocks it holds for; empty means all.
        blocks: Vec<BlockId>,
        /// What was seen.
        note: Option<String>,
        /// A picture of it: a path, from the season's folder where it is not absolute. It is
        /// shown as text and never opened.
        #[serde(skip_serializing_if = "Option::is_none")]
        photo: Option<String>,
    },
    /// The rain of a day, from the grower's own gauge.
    Rain {
        /// The day it fell on.
        date: NaiveDate,
        /// How much.
        rain: RainDepth,
        /// Where the gauge stands, or what else there is to say.
        note: Option<String>,
    },
}

/// How many of the buds show a stage.
///
/// A stage of a stand is reached once half of it shows it ([`BBCH_HALF`]), so `most` counts as
/// `all`; of the `first few` half is still to come.
///
/// [`BBCH_HALF`]: crate::domain::sources::BBCH_HALF
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
pub enum HowMany {
    /// As good as all.
    #[default]
    #[serde(rename = "all")]
    All,
    /// Half or more.
    #[serde(rename = "most")]
    Most,
    /// The first few, fewer than half.
    #[serde(rename = "first few")]
    FirstFew,
}

impl HowMany {
    /// Each of them.
    pub const ALL: [Self; 3] = [Self::All, Self::Most, Self::FirstFew];

    /// Its words, in files and on screens.
    pub fn words(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Most => "most",
            Self::FirstFew => "first few",
        }
    }

    /// Reads the words; `first-few` is as good as `first few`.
    pub fn from_words(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase().replace(['-', '_'], " ");
        Self::ALL.into_iter().find(|h| h.words() == text)
    }

    /// Was nothing said of a doubt?
    pub fn is_all(&self) -> bool {
        *self == Self::All
    }
}

impl Reading {
    /// How many of the buds showed the stage; all where it is no look.
    pub fn how_many(&self) -> HowMany {
        match self {
            Self::Buds { how_many, .. } => *how_many,
            Self::DegreeDays { .. } | Self::Rain { .. } => HowMany::All,
        }
    }

    /// The day of the reading.
    pub fn date(&self) -> NaiveDate {
        match self {
            Self::DegreeDays { date, .. } | Self::Buds { date, .. } | Self::Rain { date, .. } => {
                *date
            }
        }
    }

    /// The picture of a look at the buds.
    pub fn photo(&self) -> Option<&str> {
        match self {
            Self::Buds { photo, .. } => photo.as_deref(),
            Self::DegreeDays { .. } | Self::Rain { .. } => None,
        }
    }

    /// The same without a block; `None` where it was for that one alone.
    pub fn without(mut self, block: &BlockId) -> Option<Self> {
        let (Self::DegreeDays { blocks, .. } | Self::Buds { blocks, .. }) = &mut self else {
            return Some(self);
        };
        let was_for_all = blocks.is_empty();
        blocks.retain(|b| b != block);
        (was_for_all || !blocks.is_empty()).then_some(self)
    }

    /// Does it hold for this block?
    pub fn is_for(&self, block: &BlockId) -> bool {
        let blocks = self.blocks();
        blocks.is_empty() || blocks.contains(block)
    }

    /// The blocks it holds for; none means all.
    pub fn blocks(&self) -> &[BlockId] {
        match self {
            Self::DegreeDays { blocks, .. } | Self::Buds { blocks, .. } => blocks,
            Self::Rain { .. } => &[],
        }
    }

    /// What was written beside it.
    pub fn note(&self) -> Option<&str> {
        match self {
            Self::DegreeDays { note, .. } | Self::Buds { note, .. } | Self::Rain { note, .. } => {
                note.as_deref()
            }
        }
    }
}
