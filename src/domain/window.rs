//! The window: from when to when a spray may be done on a block, for each thing it is for.
//!
//! A spray has no right date; it has a window. Everything a grower asks is asked of it: is it too
//! early, can it still be done, until when. Each purpose of a spray on a block (a material and the
//! targets it works on) has its own; that of the task is the narrowest of them.
//!
//! | edge | where it comes from |
//! |---|---|
//! | opens | leaf drop; the first stage of label or target; the interval since the last use of the same active; days kept apart from another; re-entry of the spray before |
//! | closes | the last stage of label, target or kind of tree, as the last safe day; a season's limit that earlier uses have taken whole |
//!
//! Where a range of dates is known, a stage opens a window on the first likely day (1 in 10) and
//! closes it on the last day on which the chance of it is within what the owner accepts. Guard days
//! are kept before swell alone: they are days wanted between a spray and swell.

mod best;
mod closes;
mod edge;
mod opens;
mod purpose;
mod spent;
mod start;
mod task;

pub use closes::Limit;
pub use edge::{By, Edge, EdgeKind};
pub(crate) use edge::{closes_because, stage_words};
pub use purpose::{Purpose, Windows, limit_of};
pub(crate) use purpose::{for_target, last_safe_against, of_targets_alone};
pub use spent::Spent;
pub use start::{LastStart, last_start};
pub use task::TaskWindow;

use crate::domain::season::Lane;
use crate::domain::targets::TargetView;
use crate::domain::uses::{Use, Uses};
use chrono::NaiveDate;
use serde::Serialize;

/// The first day after every distance to what was done already; distances to sprays that are
/// still to do are left to whoever puts those in order.
pub fn after_what_was_done(uses: &Uses<'_>, used: &Use<'_>) -> Option<NaiveDate> {
    opens::after_what_was_done(uses, used)
}

/// A window whose last safe day comes within so many days is closing.
pub const CLOSING_DAYS: i64 = 7;

/// How a window stands on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WindowState {
    /// It opens later.
    NotYet,
    /// The spray may be done.
    Open,
    /// The same, and the last safe day comes within a week.
    Closing,
    /// Too late.
    Closed,
}

impl WindowState {
    /// The word shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotYet => "not yet",
            Self::Open => "open",
            Self::Closing => "closing",
            Self::Closed => "closed",
        }
    }

    /// May the spray be done?
    pub const fn is_open(self) -> bool {
        matches!(self, Self::Open | Self::Closing)
    }
}

/// From when to when a spray may be done on a block for one purpose.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Window<'a> {
    /// What opens it, where anything does.
    pub opens: Option<Edge<'a>>,
    /// The same without the distances to other sprays: for whoever moves several at once.
    pub opens_alone: Option<Edge<'a>>,
    /// What closes it; the day is the last safe day.
    pub closes: Option<Edge<'a>>,
    /// What earlier uses have taken all of: no day is left, whatever the stage.
    pub spent: Option<Spent>,
}

impl Window<'_> {
    /// How it stands on a day.
    pub fn state(&self, day: NaiveDate) -> WindowState {
        if self.spent.is_some() {
            return WindowState::Closed;
        }
        state(
            self.opens.map(|e| e.day),
            self.closes.map(|e| e.day),
            self.opens.is_some_and(|e| e.kind.is_firm()),
            day,
        )
    }
}

/// How days from one on to a last safe one stand on a day. A firm opening (an interval, leaf
/// drop) that lies behind the last safe day leaves no day at all: closed from the first.
fn state(
    opens: Option<NaiveDate>,
    last_safe: Option<NaiveDate>,
    firm: bool,
    day: NaiveDate,
) -> WindowState {
    if let Some(last) = last_safe
        && (day > last || (firm && opens.is_some_and(|o| o > last)))
    {
        return WindowState::Closed;
    }
    // A stage that is likely only behind the last safe day narrows nothing on that day.
    let opens = opens.map(|o| last_safe.map_or(o, |last| o.min(last)));
    if opens.is_some_and(|o| day < o) {
        return WindowState::NotYet;
    }
    match last_safe.map(|last| (last - day).num_days()) {
        Some(left) if left <= CLOSING_DAYS => WindowState::Closing,
        _ => WindowState::Open,
    }
}

/// What closes the window of a use, done or open.
pub fn closes<'a>(uses: &Uses<'a>, used: &Use<'a>) -> Option<Edge<'a>> {
    closes::edge(uses, used.block_ix, &limit_of(uses, used))
}

/// The window against a target on a block in a lane, whatever is sprayed: leaf drop or the
/// target's own first stage to its last.
pub fn against<'a>(
    uses: &Uses<'a>,
    block_ix: usize,
    view: TargetView<'a>,
    lane: Lane,
) -> Window<'a> {
    let opens = opens::against(uses, block_ix, &[view], lane);
    Window {
        opens,
        opens_alone: opens,
        closes: closes::against(uses, block_ix, view),
        spent: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(n: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, 3, n).unwrap()
    }

    #[test]
    fn a_window_opens_closes_and_leaves_no_gap() {
        for (at, wanted) in [
            (4, WindowState::NotYet),
            (5, WindowState::Open),
            (12, WindowState::Open),
            (13, WindowState::Closing),
            (20, WindowState::Closing),
            (21, WindowState::Closed),
        ] {
            let found = state(Some(day(5)), Some(day(20)), true, day(at));
            assert_eq!(found, wanted, "{at}");
        }
        assert_eq!(state(None, None, true, day(1)), WindowState::Open);
    }

    #[test]
    fn a_firm_opening_behind_the_last_safe_day_leaves_none_and_a_likely_stage_leaves_that_day() {
        let (late, last) = (Some(day(20)), Some(day(10)));
        assert_eq!(state(late, last, true, day(1)), WindowState::Closed);
        assert_eq!(state(late, last, false, day(1)), WindowState::NotYet);
        assert_eq!(state(late, last, false, day(10)), WindowState::Closing);
        assert_eq!(state(late, last, false, day(11)), WindowState::Closed);
    }

    #[test]
    fn later_never_turns_closed_into_open() {
        for (o, l, firm) in [(5, 20, true), (25, 20, true), (25, 20, false)] {
            let mut closed = false;
            for at in 1..=31 {
                let now = state(Some(day(o)), Some(day(l)), firm, day(at)) == WindowState::Closed;
                assert!(now || !closed, "{o} {l} {firm} {at}");
                closed = now;
            }
        }
    }
}
