//! Days that two uses on the same trees lie apart: by the interval of a label, or because their
//! actives burn one after the other.

use super::{Event, Uses};
use crate::domain::country;
use crate::domain::materials::{Actives, named_alike};
use crate::domain::outlook::BlockEstimate;
use crate::domain::phenology::distribution::exceeds;
use crate::domain::season::{Material, Reentry};
use crate::domain::sources::{self, Source};
use crate::domain::units::Span;
use chrono::NaiveDate;

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

/// Days that two uses are kept apart, and who says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Apart {
    /// The days.
    pub days: i64,
    /// Does a label say so? Else it is common practice.
    pub by_label: bool,
    /// Where it comes from.
    pub source: &'static Source,
}

/// Days beyond which no use asks anything of a later one, by what the season's labels say and the
/// trade keeps apart; with days to spare for a long job before its re-entry.
pub(super) fn longest_days(materials: &[Material]) -> i64 {
    const LONG_JOB: i64 = 14;
    let own = materials.iter().map(|m| {
        let label = &m.label;
        let interval = label.interval.map_or(0, Span::whole_days);
        let apart = label.keep_apart.iter().map(|k| i64::from(k.days)).max();
        let reentry = match label.reentry {
            Some(Reentry::After(span)) => span.whole_days() + LONG_JOB,
            _ => 0,
        };
        interval.max(apart.unwrap_or(0)).max(reentry)
    });
    let common = PAIRS.iter().map(|p| p.days);
    own.chain(common).max().unwrap_or(0)
}

/// Do both belong to one task?
pub(crate) fn same_task(a: &Event<'_>, b: &Event<'_>) -> bool {
    match (a.used, b.used) {
        (Some(a), Some(b)) => std::ptr::eq(a.task, b.task),
        _ => false,
    }
}

/// The label's time between two uses, and whose label wants it: of the material itself, or of
/// either of two coppers, the longer; for copper counts by its metal, whatever it is sold as.
pub(crate) fn interval<'a>(
    uses: &Uses<'a>,
    earlier: &Event<'a>,
    later: &Event<'a>,
) -> Option<(Span, &'a Material)> {
    if same_task(earlier, later) {
        return None;
    }
    if earlier.material == later.material {
        return interval_of(uses, later);
    }
    if !(earlier.kinds.any(Actives::COPPER) && later.kinds.any(Actives::COPPER)) {
        return None;
    }
    let both = [interval_of(uses, later), interval_of(uses, earlier)];
    both.into_iter()
        .flatten()
        .max_by_key(|(interval, _)| interval.whole_days())
}

fn interval_of<'a>(uses: &Uses<'a>, event: &Event<'a>) -> Option<(Span, &'a Material)> {
    let material = event.used.map(|u| u.material).or_else(|| {
        uses.season
            .materials
            .iter()
            .find(|m| m.id.as_str() == event.material)
    })?;
    Some((material.label.interval?, material))
}

/// Days two actives are kept apart. The second use is the later one: what holds in growth only is
/// judged by its day. A label's own figure takes the place of the common one, shorter or longer.
pub(crate) fn keep_apart(
    uses: &Uses<'_>,
    a: &Event<'_>,
    b: &Event<'_>,
    estimate: Option<&BlockEstimate>,
) -> Option<Apart> {
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
        return Some(Apart {
            days,
            by_label: true,
            source: &sources::LABEL,
        });
    }
    let pair = PAIRS.iter().find(|p| {
        let fits = (a.kinds.any(p.a) && b.kinds.any(p.b)) || (a.kinds.any(p.b) && b.kinds.any(p.a));
        fits && holds(p.when, uses, estimate, b.day)
    })?;
    Some(Apart {
        days: pair.days,
        by_label: false,
        source: pair.source,
    })
}

fn holds(when: When, uses: &Uses<'_>, estimate: Option<&BlockEstimate>, day: NaiveDate) -> bool {
    match when {
        When::Always => true,
        When::InTheWestOrUnknown => !country::is_east_of_the_rockies(&uses.season.orchard),
        When::InGrowth => {
            estimate.is_some_and(|e| exceeds(e.swell.chance_by(day), uses.tolerance()))
        }
        When::AfterGreenTip => {
            estimate.is_some_and(|e| exceeds(e.burst.chance_by(day), uses.tolerance()))
        }
    }
}
