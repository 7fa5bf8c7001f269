//! What to look at in the orchard this week.

use super::swell::{Range, stage_date};
use crate::domain::outlook::Estimates;
use crate::domain::phenology::stage::Stage;
use crate::domain::records;
use crate::domain::season::{Block, Reading, Season, TargetId, Task, TaskKind};
use crate::domain::sources::{self, Source};
use crate::domain::targets::{self, TargetView, Threshold};
use chrono::NaiveDate;

/// Something to look at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// What.
    pub what: String,
    /// How, and what the numbers mean.
    pub how: String,
    /// Where that comes from.
    pub source: &'static Source,
}

/// Looking at buds begins this long before swell may come…
const BUDS_FROM_DAYS: i64 = 35;
/// …and is wanted twice a week from here on.
const BUDS_OFTEN_DAYS: i64 = 10;
/// Leaves are watched from this long before their expected fall.
const LEAVES_FROM_DAYS: i64 = 21;
/// Counting waits until the leaves have been down this long.
const COUNT_AFTER_DAYS: i64 = 14;

/// What to look at this week.
pub fn look(season: &Season, estimates: &Estimates, today: NaiveDate) -> Vec<Look> {
    let mut list = Vec::new();
    list.extend(leaves(season, today));
    list.extend(buds(season, estimates, today));
    list.extend(counts(season, estimates, today));
    list.extend(pruning(season, today));
    list.extend(held(season, today));
    list
}

fn names(blocks: &[&Block], season: &Season) -> String {
    if blocks.len() == season.blocks.len() && blocks.len() > 1 {
        return "all blocks".to_owned();
    }
    let names: Vec<&str> = blocks.iter().map(|b| b.name.as_str()).collect();
    names.join(", ")
}

fn leaves(season: &Season, today: NaiveDate) -> Option<Look> {
    let blocks: Vec<&Block> = season
        .blocks
        .iter()
        .filter(|b| {
            let (day, seen) = season.leaf_drop(b);
            !seen && (day - today).num_days() <= LEAVES_FROM_DAYS
        })
        .collect();
    (!blocks.is_empty()).then(|| Look {
        what: format!("leaves of {}", names(&blocks, season)),
        how: "note the day nine in ten are down".to_owned(),
        source: &sources::LEAF_DROP_LOOK,
    })
}

/// The last look at a block's buds.
fn last_look(season: &Season, block: &Block, today: NaiveDate) -> Option<(NaiveDate, u8)> {
    season
        .readings
        .iter()
        .filter(|r| r.is_for(&block.id) && r.date() <= today)
        .filter_map(|r| match r {
            // Stages of leaf fall are no news about next spring's buds.
            Reading::Buds { date, bbch, .. } if *bbch < 90 => Some((*date, *bbch)),
            _ => None,
        })
        .max_by_key(|(date, _)| *date)
}

fn buds(season: &Season, estimates: &Estimates, today: NaiveDate) -> Option<Look> {
    let mut wanted = Vec::new();
    let mut next = Stage::FirstBloom.bbch();
    for block in &season.blocks {
        let range = stage_date(estimates, &block.id, Stage::Swell).map(Range::of);
        let Some(range) = range else { continue };
        let (last, stage) = match last_look(season, block, today) {
            Some((date, stage)) => (Some(date), stage),
            None => (None, 0),
        };
        let until_p10 = (range.p10 - today).num_days();
        let every = if until_p10 <= BUDS_OFTEN_DAYS { 3 } else { 7 };
        let is_old = last.is_none_or(|d| (today - d).num_days() >= every);
        if until_p10 > BUDS_FROM_DAYS || stage >= Stage::FirstBloom.bbch() || !is_old {
            continue;
        }
        next = next.min(match stage {
            0..51 => 51,
            51 | 52 => 53,
            _ => 61,
        });
        wanted.push(block);
    }
    let what_next = match next {
        51 => "BBCH 0 still tight, 51 swelling",
        53 => "BBCH 51 swelling, 53 green tip",
        _ => "BBCH 53 green tip, 61 first flowers",
    };
    (!wanted.is_empty()).then(|| Look {
        what: format!("buds of {}", names(&wanted, season)),
        how: format!("note the stage ({what_next}) with `barewood read buds`"),
        source: &sources::SCOUT_BUDS,
    })
}

/// Eggs that are counted though no threshold of their own is published.
const EGGS_COUNTED: [&str; 2] = ["aphid-eggs", "mite-eggs"];

/// How a target is counted on the bare tree, and how the count is read.
fn counting(view: &TargetView<'_>) -> Option<(&'static str, &'static Source)> {
    let how = match view.threshold() {
        Some(Threshold::SpurSample) => {
            "2-3 inner spurs a tree; none on 20: stop; 1-3: look at 20 more; 4 or more: treat"
        }
        Some(Threshold::EggsIn100) => {
            "eggs on 100 spurs; one calls for treatment, none proves nothing"
        }
        Some(Threshold::BeatTray) => {
            "beat 100 branches over a tray; fewer than one adult is the goal"
        }
        Some(Threshold::AnyFound) => "look under bud scales; any found calls for treatment",
        None if EGGS_COUNTED.contains(&view.key()) => {
            return Some(("note on how many of 100 spurs", &sources::SCOUT_EGGS));
        }
        None => return None,
    };
    view.threshold().map(|t| (how, t.source()))
}

fn counts(season: &Season, estimates: &Estimates, today: NaiveDate) -> Vec<Look> {
    let mut list: Vec<Look> = Vec::new();
    for view in targets::all(season) {
        let Some((how, source)) = counting(&view) else {
            continue;
        };
        let target = view.id();
        let blocks: Vec<&Block> = season
            .blocks
            .iter()
            .filter(|b| view.lives_on(b.species))
            .filter(|b| is_time_to_count(season, estimates, b, today))
            .filter(|b| is_at_issue(season, b, &target) && !is_counted(season, b, &target))
            .collect();
        if blocks.is_empty() {
            continue;
        }
        let what = format!("{} on {}", view.name(), names(&blocks, season));
        // Two that are counted alike share a line; the counts are never added together.
        match list.iter_mut().find(|l| l.how == how) {
            Some(same) => {
                same.what.push_str("; ");
                same.what.push_str(&what);
            }
            None => list.push(Look {
                what,
                how: how.to_owned(),
                source,
            }),
        }
    }
    list
}

fn is_time_to_count(
    season: &Season,
    estimates: &Estimates,
    block: &Block,
    today: NaiveDate,
) -> bool {
    let (leaves_down, _) = season.leaf_drop(block);
    let swell = stage_date(estimates, &block.id, Stage::Swell).map(Range::of);
    (today - leaves_down).num_days() >= COUNT_AFTER_DAYS && swell.is_none_or(|s| today <= s.p50)
}

/// Seen on the block, or the aim of one of its open sprays.
fn is_at_issue(season: &Season, block: &Block, target: &TargetId) -> bool {
    block.seen.iter().any(|s| &s.target == target)
        || season
            .tasks
            .iter()
            .any(|t| t.targets.contains(target) && season.is_open_on(t, &block.id))
}

fn is_counted(season: &Season, block: &Block, target: &TargetId) -> bool {
    block
        .seen
        .iter()
        .any(|s| &s.target == target && s.season == season.season && s.count.is_some())
}

fn is_near(date: NaiveDate, today: NaiveDate) -> bool {
    (-7..=7).contains(&(date - today).num_days())
}

fn pruning(season: &Season, today: NaiveDate) -> Option<Look> {
    let prunes = |t: &&Task| t.kind == TaskKind::Prune && t.state.is_open();
    season
        .tasks
        .iter()
        .filter(prunes)
        .any(|t| is_near(t.date, today))
        .then(|| Look {
            what: "while pruning".to_owned(),
            how: "look for mummies, cankers, scale and egg masses; note them on the block"
                .to_owned(),
            source: &sources::SCOUT_WINTER,
        })
}

/// Sprays whose effect was to be looked at about now.
fn held(season: &Season, today: NaiveDate) -> Vec<Look> {
    records::current(season)
        .filter(|r| r.next_check.is_some_and(|d| is_near(d, today)))
        .map(|r| {
            let title = r
                .task
                .as_ref()
                .and_then(|id| season.task(id))
                .map_or("the spray", |t| t.title.as_str());
            Look {
                what: format!("{title} of {}", r.date),
                how: "see whether it held (rain, coverage)".to_owned(),
                source: &sources::RECORD_PRACTICE,
            }
        })
        .collect()
}
