//! From members to chances, and what this season's looks at the buds say about them (Bayes).
//!
//! A look at stage `R` on day `r` says that every stage up to `R` has come by `r` and none above
//! it. For the stage asked for this multiplies the chances by day. For an earlier stage it weighs
//! each member together with the part of the error that all stages of a season share.

use chrono::NaiveDate;

use super::calibrated::Calibrated;
use super::{BudReading, Question};
use crate::domain::phenology::climatology::SeasonAhead;
use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::drift::Correction;
use crate::domain::phenology::normals::normal_quantile;
use crate::domain::phenology::spread::spread_out;
use crate::domain::phenology::stage::Stage;

/// An observer is early or late by about this much, days.
const OBSERVER_DAYS: f64 = 1.5;
/// A stage reported as just there came within about this many days.
const FRESH_DAYS: f64 = 6.0;
/// Share of a stage's error that the other stages of the season have in common (correlation of
/// the errors of bud burst and first bloom in the carried records, rounded).
const SHARED: f64 = 0.6;
/// Nodes over the shared error.
const NODES: usize = 11;

/// Chance of a look, given the day (in days of the dormant year) on which `stage` came.
fn likelihood(stage: Stage, came: f64, looked: f64, reached: Option<Stage>, past_all: bool) -> f64 {
    let has_come = past_all || reached.is_some_and(|r| r >= stage);
    let by_then = 1.0 / (1.0 + (-(looked - came) / OBSERVER_DAYS).exp());
    if !has_come {
        return 1.0 - by_then;
    }
    if reached == Some(stage) && !past_all {
        // Just there: the longer ago it came, the less likely is it still called so.
        return by_then * (-(looked - came).max(0.0) / FRESH_DAYS).exp();
    }
    by_then
}

/// This season's looks at the buds that are not of the future.
fn looks<'a>(
    season: &'a SeasonAhead,
    question: &'a Question<'_>,
) -> impl Iterator<Item = (f64, BudReading)> + 'a {
    question
        .bud_readings
        .iter()
        // What only a few buds show moves no model: it is held to afterwards, and never the laxer way.
        .filter(|r| r.date <= question.today && !r.few)
        .map(|r| (season.year.day_of(r.date) as f64 + 0.5, *r))
        .filter(|(day, _)| *day > 0.0)
}

/// The distribution of the stage asked for.
pub(super) fn stage_date(
    calibrated: &Calibrated,
    season: &SeasonAhead,
    question: &Question<'_>,
    days: &[f32],
) -> StageDate {
    let stage = question.stage;
    let sd = calibrated.sd_days(stage);
    let plain = |days: &[(f32, f64)], sd_days: f64| {
        spread_out(
            season.year,
            days,
            Correction {
                mean_days: 0.0,
                sd_days,
            },
        )
    };
    let earlier: Vec<(f64, Stage)> = looks(season, question)
        .filter_map(|(day, r)| Some((day, Stage::from_bbch(r.bbch).filter(|s| *s < stage)?)))
        .collect();
    let date = if earlier.is_empty() {
        plain(
            &days
                .iter()
                .zip(&season.members)
                .map(|(d, m)| (*d, m.weight))
                .collect::<Vec<_>>(),
            sd,
        )
    } else {
        let at_stage: Vec<Vec<f32>> = earlier
            .iter()
            .map(|(_, s)| calibrated.member_days(season, *s))
            .collect();
        let mut weighed = Vec::with_capacity(days.len() * NODES);
        for (i, day) in days.iter().enumerate() {
            for node in 0..NODES {
                let z = normal_quantile((node as f64 + 0.5) / NODES as f64);
                let weight: f64 = earlier
                    .iter()
                    .zip(&at_stage)
                    .map(|((looked, s), stage_days)| {
                        let came = f64::from(stage_days[i]) + z * calibrated.sd_days(*s);
                        likelihood(*s, came, *looked, Some(*s), false)
                    })
                    .product();
                let member = season.members.get(i).map_or(1.0, |m| m.weight);
                weighed.push((*day + (SHARED * z * sd) as f32, member * weight.max(1e-12)));
            }
        }
        plain(&weighed, sd * (1.0 - SHARED * SHARED).sqrt())
    };
    let year = season.year;
    date.conditioned(|candidate: NaiveDate| {
        // No bud of this season opens before the leaves of the last one are down.
        if candidate <= question.leaf_drop {
            return 0.0;
        }
        let came = year.day_of(candidate) as f64 + 0.5;
        looks(season, question)
            .map(|(looked, r)| {
                likelihood(stage, came, looked, Stage::from_bbch(r.bbch), r.bbch >= 70)
            })
            .product()
    })
}
