//! Days that two actives must be kept apart on the same trees.

use super::facts::Event;
use super::repeat::same_task;
use super::timing::exceeds;
use super::words::days;
use super::{Facts, Level, Rule, Warning};
use crate::domain::materials::{Actives, named_alike};
use crate::domain::outlook::BlockEstimate;
use crate::domain::season::Material;
use crate::domain::sources::{self, Source};
use chrono::{Days, NaiveDate};

/// When a pair counts.
#[derive(Clone, Copy, PartialEq)]
enum When {
    Always,
    /// Only once buds may have swollen.
    InGrowth,
    /// Only once green tip may have been reached.
    AfterGreenTip,
}

struct Pair {
    a: Actives,
    b: Actives,
    days: i64,
    when: When,
    source: &'static Source,
}

/// Longest first, so that the strictest pair that fits speaks.
static PAIRS: &[Pair] = &[
    Pair {
        a: Actives::OIL,
        b: Actives::LIME_SULFUR,
        days: 30,
        when: When::InGrowth,
        source: &sources::OIL_SULFUR_GROWTH,
    },
    Pair {
        a: Actives::OIL,
        b: Actives::ANY_SULFUR,
        days: 14,
        when: When::Always,
        source: &sources::OIL_SULFUR,
    },
    Pair {
        a: Actives::OIL,
        b: Actives::CAPTAN,
        days: 14,
        when: When::Always,
        source: &sources::OIL_CAPTAN,
    },
    Pair {
        a: Actives::COPPER,
        b: Actives::ANY_SULFUR,
        days: 14,
        when: When::Always,
        source: &sources::COPPER_SULFUR,
    },
    Pair {
        a: Actives::OIL,
        b: Actives::CHLOROTHALONIL,
        days: 12,
        when: When::Always,
        source: &sources::OIL_CHLOROTHALONIL,
    },
    Pair {
        a: Actives::UREA,
        b: Actives::NOT_WITH_UREA,
        days: 7,
        when: When::AfterGreenTip,
        source: &sources::UREA_APART,
    },
];

/// Two actives that burn one after the other are kept apart, whichever task
/// or record they belong to. A label's own figure takes the place of the
/// common one, shorter or longer.
pub fn keep_apart(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let longest = facts
        .season
        .materials
        .iter()
        .flat_map(|m| m.label.keep_apart.iter().map(|k| i64::from(k.days)))
        .max()
        .unwrap_or(0)
        .max(30);
    for (block_ix, (block, events)) in facts.timelines().enumerate() {
        let estimate = facts.estimate_at(block_ix);
        for (i, later) in events.iter().enumerate() {
            let near = events
                .iter()
                .take(i)
                .rev()
                .take_while(|e| (later.day - e.day).num_days() < longest);
            for earlier in near {
                if earlier.material == later.material || same_task(earlier, later) {
                    continue;
                }
                let Some(open) = later
                    .used
                    .filter(|u| u.is_open())
                    .or(earlier.used.filter(|u| u.is_open()))
                else {
                    continue;
                };
                let gap = (later.day - earlier.day).num_days();
                let Some((wanted, level, source)) =
                    wanted(facts, earlier, later, estimate).filter(|w| gap < w.0)
                else {
                    continue;
                };
                let free = earlier
                    .day
                    .checked_add_days(Days::new(wanted.unsigned_abs()));
                out.push(
                    rule.warn(
                        level,
                        format!(
                            "{} {} after {} on {}; {wanted} wanted",
                            later.name,
                            days(gap),
                            earlier.name,
                            block.name
                        ),
                        format!(
                            "'{}' on {} ({}) and '{}' on {} ({}).",
                            earlier.title(),
                            earlier.day,
                            earlier.active,
                            later.title(),
                            later.day,
                            later.active
                        ),
                        free.map_or_else(String::new, |d| {
                            format!("Move the later one to {d} or after; the label's own figure counts where it gives one.")
                        }),
                    )
                    .task(open.task)
                    .block(block)
                    .material(open.material)
                    .source(source),
                );
            }
        }
    }
}

/// Days wanted between two uses, how grave too few are, and who says so. The second is the
/// later one: what holds in growth only is judged by its day.
pub(crate) fn wanted(
    facts: &Facts<'_>,
    a: &Event<'_>,
    b: &Event<'_>,
    estimate: Option<&BlockEstimate>,
) -> Option<(i64, Level, &'static Source)> {
    let of = |m: Option<&Material>, other: &Event<'_>| {
        m.and_then(|m| {
            m.label
                .keep_apart
                .iter()
                .filter(|k| named_alike(&k.active, other.active))
                .map(|k| i64::from(k.days))
                .max()
        })
    };
    let by_label = of(a.used.map(|u| u.material), b).max(of(b.used.map(|u| u.material), a));
    if let Some(days) = by_label {
        return Some((days, Level::Stop, &sources::LABEL));
    }
    PAIRS
        .iter()
        .find(|p| {
            let fits =
                (a.kinds.any(p.a) && b.kinds.any(p.b)) || (a.kinds.any(p.b) && b.kinds.any(p.a));
            fits && holds(p.when, facts, estimate, b.day)
        })
        .map(|p| (p.days, Level::Caution, p.source))
}

fn holds(when: When, facts: &Facts<'_>, estimate: Option<&BlockEstimate>, day: NaiveDate) -> bool {
    match when {
        When::Always => true,
        When::InGrowth => {
            estimate.is_some_and(|e| exceeds(e.swell.chance_by(day), facts.tolerance()))
        }
        When::AfterGreenTip => {
            estimate.is_some_and(|e| exceeds(e.burst.chance_by(day), facts.tolerance()))
        }
    }
}
