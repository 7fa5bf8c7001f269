//! Which warnings are new, and which are gone.

use crate::domain::outlook::Outlook;
use crate::domain::rules::{Family, Level, Warning, rule};

/// A stop or caution that stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Risk {
    /// The warning.
    pub warning: Warning,
    /// Was it absent, or less grave, at the last review?
    pub is_new: bool,
}

/// The stops and cautions of now, new ones first.
pub fn risks(then: &Outlook, now: &Outlook) -> Vec<Risk> {
    let appeared = then.changes_to(now).appeared;
    let mut risks: Vec<Risk> = now
        .warnings
        .iter()
        .filter(|w| w.level >= Level::Caution)
        .map(|w| Risk {
            warning: w.clone(),
            // The hours known at the last review are not kept: what they say is never called new.
            is_new: !is_of_hours(w) && appeared.iter().any(|a| a.is_same_matter(w)),
        })
        .collect();
    risks.sort_by_key(|r| !r.is_new);
    risks
}

fn is_of_hours(warning: &Warning) -> bool {
    rule(warning.rule).is_some_and(|r| r.family == Family::Weather)
}

/// The stops and cautions of then that no longer stand at any level.
pub(super) fn cleared(then: &Outlook, now: &Outlook) -> Vec<Warning> {
    then.changes_to(now)
        .cleared
        .into_iter()
        .filter(|w| w.level >= Level::Caution)
        .filter(|w| {
            !now.warnings.iter().any(|n| {
                n.rule == w.rule
                    && n.task == w.task
                    && n.block == w.block
                    && n.material == w.material
            })
        })
        .collect()
}
