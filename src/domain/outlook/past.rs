//! What the estimate would have said in a spring that is over.

use super::estimates::{model_of, normals};
use crate::domain::climate::daily::DailySeries;
use crate::domain::phenology::climatology::Climatology;
use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::dormant_year::DormantYear;
use crate::domain::phenology::estimate::{Question, StageSeen, estimates_on};
use crate::domain::phenology::stage::Stage;
use crate::domain::season::{Block, Season};
use chrono::{Datelike, NaiveDate};

/// A date of a past spring that is asked for again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AskedAgain {
    /// The stage.
    pub stage: Stage,
    /// The year of its spring.
    pub spring: i32,
    /// The day on which the question is put: no later temperature of that spring is used.
    pub on: NaiveDate,
}

/// Answers for a past spring from other years: once for each list of own dates,
/// of which those of that spring itself are never used. `None` where its
/// temperatures are not on file.
pub fn asked_again<const N: usize>(
    past: &Climatology,
    season: &Season,
    block: &Block,
    asked: AskedAgain,
    own: [&[StageSeen]; N],
) -> Option<[StageDate; N]> {
    let latitude = past.latitude_deg();
    past.past_year(asked.spring)?;
    let drop = season.leaf_drop(block).0;
    let years = DormantYear::after_leaf_drop(drop, latitude).spring_year() - asked.spring;
    let year = drop.year() - years;
    // The 29th of February is no day of leaf drop anywhere, yet a file may say so.
    let leaf_drop = drop
        .with_year(year)
        .or_else(|| drop.pred_opt()?.with_year(year))?;
    let normals = normals(season);
    let observed = DailySeries::empty(asked.on);
    let seen = own.map(|dates| {
        let other = |s: &&StageSeen| {
            DormantYear::containing(s.date, latitude).spring_year() != asked.spring
        };
        dates.iter().filter(other).copied().collect::<Vec<_>>()
    });
    let questions = seen.each_ref().map(|seen| Question {
        species: block.species,
        cultivar: block.cultivar.as_deref(),
        stage: asked.stage,
        latitude_deg: season.orchard.latitude,
        leaf_drop,
        today: asked.on,
        observed: &observed,
        forecast: None,
        normals: Some(&normals),
        degree_day_readings: &[],
        bud_readings: &[],
        seen,
        model: model_of(block),
    });
    let answers = estimates_on(past, &questions);
    let dates: Vec<StageDate> = answers.into_iter().map(|a| a.date).collect();
    dates.try_into().ok()
}
