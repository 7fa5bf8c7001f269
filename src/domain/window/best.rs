//! The days inside a window on which a spray does most good.
//!
//! Common practice, no source, but for the stage that a target's own row names: after leaf drop
//! the sooner the better, for the rains of autumn carry spores; before swell the later the better,
//! with a week in hand for weather; where a target works from a stage on, from the even chance of
//! that stage.

use super::edge::{Edge, EdgeKind};
use super::{CLOSING_DAYS, Limit, Window};
use crate::domain::season::Lane;
use crate::domain::uses::{Use, Uses};
use chrono::{Days, NaiveDate};

/// Days after its opening in which a spray after leaf drop does most good.
const SOON_DAYS: u64 = 21;
/// Days before the last safe day from which a spray before swell does most good.
const LATE_DAYS: u64 = 21;

/// First and last of the best days; none where the window has no better days than others.
pub(super) fn best(
    uses: &Uses<'_>,
    used: &Use<'_>,
    limit: &Limit<'_>,
    window: &Window<'_>,
) -> Option<(NaiveDate, NaiveDate)> {
    let opens = window.opens.map(|e| e.day);
    let last = window.closes.map(|e| e.day);
    let (from, to) = match (used.task.lane, window.opens_alone) {
        (Lane::AfterLeafDrop, Some(edge)) => (edge.day, plus(edge.day, SOON_DAYS)),
        (Lane::BeforeSwell, _) if limit.is_before_swell() => {
            let last = last?;
            let from = last.checked_sub_days(Days::new(LATE_DAYS))?;
            (
                from,
                last.checked_sub_days(Days::new(CLOSING_DAYS.unsigned_abs()))?,
            )
        }
        (
            _,
            Some(Edge {
                kind: EdgeKind::Stage { bbch, .. },
                ..
            }),
        ) => (uses.stage(used.block_ix, bbch)?.p50(), last?),
        _ => return None,
    };
    let from = opens.map_or(from, |o| from.max(o));
    let to = last.map_or(to, |l| to.min(l));
    (from <= to).then_some((from, to))
}

fn plus(day: NaiveDate, days: u64) -> NaiveDate {
    day.checked_add_days(Days::new(days)).unwrap_or(day)
}
