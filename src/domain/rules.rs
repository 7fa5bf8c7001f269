//! Facts → warnings.
//!
//! A rule is one function and one row of [`RULES`]. Everything that shows a
//! warning, explains it or lists the rules reads that table. To add a rule:
//! write the function in the file of its family, add its row, add its cases
//! to `tests/rules.rs`.

mod deadline;
mod facts;
mod label;
mod plan;
mod timing;

pub use deadline::{Deadline, deadline};
pub use facts::{Facts, Use};

use super::season::{BlockId, MaterialId, TaskId};
use super::sources::{self, Source};

/// How grave a warning is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
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
#[derive(Debug, Clone, PartialEq)]
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
    /// Looks at the facts and reports what it finds.
    pub check: fn(&Self, &Facts<'_>, &mut Vec<Warning>),
}

/// Every rule.
pub static RULES: &[Rule] = &[
    Rule {
        id: "too-close-to-swell",
        title: "Too close to swell",
        about: "A spray whose target or label wants bare wood falls where buds may already swell.",
        source: &sources::LEAF_CURL_BEFORE_SWELL,
        check: timing::too_close_to_swell,
    },
    Rule {
        id: "past-stage-limit",
        title: "Past the stage limit",
        about: "A spray falls after the last stage its label, its target or its kind of tree allows.",
        source: &sources::OIL_LAST_STAGE,
        check: timing::past_stage_limit,
    },
    Rule {
        id: "before-leaf-drop",
        title: "Before leaf drop",
        about: "A dormant spray falls before the leaves are down.",
        source: &sources::LEAF_DROP_START,
        check: timing::before_leaf_drop,
    },
    Rule {
        id: "interval-too-short",
        title: "Interval too short",
        about: "Two uses of a material on a block are closer than its label allows.",
        source: &sources::LABEL,
        check: label::interval_too_short,
    },
    Rule {
        id: "overdue",
        title: "Overdue",
        about: "An open task is past its day.",
        source: &sources::PLAN_KEPT,
        check: plan::overdue,
    },
    Rule {
        id: "label-not-read",
        title: "Label not read this season",
        about: "A spray is planned with a material whose label was not read this season.",
        source: &sources::LABEL_EACH_SEASON,
        check: label::label_not_read,
    },
    Rule {
        id: "critical-lane-empty",
        title: "Critical lane empty",
        about: "A block has no spray planned or done before swell.",
        source: &sources::CRITICAL_LANE,
        check: plan::critical_lane_empty,
    },
];

/// The rule with this id.
pub fn rule(id: &str) -> Option<&'static Rule> {
    RULES.iter().find(|r| r.id == id)
}

/// Runs every rule; quietened ones are left out; worst first, then by day.
pub fn check(facts: &Facts<'_>) -> Vec<Warning> {
    let mut found = Vec::new();
    for rule in RULES {
        (rule.check)(rule, facts, &mut found);
    }
    found.retain(|w| !facts.is_quiet(w));
    let day = |w: &Warning| {
        w.task
            .as_ref()
            .and_then(|t| facts.season.task(t))
            .map(|t| t.date)
    };
    found.sort_by(|a, b| {
        b.level
            .cmp(&a.level)
            .then_with(|| day(a).cmp(&day(b)))
            .then_with(|| a.rule.cmp(b.rule))
    });
    found
}
