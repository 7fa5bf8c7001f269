//! Fit hours of a spray: hours of fit weather, inside its window, after its intervals and the
//! re-entry of other sprays, in the orchard's work hours, on a sprayer that is free.
//!
//! One meaning for every face: the board's next fit hours, the hours screen, delay, review, due
//! and calendar all ask here. Weather and work hours are judged in [`crate::domain::hours`]; the
//! days come from [`crate::domain::window`].

mod busy;

pub use busy::Busy;

use crate::domain::hours::air::Air;
use crate::domain::hours::fits::{Fits, TaskFit};
use crate::domain::hours::verdict::Fit;
use crate::domain::hours::windows;
pub use crate::domain::hours::windows::Window as Stretch;
use crate::domain::season::Task;
use crate::domain::window::TaskWindow;
use chrono::NaiveDate;
use std::ops::Range;

/// The next hours of a spray.
#[derive(Debug, Clone, PartialEq)]
pub enum NextHours {
    /// No hours of weather reach from now on.
    NotKnown,
    /// Hours are known, and none of them will do.
    None,
    /// The next hours, fit throughout or with doubtful ones (see the grade).
    In(Stretch),
    /// The weather fits, but only after the last safe day.
    AfterLastSafe {
        /// The hours.
        stretch: Stretch,
        /// The last safe day.
        last_safe: NaiveDate,
    },
    /// The weather fits, but only before the window opens.
    BeforeOpening {
        /// The hours.
        stretch: Stretch,
        /// The first day it is open.
        opens: NaiveDate,
    },
}

impl NextHours {
    /// The hours, where they lie inside the window and are fit throughout.
    pub fn fit(&self) -> Option<&Stretch> {
        match self {
            Self::In(stretch) if stretch.grade == Fit::Fit => Some(stretch),
            _ => None,
        }
    }

    /// The hours, where they lie inside the window.
    pub fn inside(&self) -> Option<&Stretch> {
        match self {
            Self::In(stretch) => Some(stretch),
            _ => None,
        }
    }

    /// In a few words for a line that names the spray.
    pub fn words(&self, air: &Air) -> String {
        let clock = |s: &Stretch| {
            format!(
                "{}, {} to {}",
                air.local(s.hours.start).format("%a %-d %b"),
                air.local(s.hours.start).format("%H:%M"),
                air.local(s.hours.end).format("%H:%M")
            )
        };
        let day = |d: &NaiveDate| d.format("%a %-d %b").to_string();
        match self {
            Self::NotKnown => "no hours of weather are known".to_owned(),
            Self::None => "the hours known hold no fit run as long as the job".to_owned(),
            Self::In(s) if s.grade == Fit::Fit => format!(
                "fit {}, best start {}",
                clock(s),
                air.local(s.start).format("%H:%M")
            ),
            Self::In(s) => format!("doubtful {}", clock(s)),
            Self::AfterLastSafe { stretch, last_safe } => format!(
                "fit only {}: after the last safe day, {}",
                clock(stretch),
                day(last_safe)
            ),
            Self::BeforeOpening { stretch, opens } => {
                format!(
                    "fit {}, but the window opens {}",
                    clock(stretch),
                    day(opens)
                )
            }
        }
    }
}

/// Every stretch of hours for a spray inside its window, best first.
pub fn stretches(
    fits: &Fits,
    task: &Task,
    window: Option<&TaskWindow<'_>>,
    busy: &Busy,
) -> Vec<Stretch> {
    let Some(fit) = fits.of(&task.id) else {
        return Vec::new();
    };
    let allowed = allowed(fits, fit, task, window, busy);
    let mut found: Vec<Stretch> = fit
        .windows
        .iter()
        .flat_map(|w| windows::within(w, &fit.grid, fits.air(), &fit.job, &allowed))
        .collect();
    windows::rank(&mut found);
    found
}

/// The next hours of a spray.
pub fn next(fits: &Fits, task: &Task, window: Option<&TaskWindow<'_>>, busy: &Busy) -> NextHours {
    next_of(fits, task, window, &stretches(fits, task, window, busy))
}

/// The same where the stretches are known.
pub fn next_of(
    fits: &Fits,
    task: &Task,
    window: Option<&TaskWindow<'_>>,
    stretches: &[Stretch],
) -> NextHours {
    let Some(fit) = fits.of(&task.id).filter(|_| fits.reach_ahead()) else {
        return NextHours::NotKnown;
    };
    if let Some(stretch) = windows::next(stretches) {
        return NextHours::In(stretch.clone());
    }
    let Some(other) = fit.next_fit() else {
        return NextHours::None;
    };
    let on = fits.air().local(other.start).date();
    let window = window.map(|w| (w.opens_on(), w.last_safe()));
    match window {
        Some((_, Some(last_safe))) if on > last_safe => NextHours::AfterLastSafe {
            stretch: other.clone(),
            last_safe,
        },
        Some((Some(opens), _)) if on < opens => NextHours::BeforeOpening {
            stretch: other.clone(),
            opens,
        },
        _ => NextHours::None,
    }
}

/// The runs of hours that window, sprayer and re-entry leave.
fn allowed(
    fits: &Fits,
    fit: &TaskFit,
    task: &Task,
    window: Option<&TaskWindow<'_>>,
    busy: &Busy,
) -> Vec<Range<usize>> {
    let days = (
        window.and_then(TaskWindow::opens_on),
        window.and_then(TaskWindow::last_safe),
    );
    free_runs(fits.air(), fit.grid.hours(), days, busy.against(task))
}

/// The runs of some hours that lie from a first to a last safe day, where nobody else has the
/// sprayer or the block.
pub fn free_runs(
    air: &Air,
    hours: Range<usize>,
    (opens, last_safe): (Option<NaiveDate>, Option<NaiveDate>),
    taken: impl Iterator<Item = Range<usize>>,
) -> Vec<Range<usize>> {
    let first_on = |day: NaiveDate| first_hour(air, &hours, day);
    let from = opens.map_or(hours.start, first_on);
    let to = last_safe
        .and_then(|last| last.succ_opt())
        .map_or(hours.end, first_on);
    let mut runs: Vec<Range<usize>> = std::iter::once(from..to.max(from)).collect();
    for taken in taken {
        runs = runs
            .into_iter()
            .flat_map(|run| {
                [
                    run.start..run.end.min(taken.start),
                    run.start.max(taken.end)..run.end,
                ]
            })
            .filter(|run| run.start < run.end)
            .collect();
    }
    runs
}

/// The first hour of a range that lies on a day or after it.
fn first_hour(air: &Air, hours: &Range<usize>, day: NaiveDate) -> usize {
    let (mut low, mut high) = (hours.start, hours.end);
    while low < high {
        let middle = low + (high - low) / 2;
        if air.local(middle).date() < day {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    low
}
