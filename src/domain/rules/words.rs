//! Numbers as warnings say them.

use super::{Level, Rule, Warning};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::season::{Block, Material, TargetId, Task};
use crate::domain::sources::Source;
use crate::domain::units::plain_number;
use chrono::{Datelike, Month, NaiveDate};

/// Chance as people read it: whole percent, never a false 0 or 100.
pub(crate) fn percent(chance: f64) -> String {
    match (chance * 100.0).round() {
        p if p < 1.0 && chance > 0.0 => "under 1 %".to_owned(),
        p if p > 99.0 && chance < 1.0 => "over 99 %".to_owned(),
        p => format!("{p} %"),
    }
}

/// A stage date with its range.
pub(crate) fn range(date: &StageDate) -> String {
    format!(
        "about {} ({} to {}, 8 in 10)",
        day(date.p50()),
        day(date.p10()),
        day(date.p90())
    )
}

/// A number with at most two decimals.
pub(crate) fn two(value: f64) -> String {
    plain_number((value * 100.0).round() / 100.0)
}

/// A value and its limit with two decimals, or as many more as show that they differ.
pub(crate) fn apart(value: f64, limit: f64) -> (String, String) {
    (2..=6)
        .map(|decimals| {
            let rounded =
                |x: f64| plain_number((x * 10_f64.powi(decimals)).round() / 10_f64.powi(decimals));
            (rounded(value), rounded(limit))
        })
        .find(|(v, l)| v != l)
        .unwrap_or_else(|| (two(value), two(limit)))
}

/// Is `value` above `limit` by more than arithmetic noise?
pub(crate) fn over(value: f64, limit: f64) -> bool {
    value > limit * (1.0 + 1e-9) + 1e-12
}

/// The same sentence with a capital first letter.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// A day as people say it: `Sat 20 Mar`.
pub(crate) fn day(date: NaiveDate) -> String {
    let month = u8::try_from(date.month())
        .ok()
        .and_then(|m| Month::try_from(m).ok());
    let month = month.and_then(|m| m.name().get(..3)).unwrap_or_default();
    format!("{} {} {month}", date.weekday(), date.day())
}

/// `1 day`, `2 days`.
pub(crate) fn days(n: i64) -> String {
    format!("{n} {}", if n == 1 { "day" } else { "days" })
}

impl Rule {
    /// A warning of this rule, with its own source, about nothing yet.
    pub(crate) fn warn(&self, level: Level, message: String, why: String, todo: String) -> Warning {
        Warning {
            rule: self.id,
            level,
            task: None,
            block: None,
            material: None,
            target: None,
            message,
            why,
            todo,
            source: self.source,
        }
    }
}

impl Warning {
    pub(crate) fn task(mut self, task: &Task) -> Self {
        self.task = Some(task.id.clone());
        self
    }

    pub(super) fn block(mut self, block: &Block) -> Self {
        self.block = Some(block.id.clone());
        self
    }

    pub(super) fn material(mut self, material: &Material) -> Self {
        self.material = Some(material.id.clone());
        self
    }

    pub(super) fn target(mut self, target: &TargetId) -> Self {
        self.target = Some(target.clone());
        self
    }

    pub(super) fn source(mut self, source: &'static Source) -> Self {
        self.source = source;
        self
    }
}
