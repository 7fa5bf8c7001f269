//! Seasons side by side: what was planned and done, and when buds swelled
//! against what was estimated, and how long before.

mod own_dates;

pub use own_dates::{ASKED_DAYS_BEFORE, HindcastError, JudgedDate, OwnDates, errors, own_dates};

use super::next_season::{first_look_at, is_within};
use super::phenology::stage::Stage;
use super::records;
use super::review::Range;
use super::season::{BlockId, Season, TaskState};
use chrono::NaiveDate;

/// An estimate that was noted, judged by what came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotedEstimate {
    /// The day it was made.
    pub date: NaiveDate,
    /// What it said.
    pub range: Range,
    /// How many days before swell it was made, where swell was seen.
    pub lead_days: Option<i64>,
    /// By how many days its middle was late (negative: early), where swell was seen.
    pub error_days: Option<i64>,
    /// Did swell fall between its P10 and P90?
    pub is_inside: Option<bool>,
}

/// The year of one block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockYear {
    /// Which block.
    pub block: BlockId,
    /// Its name in that season.
    pub name: String,
    /// When buds swelled, as the grower dated it.
    pub swell_seen: Option<NaiveDate>,
    /// Else the first look that found them swollen: they swelled on or before that day.
    pub swollen_by: Option<NaiveDate>,
    /// When flowers opened.
    pub bloom_seen: Option<NaiveDate>,
    /// The swell estimates noted, in date order.
    pub noted: Vec<NotedEstimate>,
}

/// One season in the table.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonRow {
    /// Its name.
    pub season: String,
    /// When the leaves were down, and whether that was seen.
    pub leaf_drop: (NaiveDate, bool),
    /// Tasks in all.
    pub planned: usize,
    /// Tasks done.
    pub done: usize,
    /// Tasks left out.
    pub skipped: usize,
    /// Changes of date.
    pub moves: usize,
    /// Records that hold.
    pub records: usize,
    /// Metallic copper on the block that got most, kg/ha.
    pub copper_kg_per_ha: f64,
    /// Uses of copper that could not be reckoned.
    pub copper_unknown_uses: u32,
    /// Block by block.
    pub blocks: Vec<BlockYear>,
}

/// Seasons side by side, in the order given. Dates of stages are looked for in
/// every season, because the one after knows them.
pub fn table(seasons: &[Season]) -> Vec<SeasonRow> {
    seasons.iter().map(|s| row(s, seasons)).collect()
}

fn row(season: &Season, all: &[Season]) -> SeasonRow {
    let count = |is: fn(&TaskState) -> bool| season.tasks.iter().filter(|t| is(&t.state)).count();
    let copper = records::copper(season);
    let (drop, seen) = match season.dates.leaf_drop_seen {
        Some(day) => (day, true),
        None => (season.dates.leaf_drop_expected, false),
    };
    SeasonRow {
        season: season.season.clone(),
        leaf_drop: (drop, seen),
        planned: season.tasks.len(),
        done: count(|s| matches!(s, TaskState::Done(_))),
        skipped: count(|s| matches!(s, TaskState::Skipped(_))),
        moves: season.tasks.iter().map(|t| t.moved.len()).sum(),
        records: records::current(season).count(),
        copper_kg_per_ha: copper
            .iter()
            .map(|b| b.season_kg_per_ha)
            .fold(0.0, f64::max),
        copper_unknown_uses: copper.iter().map(|b| b.unknown_uses).max().unwrap_or(0),
        blocks: season
            .blocks
            .iter()
            .map(|b| block_year(season, all, &b.id, &b.name))
            .collect(),
    }
}

/// A stage dated by the grower, in this or any other season's file.
fn dated(season: &Season, all: &[Season], block: &BlockId, stages: &[Stage]) -> Option<NaiveDate> {
    all.iter()
        .chain([season])
        .filter_map(|s| s.block(block))
        .flat_map(|b| &b.past)
        .find(|p| stages.contains(&p.stage) && is_within(season, p.date))
        .map(|p| p.date)
}

fn block_year(season: &Season, all: &[Season], block: &BlockId, name: &str) -> BlockYear {
    let swell_seen = dated(season, all, block, &[Stage::Swell]);
    let swollen_by = match swell_seen {
        Some(_) => None,
        None => first_look_at(season, block, Stage::Swell),
    };
    let mut noted: Vec<NotedEstimate> = season
        .estimates_noted
        .iter()
        .filter(|n| &n.block == block && n.stage == Stage::Swell)
        .map(|n| NotedEstimate {
            date: n.date,
            range: Range {
                p10: n.p10,
                p50: n.p50,
                p90: n.p90,
            },
            lead_days: swell_seen.map(|s| (s - n.date).num_days()),
            error_days: swell_seen.map(|s| (n.p50 - s).num_days()),
            is_inside: swell_seen.map(|s| (n.p10..=n.p90).contains(&s)),
        })
        .collect();
    noted.sort_by_key(|n| n.date);
    BlockYear {
        block: block.clone(),
        name: name.to_owned(),
        swell_seen,
        swollen_by,
        bloom_seen: dated(season, all, block, &[Stage::FirstBloom, Stage::FullBloom]),
        noted,
    }
}
