//! What the grower's own dates do for the estimate: every date seen in a past
//! spring is asked for again, once without any own date and once with those of
//! the other springs, and both answers are set beside what came.

use crate::domain::outlook::{AskedAgain, asked_again};
use crate::domain::phenology::climatology::Climatology;
use crate::domain::phenology::dormant_year::DormantYear;
use crate::domain::phenology::estimate::StageSeen;
use crate::domain::phenology::stage::Stage;
use crate::domain::review::Range;
use crate::domain::season::{Block, BlockId, PastStage, Season};
use chrono::{Days, NaiveDate};

/// The question is put this long before the day that was seen.
pub const ASKED_DAYS_BEFORE: u64 = 28;

/// One date seen, answered without and with the other own dates.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JudgedDate {
    /// The stage.
    pub stage: Stage,
    /// The day it was seen.
    pub seen: NaiveDate,
    /// The day on which the question was put.
    pub asked_on: NaiveDate,
    /// The answer without any own date.
    pub before: Range,
    /// The answer with the own dates of the other springs.
    pub after: Range,
}

impl JudgedDate {
    /// By how many days the middle of an answer was late (negative: early).
    pub fn error_days(&self, answer: Range) -> i64 {
        (answer.p50 - self.seen).num_days()
    }

    /// Did the date fall between the P10 and P90 of an answer?
    pub fn is_inside(&self, answer: Range) -> bool {
        (answer.p10..=answer.p90).contains(&self.seen)
    }
}

/// How far one kind of answer was off, over the dates judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HindcastError {
    /// Root-mean-square error, days.
    pub rmse_days: f64,
    /// Mean error, days: late is positive.
    pub bias_days: f64,
    /// How many dates fell into the answer's range.
    pub inside: usize,
    /// Mean width of the range, days.
    pub width_days: f64,
}

/// The own dates of one block, judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnDates {
    /// Which block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// The dates that could be judged, oldest first.
    pub judged: Vec<JudgedDate>,
    /// Dates of springs whose temperatures are not on file.
    pub without_weather: Vec<NaiveDate>,
    /// How many springs have dates at all.
    pub springs: usize,
}

impl OwnDates {
    /// The error before and after the own dates were used; `None` where nothing was judged.
    pub fn errors(&self) -> Option<(HindcastError, HindcastError)> {
        Some((
            error(&self.judged, |j| j.before)?,
            error(&self.judged, |j| j.after)?,
        ))
    }
}

/// The error of all blocks together, before and after.
pub fn errors(all: &[OwnDates]) -> Option<(HindcastError, HindcastError)> {
    let judged: Vec<JudgedDate> = all.iter().flat_map(|o| o.judged.clone()).collect();
    Some((error(&judged, |j| j.before)?, error(&judged, |j| j.after)?))
}

fn error(judged: &[JudgedDate], answer: fn(&JudgedDate) -> Range) -> Option<HindcastError> {
    let n = judged.len() as f64;
    if judged.is_empty() {
        return None;
    }
    let off = || judged.iter().map(|j| j.error_days(answer(j)) as f64);
    let width = |r: Range| (r.p90 - r.p10).num_days() as f64;
    Some(HindcastError {
        rmse_days: (off().map(|e| e * e).sum::<f64>() / n).sqrt(),
        bias_days: off().sum::<f64>() / n,
        inside: judged.iter().filter(|j| j.is_inside(answer(j))).count(),
        width_days: judged.iter().map(|j| width(answer(j))).sum::<f64>() / n,
    })
}

/// Judges the dates seen on every block that has any.
///
/// One spring alone is not judged: there would be nothing to learn from.
pub fn own_dates(past: &Climatology, season: &Season) -> Vec<OwnDates> {
    season
        .blocks
        .iter()
        .filter(|b| !b.past.is_empty())
        .map(|b| judge(past, season, b))
        .collect()
}

fn judge(past: &Climatology, season: &Season, block: &Block) -> OwnDates {
    let spring = |d: NaiveDate| DormantYear::containing(d, past.latitude_deg()).spring_year();
    let own: Vec<StageSeen> = block
        .past
        .iter()
        .map(|p| StageSeen {
            stage: p.stage,
            date: p.date,
        })
        .collect();
    let mut springs: Vec<i32> = own.iter().map(|s| spring(s.date)).collect();
    springs.sort_unstable();
    springs.dedup();
    let mut out = OwnDates {
        block: block.id.clone(),
        name: block.name.clone(),
        judged: Vec::new(),
        without_weather: Vec::new(),
        springs: springs.len(),
    };
    let mut dates: Vec<&PastStage> = block.past.iter().collect();
    dates.sort_by_key(|p| p.date);
    for date in dates {
        let asked = AskedAgain {
            stage: date.stage,
            spring: spring(date.date),
            on: date
                .date
                .checked_sub_days(Days::new(ASKED_DAYS_BEFORE))
                .unwrap_or(date.date),
        };
        if past.past_year(asked.spring).is_none() {
            out.without_weather.push(date.date);
        } else if out.springs > 1
            && let Some([before, after]) = asked_again(past, season, block, asked, [&[], &own])
        {
            out.judged.push(JudgedDate {
                stage: date.stage,
                seen: date.date,
                asked_on: asked.on,
                before: Range::of(&before),
                after: Range::of(&after),
            });
        }
    }
    out
}
