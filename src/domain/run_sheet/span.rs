//! The days a spray may be done on a block.

use crate::domain::mix::safety;
use crate::domain::rules::{Facts, Spray};
use crate::domain::season::TaskId;
use crate::domain::uses::distance;
use crate::domain::window;
use chrono::NaiveDate;

/// First and last day, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// The first day.
    pub opens: NaiveDate,
    /// The last safe day, where an estimate tells it.
    pub last_safe: Option<NaiveDate>,
}

impl Span {
    /// Does a day lie in it?
    pub fn has(self, day: NaiveDate) -> bool {
        day >= self.opens && self.last_safe.is_none_or(|l| day <= l)
    }
}

/// The narrowest window of its purposes on this block.
pub fn span_of(facts: &Facts<'_>, spray: &Spray<'_>, block_ix: usize) -> Span {
    let season = facts.season;
    let opens = season
        .blocks
        .get(block_ix)
        .map_or(facts.today, |b| season.leaf_drop(b).0);
    let mut span = Span {
        opens,
        last_safe: None,
    };
    let mut narrow = |opens: Option<NaiveDate>, closes: Option<NaiveDate>| {
        if let Some(day) = opens {
            span.opens = span.opens.max(day);
        }
        if let Some(day) = closes {
            span.last_safe = Some(span.last_safe.map_or(day, |l| l.min(day)));
        }
    };
    let purposes = facts.windows().purposes().iter();
    for p in purposes.filter(|p| p.used.block_ix == block_ix && p.used.task.id == spray.task.id) {
        let closes = p.window.closes.map(|e| e.day);
        // The distance from sprays that are still to do hangs on where those go: see `wait_days`.
        let opens = p.window.opens_alone;
        // A likely stage behind the last safe day narrows nothing on that day.
        let opens = opens.map(|e| match closes {
            Some(last) if !e.kind.is_firm() => e.day.min(last),
            _ => e.day,
        });
        narrow(opens, closes);
        narrow(window::after_what_was_done(facts, &p.used), None);
        if p.window.spent.is_some() {
            // No day is left of it, whatever its stage.
            narrow(None, facts.today.pred_opt());
        }
    }
    if spray.parts.is_empty()
        && let Some(window) = facts.windows().of(&spray.task.id)
    {
        narrow(window.opens_on(), window.last_safe());
    }
    span
}

/// Days between two sprays of one block: the label's interval where they share an active, days
/// the two actives are kept apart, the re-entry interval of the first, and a day to dry.
pub fn wait_days(facts: &Facts<'_>, first: &TaskId, later: &TaskId) -> i64 {
    let parts = facts
        .all_sprays()
        .iter()
        .filter(|s| &s.task.id == first)
        .flat_map(|s| s.parts.iter().map(|p| p.1));
    let reentry = safety::reentry(parts);
    let mut wait = reentry
        .hours
        .map_or(1, |h| (h / 24.0).ceil().clamp(1.0, 365.0) as i64);
    for (block_ix, (_, events)) in facts.timelines().enumerate() {
        let of = |id: &TaskId| {
            let id = id.clone();
            events
                .iter()
                .filter(move |e| e.used.is_some_and(|u| u.task.id == id))
        };
        let estimate = facts.estimate_at(block_ix);
        for a in of(first) {
            for b in of(later) {
                let interval = distance::interval(facts, a, b).map_or(0, |i| i.0.whole_days());
                let apart = distance::keep_apart(facts, a, b, estimate)
                    .filter(|_| a.material != b.material)
                    .map_or(0, |apart| apart.days);
                wait = wait.max(interval).max(apart);
            }
        }
    }
    wait
}
