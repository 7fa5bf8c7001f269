//! Days that two actives must be kept apart on the same trees.

use super::facts::Event;
use super::partners::in_one_tank;
use super::repeat::same_task;
use super::timing::exceeds;
use super::words::days;
use super::{Facts, Level, Rule, Warning};
use crate::domain::country;
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
    /// West of the Rocky Mountains, and where the place is not known to lie east of them in
    /// North America.
    InTheWestOrUnknown,
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
        days: 30,
        when: When::InTheWestOrUnknown,
        source: &sources::OIL_SULFUR_WEST,
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
        a: Actives::CAPTAN,
        b: Actives::LIME_SULFUR,
        days: 7,
        when: When::Always,
        source: &sources::CAPTAN_LIME_SULFUR,
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
                            "'{}' on {} ({}) and '{}' on {} ({}).{}",
                            earlier.title(),
                            earlier.day,
                            earlier.active,
                            later.title(),
                            later.day,
                            later.active,
                            dissent(earlier.kinds | later.kinds, wanted)
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

/// Where two sources differ on oil and sulfur, what the other one says.
fn dissent(kinds: Actives, wanted: i64) -> &'static str {
    if !(kinds.any(Actives::OIL) && kinds.any(Actives::ANY_SULFUR)) {
        return "";
    }
    match wanted {
        30 => {
            " 30 days by the University of California and in growth, 14 by the University of Georgia; the longer one holds in the West and where the place is not known."
        }
        14 => " 14 days by the University of Georgia; the University of California asks for 30.",
        _ => "",
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
    let pair = PAIRS.iter().find(|p| {
        let fits = (a.kinds.any(p.a) && b.kinds.any(p.b)) || (a.kinds.any(p.b) && b.kinds.any(p.a));
        fits && holds(p.when, facts, estimate, b.day)
    })?;
    // On one day the second meets the first still wet: as in one tank.
    let met = (a.day == b.day)
        .then(|| in_one_tank(a.kinds, b.kinds))
        .flatten()
        .filter(|(level, _)| *level == Level::Stop);
    Some(match met {
        Some((level, source)) => (pair.days, level, source),
        None => (pair.days, Level::Caution, pair.source),
    })
}

fn holds(when: When, facts: &Facts<'_>, estimate: Option<&BlockEstimate>, day: NaiveDate) -> bool {
    match when {
        When::Always => true,
        When::InTheWestOrUnknown => !country::is_east_of_the_rockies(&facts.season.orchard),
        When::InGrowth => {
            estimate.is_some_and(|e| exceeds(e.swell.chance_by(day), facts.tolerance()))
        }
        When::AfterGreenTip => {
            estimate.is_some_and(|e| exceeds(e.burst.chance_by(day), facts.tolerance()))
        }
    }
}
