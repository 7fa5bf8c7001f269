//! The next season, begun from the last: what is carried, what is asked.

use super::phenology::stage::Stage;
use super::records;
use super::season::starter::skipped_words;
use super::season::{
    BlockId, HowMany, Lesson, PastCopper, PastStage, Reading, Season, SeasonDates,
};
use super::uses::copper::{EU_PAST_YEARS, PastYears};
use chrono::{Datelike, Days, NaiveDate};
use thiserror::Error;

/// The stages asked for at the end of a season.
pub const STAGES_ASKED: [Stage; 2] = [Stage::Swell, Stage::FirstBloom];

/// A date the grower is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StageAsk {
    /// On which block.
    pub block: BlockId,
    /// The block's name.
    pub name: String,
    /// Which stage.
    pub stage: Stage,
    /// The first look that saw this stage or a later one: a proposal, not a fact.
    pub proposed: Option<NaiveDate>,
}

/// A stage seen on a block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StageSeen {
    /// On which block.
    pub block: BlockId,
    /// Which stage.
    pub stage: Stage,
    /// On which day.
    pub date: NaiveDate,
}

/// What the grower answers; nothing is needed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Answers {
    /// The new season's name; without it, by the year of leaf drop.
    pub name: Option<String>,
    /// When the leaves are expected down; without it, a year after the last time.
    pub leaf_drop_expected: Option<NaiveDate>,
    /// When buds swelled and flowers opened in the season that ends.
    pub seen: Vec<StageSeen>,
    /// What the season taught, to be kept in mind.
    pub lessons: Vec<String>,
}

/// A new season, and what the grower should know.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// The new season: no tasks, readings or records yet.
    pub season: Season,
    /// What was carried with a doubt.
    pub notes: Vec<String>,
}

/// Why a season cannot be carried over.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum CarryError {
    /// The block is not in the last season.
    #[error("there is no block '{0}' in the last season")]
    NoBlock(BlockId),
    /// The date does not fall into the last season.
    #[error("{stage} on {date} does not fall into season {season}")]
    OutsideSeason {
        /// Which stage.
        stage: &'static str,
        /// The date given.
        date: NaiveDate,
        /// The season.
        season: String,
    },
}

/// Does a day fall into a season's year, from a quarter before leaf drop on?
pub fn is_within(season: &Season, date: NaiveDate) -> bool {
    let starts = season.starts();
    let ends = starts.checked_add_days(Days::new(365)).unwrap_or(starts);
    (starts..ends).contains(&date)
}

/// A dormant year is named after the years its leaf drop and its bloom fall
/// in: `2026-27`; where both fall into one year (leaf drop in its first half),
/// `2027`.
pub fn name_of_year(leaf_drop: NaiveDate) -> String {
    let year = leaf_drop.year();
    if leaf_drop.month() <= 6 {
        return year.to_string();
    }
    format!("{year}-{:02}", (year + 1).rem_euclid(100))
}

/// The same day a year on; the 28th for the 29th of February.
fn a_year_on(date: NaiveDate) -> NaiveDate {
    date.with_year(date.year() + 1)
        .or_else(|| date.pred_opt()?.with_year(date.year() + 1))
        .unwrap_or(date)
}

/// The first look at a block's buds that saw a stage or a later one.
pub fn first_look_at(season: &Season, block: &BlockId, stage: Stage) -> Option<NaiveDate> {
    season
        .readings
        .iter()
        .filter(|r| r.is_for(block) && is_within(season, r.date()))
        .filter_map(|r| match r {
            // From 91 on the scale counts leaf fall, not spring.
            Reading::Buds {
                date,
                bbch,
                how_many,
                ..
            } if (stage.bbch()..90).contains(bbch) && *how_many != HowMany::FirstFew => Some(*date),
            _ => None,
        })
        .min()
}

/// The dates to ask for when a season ends: those not on its blocks yet.
pub fn asks(last: &Season) -> Vec<StageAsk> {
    let mut asks = Vec::new();
    for block in &last.blocks {
        for stage in STAGES_ASKED {
            let known = block
                .past
                .iter()
                .any(|p| p.stage == stage && is_within(last, p.date));
            if !known {
                asks.push(StageAsk {
                    block: block.id.clone(),
                    name: block.name.clone(),
                    stage,
                    proposed: first_look_at(last, &block.id, stage),
                });
            }
        }
    }
    asks
}

/// What the last season skipped and why, a line each: the new plan tells it.
pub fn skipped(last: &Season) -> Vec<String> {
    last.tasks
        .iter()
        .filter_map(|task| Some(format!("{}: {}", task.title, skipped_words(task)?)))
        .collect()
}

/// Begins the next season from the last.
///
/// Carried: the orchard, its blocks with the problems seen on them, materials
/// (each label to be read again), sprayers, the grower's own targets, past
/// weather and normals, unfinished lessons, and the season's metallic copper
/// of each block as its latest past year. Left behind: tasks, readings, records, reviews,
/// forecasts. Dates seen are added to the blocks, where the estimate finds them.
pub fn from_last(last: &Season, answers: &Answers) -> Result<Carried, CarryError> {
    let mut notes = Vec::new();
    let mut next = last.clone();
    let was = last
        .dates
        .leaf_drop_seen
        .unwrap_or(last.dates.leaf_drop_expected);
    let expected = answers.leaf_drop_expected.unwrap_or_else(|| a_year_on(was));
    next.dates = SeasonDates {
        leaf_drop_expected: expected,
        leaf_drop_seen: None,
    };
    next.season = answers
        .name
        .clone()
        .unwrap_or_else(|| name_of_year(expected));
    next.tasks.clear();
    next.readings.clear();
    next.records.clear();
    next.shed.clear();
    next.records_head = None;
    next.reviewed.clear();
    next.estimates_noted.clear();
    next.weather.forecast.clear();
    for block in &mut next.blocks {
        let own = block.leaf_drop_seen.or(block.leaf_drop_expected);
        block.leaf_drop_expected = match answers.leaf_drop_expected {
            Some(_) => None,
            None => own.map(a_year_on),
        };
        block.leaf_drop_seen = None;
        // What was left alone last year is looked at again.
        block.quiet.clear();
    }
    for material in &mut next.materials {
        material.label.read_on = None;
        if let Some(end) = material.label.expires.filter(|end| *end < expected) {
            notes.push(format!(
                "{} may not be used after {end}: take it out or replace it",
                material.name
            ));
        }
    }
    for seen in &answers.seen {
        add_seen(last, &mut next, seen)?;
    }
    carry_copper(last, &mut next, &mut notes);
    next.lessons.retain(|l| l.done.is_none());
    for lesson in &mut next.lessons {
        lesson.from.get_or_insert_with(|| last.season.clone());
    }
    next.lessons.extend(
        answers
            .lessons
            .iter()
            .filter(|t| !t.trim().is_empty())
            .map(|text| Lesson {
                text: text.trim().to_owned(),
                from: Some(last.season.clone()),
                done: None,
            }),
    );
    Ok(Carried {
        season: next,
        notes,
    })
}

fn add_seen(last: &Season, next: &mut Season, seen: &StageSeen) -> Result<(), CarryError> {
    if !is_within(last, seen.date) {
        return Err(CarryError::OutsideSeason {
            stage: seen.stage.words(),
            date: seen.date,
            season: last.season.clone(),
        });
    }
    let block = next
        .blocks
        .iter_mut()
        .find(|b| b.id == seen.block)
        .ok_or_else(|| CarryError::NoBlock(seen.block.clone()))?;
    block
        .past
        .retain(|p| p.stage != seen.stage || !is_within(last, p.date));
    block.past.push(PastStage {
        stage: seen.stage,
        date: seen.date,
    });
    block.past.sort_by_key(|p| (p.date, p.stage));
    Ok(())
}

/// A limit per hectare holds for each block: so each carries its own past years, the season that
/// ends first. What the orchard's list said of earlier ones is then told of every block, and the
/// list has done its work.
fn carry_copper(last: &Season, next: &mut Season, notes: &mut Vec<String>) {
    let days = (next.starts() - last.starts()).num_days();
    let years_between = usize::try_from((days + 182) / 365 - 1).unwrap_or(0);
    for (block, used) in next.blocks.iter_mut().zip(records::copper(last)) {
        let kg = (used.season_kg_per_ha * 1e4).round() / 1e4;
        let past = PastYears::of(&last.orchard, block);
        let mut years: Vec<Option<f64>> = vec![None; years_between];
        years.push(Some(kg));
        years.extend(past.years());
        years.truncate(EU_PAST_YEARS);
        while years.last() == Some(&None) {
            years.pop();
        }
        block.copper_past_kg_per_ha = years.into_iter().map(PastCopper::from).collect();
        if used.unknown_uses > 0 {
            notes.push(format!(
                "{}: the copper of {} not known: {kg} kg/ha for {} is too low; correct it in the block's copper_past_kg_per_ha",
                block.name,
                crate::domain::units::count(used.unknown_uses, "use is", "uses are"),
                last.season
            ));
        }
    }
    next.orchard.copper_past_kg_per_ha.clear();
}
