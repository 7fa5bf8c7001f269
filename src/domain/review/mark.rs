//! Marking the review done.

use super::swell::{Range, stage_date};
use crate::domain::outlook::Estimates;
use crate::domain::phenology::stage::Stage;
use crate::domain::season::{EstimateNoted, Season};
use chrono::NaiveDate;

/// Marks the week's review as done, and notes the swell estimates of the day,
/// so that they can be judged when the buds have swelled.
pub fn mark(season: &Season, estimates: &Estimates, today: NaiveDate) -> Season {
    let mut after = season.clone();
    if !after.reviewed.contains(&today) {
        after.reviewed.push(today);
    }
    after.estimates_noted.retain(|n| n.date != today);
    for block in &season.blocks {
        if let Some(date) = stage_date(estimates, &block.id, Stage::Swell) {
            let Range { p10, p50, p90 } = Range::of(date);
            after.estimates_noted.push(EstimateNoted {
                date: today,
                block: block.id.clone(),
                stage: Stage::Swell,
                p10,
                p50,
                p90,
            });
        }
    }
    after
}
