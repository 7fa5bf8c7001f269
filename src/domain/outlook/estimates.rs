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

/// Chances at which two distributions are set side by side: every hundredth.
const STEPS: u32 = 100;

/// The date `share` of the way from one stage to the next, chance by chance.
///
/// Each distribution is walked once: rules ask for many stages of many blocks.
fn between(early: &StageDate, late: &StageDate, share: f64) -> StageDate {
    let days: Vec<NaiveDate> = hundredths(early)
        .zip(hundredths(late))
        .map(|(a, b)| {
            let gap = ((b.max(a) - a).num_days() as f64 * share).round();
            a + chrono::TimeDelta::days(gap as i64)
        })
        .collect();
    let Some((&first, &last)) = days.first().zip(days.last()) else {
        return early.clone();
    };
    let mut reached = 0;
    let by_day = first.iter_days().take_while(|d| *d <= last).map(|d| {
        while days.get(reached).is_some_and(|x| *x <= d) {
            reached += 1;
        }
        reached as f64 / f64::from(STEPS)
    });
    StageDate::new(first, by_day)
}

/// The quantiles at every hundredth, earliest first; the last day held where
/// a chance is never reached.
fn hundredths(date: &StageDate) -> impl Iterator<Item = NaiveDate> + '_ {
    let mut days = date.days().peekable();
    let mut at = date.first_day();
    (1..=STEPS).map(move |i| {
        let wanted = f64::from(i) / f64::from(STEPS) - 1e-6;
        while let Some(&(day, chance)) = days.peek() {
            at = day;
            if chance >= wanted {
                break;
            }
            days.next();
        }
        at
    })
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stage_between_two_lies_in_proportion_at_every_chance() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        let ramp = |first: &str, days: u32, top: f64| {
            StageDate::new(
                day(first),
                (1..=days).map(move |i| (f64::from(i) / f64::from(days)).powi(2) * top),
            )
        };
        let burst = ramp("2027-03-01", 23, 1.0);
        let bloom = ramp("2027-03-20", 31, 0.97);
        let e = BlockEstimate {
            block: BlockId::from("b"),
            swell: ramp("2027-02-10", 17, 1.0),
            burst: burst.clone(),
            bloom: bloom.clone(),
        };
        for bbch in 54..=60 {
            let stage = e.at_bbch(bbch);
            let share = f64::from(bbch - 53) / 8.0;
            for i in 1..=100 {
                let p = f64::from(i) / 100.0;
                let (a, b) = (burst.quantile(p), bloom.quantile(p));
                let gap = ((b - a).num_days() as f64 * share).round() as i64;
                assert_eq!(
                    stage.quantile(p),
                    a + chrono::TimeDelta::days(gap),
                    "{bbch} {p}"
                );
            }
        }
        assert_eq!(e.at_bbch(51), e.swell);
        assert_eq!(e.at_bbch(65), e.bloom);
    }
}
