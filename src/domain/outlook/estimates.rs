//! The stage dates of every block, as of one day.

use crate::domain::phenology::distribution::StageDate;
use crate::domain::season::BlockId;
use chrono::NaiveDate;

/// The stage dates of one block.
#[derive(Debug, Clone)]
pub struct BlockEstimate {
    /// Which block.
    pub block: BlockId,
    /// When buds begin to swell.
    pub swell: StageDate,
    /// When they burst.
    pub burst: StageDate,
    /// When the first flowers open.
    pub bloom: StageDate,
}

impl BlockEstimate {
    /// The date of any BBCH stage from swell to bloom, set between its
    /// neighbours in proportion: a reading of the ladder, not a model.
    pub fn at_bbch(&self, bbch: u8) -> StageDate {
        match bbch {
            0..=51 => self.swell.clone(),
            52 | 53 => between(&self.swell, &self.burst, f64::from(bbch - 51) / 2.0),
            54..=60 => between(&self.burst, &self.bloom, f64::from(bbch - 53) / 8.0),
            _ => self.bloom.clone(),
        }
    }
}

/// The date `share` of the way from one stage to the next, chance by chance.
fn between(early: &StageDate, late: &StageDate, share: f64) -> StageDate {
    let steps = 100;
    let days: Vec<NaiveDate> = (1..=steps)
        .map(|i| {
            let p = f64::from(i) / f64::from(steps);
            let (a, b) = (early.quantile(p), late.quantile(p).max(early.quantile(p)));
            let gap = ((b - a).num_days() as f64 * share).round();
            a + chrono::TimeDelta::days(gap as i64)
        })
        .collect();
    let Some((&first, &last)) = days.first().zip(days.last()) else {
        return early.clone();
    };
    let by_day = first.iter_days().take_while(|d| *d <= last).map(|d| {
        let reached = days.iter().filter(|x| **x <= d).count();
        reached as f64 / f64::from(steps)
    });
    StageDate::new(first, by_day)
}

/// The stage dates of every block.
#[derive(Debug, Clone, Default)]
pub struct Estimates {
    /// One entry a block, in the season's order.
    pub blocks: Vec<BlockEstimate>,
}

impl Estimates {
    /// The stage dates of a block.
    pub fn of(&self, block: &BlockId) -> Option<&BlockEstimate> {
        self.blocks.iter().find(|e| &e.block == block)
    }
}
