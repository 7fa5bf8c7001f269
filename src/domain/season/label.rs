//! What a label says. Every limit may be absent: it is then unknown, not fine.

use crate::domain::units::{Rate, Span, Speed, Temperature};
use chrono::NaiveDate;
use serde::{Serialize, Serializer};
use std::collections::BTreeMap;

/// Whether organic rules permit a material; the certifier's word is final.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Organic {
    /// Permitted.
    Allowed,
    /// Permitted under conditions.
    Restricted,
    /// Not permitted.
    Not,
    /// Not known.
    #[default]
    Unknown,
}

/// When people may go back in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reentry {
    /// Once the spray has dried; a person must look.
    UntilDry,
    /// After this long.
    After(Span),
}

impl Serialize for Reentry {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::UntilDry => serializer.serialize_str("until dry"),
            Self::After(span) => span.serialize(serializer),
        }
    }
}

/// Days a label wants between this material and another active.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KeepApart {
    /// The other active, in plain words.
    pub active: String,
    /// How long.
    pub days: u32,
}

/// The label, in the order labels are read.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Label {
    /// The day the grower read the label this season.
    pub read_on: Option<NaiveDate>,
    /// True for a built-in starting point: not a label, to be confirmed.
    pub generic: bool,
    /// Last day the product or registration may be used.
    pub expires: Option<NaiveDate>,
    /// Crops on the label, as species words; empty means unknown.
    pub crops: Vec<String>,
    /// Targets on the label; empty means unknown.
    pub targets: Vec<String>,
    /// Lowest rate.
    pub rate_min: Option<Rate>,
    /// The rate the grower uses unless a task says otherwise.
    pub rate: Option<Rate>,
    /// Highest rate.
    pub rate_max: Option<Rate>,
    /// Last BBCH stage it may be used at, for all crops.
    pub last_stage: Option<u8>,
    /// Last BBCH stage by crop (species words).
    pub last_stage_by_crop: BTreeMap<String, u8>,
    /// First BBCH stage in autumn, for instance 95 (half of the leaves down).
    pub first_stage: Option<u8>,
    /// Shortest time between uses.
    pub interval: Option<Span>,
    /// Most uses in a season.
    pub max_uses: Option<u32>,
    /// Most product in a season.
    pub max_per_season: Option<Rate>,
    /// Most metallic copper in one use, as mass per area.
    pub max_copper_per_use: Option<Rate>,
    /// Most metallic copper in a season, as mass per area.
    pub max_copper_per_season: Option<Rate>,
    /// Coldest air to spray in.
    pub temp_min: Option<Temperature>,
    /// Warmest air to spray in.
    pub temp_max: Option<Temperature>,
    /// Hours without frost before.
    pub frost_free_before: Option<Span>,
    /// Hours without frost after.
    pub frost_free_after: Option<Span>,
    /// Hours without rain before.
    pub dry_before: Option<Span>,
    /// Hours without rain after.
    pub dry_after: Option<Span>,
    /// Most wind.
    pub wind_max: Option<Speed>,
    /// Least wind.
    pub wind_min: Option<Speed>,
    /// When people may go back in.
    pub reentry: Option<Reentry>,
    /// Protective gear.
    pub gear: Vec<String>,
    /// Actives it must not be mixed with.
    pub never_with: Vec<String>,
    /// Actives it must be kept apart from in time.
    pub keep_apart: Vec<KeepApart>,
    /// Lowest pH of the spray water.
    pub water_ph_min: Option<f64>,
    /// Highest pH of the spray water.
    pub water_ph_max: Option<f64>,
    /// Standing under organic rules.
    pub organic: Organic,
    /// Other words of the label worth keeping in sight.
    pub notes: Option<String>,
}
