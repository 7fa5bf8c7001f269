//! The farm in one table: a row a block, each with what is still to be sprayed there and until
//! when; sorted by danger, grouped, filtered by words.

mod filter;
mod folds;

pub use filter::{Group, filtered, grouped};
pub use folds::{Fold, Folds};

use super::hours::fits::Fits;
use super::materials::{Actives, actives_of};
use super::outlook::{Estimates, Outlook};
use super::records;
use super::rules::{Facts, Level, Spray};
use super::run_sheet::span::span_of;
use super::season::{BlockId, Season, SprayerId, TaskId, TaskState};
use super::window::CLOSING_DAYS;
use chrono::{NaiveDate, NaiveDateTime};

/// The rule that says that a task is late: the table says it by a state of its own.
const LATE: &str = "overdue";

/// How a block stands for a purpose, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum State {
    /// A stop stands on it, or its last safe day has passed.
    Stop,
    /// To do, and the last safe day is within a week.
    Closing,
    /// A caution stands on it.
    Caution,
    /// To do, its day has passed, and there is time.
    Late,
    /// To do.
    Open,
    /// To do, and its window is not open yet.
    NotYet,
    /// Done.
    Done,
    /// Skipped.
    Skipped,
    /// Nothing is planned here.
    NoUse,
}

impl State {
    /// Every state, worst first.
    pub const ALL: [Self; 9] = [
        Self::Stop,
        Self::Closing,
        Self::Caution,
        Self::Late,
        Self::Open,
        Self::NotYet,
        Self::Done,
        Self::Skipped,
        Self::NoUse,
    ];

    /// The word on the screen.
    pub fn words(self) -> &'static str {
        match self {
            Self::Stop => "STOP",
            Self::Caution => "caution",
            Self::Closing => "closing",
            Self::Late => "late",
            Self::Open => "open",
            Self::NotYet => "not yet",
            Self::Done => "done",
            Self::Skipped => "skipped",
            Self::NoUse => "no use",
        }
    }

    /// Is there still something to do?
    pub fn is_open(self) -> bool {
        self < Self::Done
    }
}

/// One purpose on one block: a kind of material with its task.
#[derive(Debug, Clone, PartialEq)]
pub struct Purpose {
    /// `copper`, `oil`, `lime sulfur`, or the active's own name.
    pub name: String,
    /// The task.
    pub task: TaskId,
    /// How it stands.
    pub state: State,
    /// The first day of its window.
    pub opens: NaiveDate,
    /// The last safe day, where it is still to do and an estimate tells it.
    pub last_safe: Option<NaiveDate>,
    /// The day it is planned for.
    pub planned: NaiveDate,
    /// The hour.
    pub hour: Option<u32>,
    /// With which sprayer.
    pub sprayer: Option<SprayerId>,
    /// Minutes it takes.
    pub minutes: u32,
    /// The day it was done.
    pub done: Option<NaiveDate>,
    /// The gravest warning's one sentence, where it is a stop or a caution.
    pub wrong: Option<String>,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmRow {
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// Its kind of tree.
    pub kind: &'static str,
    /// The range of its swell, 8 times in 10.
    pub swell: Option<(NaiveDate, NaiveDate)>,
    /// Every purpose, worst first.
    pub purposes: Vec<Purpose>,
    /// Keep out until then; `None` in the pair where somebody must see that it is dry.
    pub keep_out: Option<Option<NaiveDateTime>>,
}

impl FarmRow {
    /// The worst of its purposes.
    pub fn worst(&self) -> Option<&Purpose> {
        self.purposes.first()
    }

    /// The state shown for the row.
    pub fn state(&self) -> State {
        self.worst().map_or(State::NoUse, |p| p.state)
    }
}

/// The table of a season at a moment, sorted by danger.
pub fn table(
    season: &Season,
    estimates: &Estimates,
    outlook: &Outlook,
    fits: Option<&Fits>,
    now: NaiveDateTime,
) -> Vec<FarmRow> {
    let facts = Facts::new(season, estimates, now.date());
    let facts = match fits {
        Some(fits) => facts.with_fits(fits),
        None => facts,
    };
    let reentries = records::reentries(season, now);
    let mut rows: Vec<FarmRow> = season
        .blocks
        .iter()
        .enumerate()
        .map(|(ix, block)| {
            let mut purposes: Vec<Purpose> = facts
                .all_sprays()
                .iter()
                .filter(|s| s.blocks.contains(&ix))
                .flat_map(|s| of_spray(&facts, outlook, s, ix))
                .chain(skipped(season, ix))
                .collect();
            purposes.sort_by_key(|p| (p.state, p.last_safe.unwrap_or(NaiveDate::MAX), p.planned));
            let keep_out = reentries
                .iter()
                .filter(|r| r.standing.is_open() && r.blocks.contains(&block.id))
                .map(|r| match r.standing {
                    records::Standing::Runs { until, .. } => Some(until),
                    _ => None,
                })
                .max();
            FarmRow {
                block: block.id.clone(),
                name: block.name.clone(),
                kind: block.species.words(),
                swell: facts
                    .estimate_at(ix)
                    .map(|e| (e.swell.p10(), e.swell.p90())),
                purposes,
                keep_out,
            }
        })
        .collect();
    by_danger(&mut rows);
    rows
}

/// Sorts rows: state, then last safe day, then name.
pub fn by_danger(rows: &mut [FarmRow]) {
    rows.sort_by(|a, b| {
        let last = |r: &FarmRow| {
            r.worst()
                .and_then(|p| p.last_safe)
                .unwrap_or(NaiveDate::MAX)
        };
        (a.state(), last(a), &a.name).cmp(&(b.state(), last(b), &b.name))
    });
}

/// The names of what is in a tank, by what it is for.
fn names(spray: &Spray<'_>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (_, material, kinds, _) in &spray.parts {
        let name = name_of(*kinds, &material.active);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    if names.is_empty() {
        names.push("spray".to_owned());
    }
    names
}

fn name_of(kinds: Actives, active: &str) -> String {
    for (kind, name) in [
        (Actives::COPPER, "copper"),
        (Actives::LIME_SULFUR, "lime sulfur"),
        (Actives::OIL, "oil"),
    ] {
        if kinds.any(kind) {
            return name.to_owned();
        }
    }
    active.to_lowercase()
}

fn of_spray(facts: &Facts<'_>, outlook: &Outlook, spray: &Spray<'_>, ix: usize) -> Vec<Purpose> {
    let task = spray.task;
    let block = facts.season.blocks.get(ix);
    let span = span_of(facts, spray, ix);
    let today = facts.today;
    let about =
        |w: &&super::rules::Warning| w.block.is_none() || w.block.as_ref() == block.map(|b| &b.id);
    let worst = spray
        .is_open()
        .then(|| {
            outlook
                .warnings_of(&task.id)
                .filter(about)
                .filter(|w| w.level >= Level::Caution && w.rule != LATE)
                .max_by_key(|w| w.level)
        })
        .flatten();
    let state = match (spray.done, span.last_safe) {
        (Some(_), _) => State::Done,
        (None, Some(last)) if last < today => State::Stop,
        _ if worst.is_some_and(|w| w.level == Level::Stop) => State::Stop,
        (None, Some(last)) if (last - today).num_days() <= CLOSING_DAYS => State::Closing,
        _ if worst.is_some() => State::Caution,
        _ if task.date < today => State::Late,
        _ if span.opens > today => State::NotYet,
        _ => State::Open,
    };
    let minutes = block.map_or(0, |b| {
        let sprayer = super::hours::job::sprayer(facts.season, task);
        let one = super::hours::job::Job::of_blocks(facts.season, task, &[b], sprayer);
        if one.is_assumed() {
            0
        } else {
            (one.hours * 60.0).ceil().clamp(0.0, 60_000.0) as u32
        }
    });
    names(spray)
        .into_iter()
        .map(|name| Purpose {
            name,
            task: task.id.clone(),
            state,
            opens: span.opens,
            last_safe: span.last_safe,
            planned: task.date,
            hour: task.hour,
            sprayer: task.sprayer.clone(),
            minutes,
            done: spray.done,
            wrong: worst.map(|w| w.message.clone()),
        })
        .collect()
}

fn skipped(season: &Season, ix: usize) -> Vec<Purpose> {
    let Some(block) = season.blocks.get(ix) else {
        return Vec::new();
    };
    season
        .tasks
        .iter()
        .filter(|t| matches!(t.state, TaskState::Skipped(_)) && !t.mix.is_empty())
        .filter(|t| season.blocks_of(t).any(|b| b.id == block.id))
        .map(|t| {
            let active = t.mix.first().and_then(|p| season.material(&p.material));
            Purpose {
                name: active.map_or_else(
                    || "spray".to_owned(),
                    |m| name_of(actives_of(&m.active), &m.active),
                ),
                task: t.id.clone(),
                state: State::Skipped,
                opens: t.date,
                last_safe: None,
                planned: t.date,
                hour: t.hour,
                sprayer: t.sprayer.clone(),
                minutes: 0,
                done: None,
                wrong: None,
            }
        })
        .collect()
}
