//! The swell estimate then and now, with the cause of the change.

use crate::domain::outlook::Estimates;
use crate::domain::phenology::{distribution::StageDate, stage::Stage};
use crate::domain::season::{BlockId, Reading, Season};
use chrono::NaiveDate;

/// A stage date with its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Range {
    /// One time in ten reached by this day.
    pub p10: NaiveDate,
    /// As likely before as after.
    pub p50: NaiveDate,
    /// Nine times in ten reached by this day.
    pub p90: NaiveDate,
}

impl Range {
    /// The range of a stage date.
    pub fn of(date: &StageDate) -> Self {
        Self {
            p10: date.p10(),
            p50: date.p50(),
            p90: date.p90(),
        }
    }
}

/// What moved an estimate, and by how many days (negative: earlier).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Weather seen since then, and days that passed without swell.
    Weather(i64),
    /// Degree-day totals noted since then.
    Readings(i64),
    /// Looks at the buds noted since then.
    Buds(i64),
    /// Anything else: leaf drop seen, a changed block or model.
    Other(i64),
    /// The days to come as they are forecast now.
    Forecast(i64),
}

impl Cause {
    /// The days.
    pub fn days(self) -> i64 {
        match self {
            Self::Weather(d)
            | Self::Readings(d)
            | Self::Buds(d)
            | Self::Other(d)
            | Self::Forecast(d) => d,
        }
    }

    /// Its name in plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Weather(_) => "weather seen",
            Self::Readings(_) => "degree-day reading",
            Self::Buds(_) => "look at the buds",
            Self::Other(_) => "other changes",
            Self::Forecast(_) => "forecast",
        }
    }
}

/// One block's swell estimate then and now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SwellChange {
    /// Which block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// Its kind of tree.
    pub species: &'static str,
    /// The estimate then: as noted on that day, else computed again.
    pub then: Option<Range>,
    /// The estimate now.
    pub now: Range,
    /// The last safe day now.
    pub last_safe: NaiveDate,
    /// What moved it; steps of less than a day are left out.
    pub causes: Vec<Cause>,
}

impl SwellChange {
    /// By how many days the middle moved (negative: earlier).
    pub fn days(&self) -> Option<i64> {
        self.then.map(|then| (self.now.p50 - then.p50).num_days())
    }
}

/// The date of a stage on a block.
pub fn stage_date<'a>(
    estimates: &'a Estimates,
    block: &BlockId,
    stage: Stage,
) -> Option<&'a StageDate> {
    let estimate = estimates.of(block)?;
    Some(match stage {
        Stage::Swell => &estimate.swell,
        Stage::Burst => &estimate.burst,
        Stage::FirstBloom | Stage::FullBloom => &estimate.bloom,
    })
}

fn middle(estimates: &Estimates, block: &BlockId) -> Option<NaiveDate> {
    stage_date(estimates, block, Stage::Swell).map(StageDate::p50)
}

/// The estimates then and now, and what moved them: the estimate is taken
/// from then to now in steps, first the weather, then the degree-day totals,
/// then the looks at the buds, whatever else changed, and the forecast last.
pub fn changes(
    season: &Season,
    then: &Season,
    estimates_then: &Estimates,
    estimates_now: &Estimates,
    today: NaiveDate,
    estimate: &impl Fn(&Season, NaiveDate) -> Estimates,
) -> Vec<SwellChange> {
    let new_readings = season.readings.len() != then.readings.len();
    let weather = estimate(then, today);
    let with_totals = new_readings.then(|| {
        let mut step = then.clone();
        step.readings = season
            .readings
            .iter()
            .filter(|r| matches!(r, Reading::DegreeDays { .. }) || then.readings.contains(r))
            .cloned()
            .collect();
        estimate(&step, today)
    });
    let with_buds = new_readings.then(|| {
        let mut step = then.clone();
        step.readings.clone_from(&season.readings);
        estimate(&step, today)
    });
    // The closure knows what was measured, no forecast.
    let without_forecast = estimate(season, today);
    season
        .blocks
        .iter()
        .filter_map(|block| {
            let date = stage_date(estimates_now, &block.id, Stage::Swell)?;
            let at = |e: &Estimates| middle(e, &block.id);
            let computed = stage_date(estimates_then, &block.id, Stage::Swell).map(Range::of);
            // What was noted then may differ from what comes out for that day now, because
            // older weather was added or a setting changed: that is a step of its own.
            let mut steps = vec![(computed.map(|c| c.p50), Cause::Other as fn(i64) -> Cause)];
            steps.push((at(&weather), Cause::Weather));
            if let Some(totals) = &with_totals {
                steps.push((at(totals), Cause::Readings));
            }
            if let Some(buds) = &with_buds {
                steps.push((at(buds), Cause::Buds));
            }
            steps.push((at(&without_forecast), Cause::Other));
            steps.push((Some(date.p50()), Cause::Forecast));
            let noted = season
                .estimates_noted
                .iter()
                .filter(|n| n.block == block.id && n.stage == Stage::Swell)
                .find(|n| season.reviewed.iter().filter(|d| **d <= today).max() == Some(&n.date))
                .map(|n| Range {
                    p10: n.p10,
                    p50: n.p50,
                    p90: n.p90,
                });
            let guard = block.guard_days.unwrap_or(season.orchard.guard_days);
            Some(SwellChange {
                block: block.id.clone(),
                name: block.name.clone(),
                species: block.species.words(),
                then: noted.or(computed),
                now: Range::of(date),
                last_safe: date.last_safe(season.orchard.tolerance.fraction(), guard),
                causes: causes(noted.or(computed).map(|r| r.p50), &steps),
            })
        })
        .collect()
}

/// The middle of the estimate after a step, and what the step was.
type Step = (Option<NaiveDate>, fn(i64) -> Cause);

fn causes(then: Option<NaiveDate>, steps: &[Step]) -> Vec<Cause> {
    let mut before = then;
    let mut causes = Vec::new();
    for (after, cause) in steps {
        if let (Some(a), Some(b)) = (before, *after) {
            let days = (b - a).num_days();
            if days != 0 {
                causes.push(cause(days));
            }
        }
        before = after.or(before);
    }
    causes
}
