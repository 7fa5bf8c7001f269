//! What a season taught, and what was estimated when.

use super::BlockId;
use crate::domain::phenology::stage::Stage;
use chrono::NaiveDate;
use serde::{Serialize, Serializer};

/// Something to do better: kept until it is done, over as many seasons as it takes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Lesson {
    /// What was learnt.
    pub text: String,
    /// The season it comes from, for instance `2025-26`.
    pub from: Option<String>,
    /// The day it was taken care of.
    pub done: Option<NaiveDate>,
}

/// What the estimate said on a day, so that it can be judged afterwards.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct EstimateNoted {
    /// The day it was made.
    pub date: NaiveDate,
    /// For which block.
    pub block: BlockId,
    /// Of which stage.
    #[serde(serialize_with = "stage_words")]
    pub stage: Stage,
    /// One time in ten reached by this day.
    pub p10: NaiveDate,
    /// As likely before as after.
    pub p50: NaiveDate,
    /// Nine times in ten reached by this day.
    pub p90: NaiveDate,
}

fn stage_words<S: Serializer>(stage: &Stage, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(stage.words())
}
