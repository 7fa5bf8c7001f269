//! The estimate as it would have been given on earlier days of the season: how the range narrows.

use super::Estimates;
use crate::domain::climate::weather::Weather;
use crate::domain::phenology::climatology::Climatology;
use crate::domain::season::{Block, BlockId, Season};
use chrono::{Days, NaiveDate};

/// Days between two askings.
const EVERY_DAYS: u64 = 14;
/// Askings shown at most, the latest ones.
const MOST: usize = 12;

/// The swell estimate as of a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// The day it is as of.
    pub on: NaiveDate,
    /// 1 in 10, even, 9 in 10.
    pub swell: [NaiveDate; 3],
}

impl Asked {
    /// Days from the early edge to the late one.
    pub fn width_days(&self) -> i64 {
        let [early, _, late] = self.swell;
        (late - early).num_days()
    }
}

/// The swell estimate of a block as of every second week from leaf drop to today, oldest first:
/// each from what was known on its day, without what came later. Only today's has the forecast.
pub fn asked(
    climatology: &Climatology,
    season: &Season,
    block: &BlockId,
    weather: &Weather,
    today: NaiveDate,
) -> Vec<Asked> {
    let Some(block) = season.block(block) else {
        return Vec::new();
    };
    let leaf_drop = season.leaf_drop(block).0;
    let alone = Season {
        blocks: vec![block.clone()],
        ..season.clone()
    };
    let mut days: Vec<NaiveDate> = (0..)
        .map_while(|k| today.checked_sub_days(Days::new(k * EVERY_DAYS)))
        .take_while(|day| *day == today || *day > leaf_drop)
        .take(MOST)
        .collect();
    days.reverse();
    days.into_iter()
        .filter_map(|on| as_of(climatology, &alone, block, weather, on, today))
        .collect()
}

fn as_of(
    climatology: &Climatology,
    alone: &Season,
    block: &Block,
    weather: &Weather,
    on: NaiveDate,
    today: NaiveDate,
) -> Option<Asked> {
    let known = if on == today {
        weather.clone()
    } else {
        Weather {
            daily: weather.daily.as_ref().map(|d| d.slice(d.first(), on)),
            typical: weather.typical.clone(),
            ..Weather::default()
        }
    };
    let estimates = Estimates::with(climatology, alone, &known, on);
    let swell = &estimates.of(&block.id)?.swell;
    Some(Asked {
        on,
        swell: [swell.p10(), swell.p50(), swell.p90()],
    })
}
