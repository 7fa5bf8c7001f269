//! Facts → warnings.
//!
//! A rule is one function and one row of [`RULES`]. Everything that shows a
//! warning, explains it or lists the rules reads that table. To add a rule:
//! write the function in the file of its family, add its row to `table`, add
//! its cases to `tests/rules.rs`.

mod aim;
pub(crate) mod apart;
mod around;
mod bloom;
mod clear;
pub mod copper;
mod explain;
mod facts;
mod family;
mod label;
mod partners;
mod plan;
mod repeat;
pub mod short;
mod table;
mod tender;
mod timing;
pub mod trees;
mod unclear;
mod weather;
mod words;
mod work;

pub use explain::explain;
pub use facts::{Event, Facts, Spray, Use};
pub use family::Family;
pub use table::RULES;
pub(crate) use words::days;

use super::season::{BlockId, MaterialId, TargetId, TaskId};
use super::sources::Source;
use serde::Serialize;
use std::cmp::Reverse;

/// How grave a warning is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Worth knowing.
    Note,
    /// Look again before spraying.
    Caution,
    /// Do not spray as planned.
    Stop,
}

impl Level {
    /// The word shown, so that nothing rests on colour.
    pub fn words(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Stop => "stop",
        }
    }
}

/// What a rule found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Warning {
    /// The rule's id.
    pub rule: &'static str,
    /// How grave.
    pub level: Level,
    /// The task it is about.
    pub task: Option<TaskId>,
    /// The block it is about.
    pub block: Option<BlockId>,
    /// The material it is about.
    pub material: Option<MaterialId>,
    /// The target it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target: Option<TargetId>,
    /// What is wrong, in one plain sentence.
    pub message: String,
    /// The numbers used.
    pub why: String,
    /// What to do.
    pub todo: String,
    /// Where the rule comes from.
    pub source: &'static Source,
}

impl Warning {
    /// Is it about the same thing at the same level, whatever the numbers now say?
    pub fn is_same_matter(&self, other: &Self) -> bool {
        self.rule == other.rule
            && self.level == other.level
            && self.task == other.task
            && self.block == other.block
            && self.material == other.material
            && self.target == other.target
    }

    /// Level, task and message in one line.
    pub fn line(&self) -> String {
        match &self.task {
            Some(task) => format!("{}: {task}: {}", self.level.words(), self.message),
            None => format!("{}: {}", self.level.words(), self.message),
        }
    }
}

/// One rule: its metadata and its function.
pub struct Rule {
    /// Stable id, also used to quieten it.
    pub id: &'static str,
    /// Its name in plain words.
    pub title: &'static str,
    /// What it looks at, in one sentence.
    pub about: &'static str,
    /// Where it comes from.
    pub source: &'static Source,
    /// What it is about: of equal levels the earlier family is said first.
    pub family: Family,
    /// Looks at the facts and reports what it finds.
    pub check: fn(&Self, &Facts<'_>, &mut Vec<Warning>),
}

/// The rule with this id.
pub fn rule(id: &str) -> Option<&'static Rule> {
    RULES.iter().find(|r| r.id == id)
}

/// Runs every rule; quietened ones are left out; worst first, then by what the
/// tool is for, then by day.
pub fn check(facts: &Facts<'_>) -> Vec<Warning> {
    let mut found: Vec<Warning> = Vec::new();
    let mut order = Vec::new();
    for rule in RULES {
        let first = found.len();
        (rule.check)(rule, facts, &mut found);
        for (place, warning) in found.iter().enumerate().skip(first) {
            let task = warning.task.as_ref();
            let task = task.and_then(|t| facts.task(t.as_str()));
            if !facts.is_quiet(warning, task) {
                let day = task.map(|t| t.date);
                order.push((Reverse(warning.level), rule.family, day, rule.id, place));
            }
        }
    }
    order.sort_unstable();
    // Each is moved once.
    let mut found: Vec<Option<Warning>> = found.into_iter().map(Some).collect();
    let in_order = order
        .into_iter()
        .filter_map(|(.., place)| found.get_mut(place)?.take());
    in_order.collect()
}
