//! The fit hours of the coming days, for the sprays still open.

use super::FitWindow;
use crate::domain::fit_hours::{self, Busy};
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::Estimates;
use crate::domain::rules::Facts;
use crate::domain::season::{Season, TaskKind};
use chrono::NaiveDate;

/// Stretches named for one spray: the next ones.
const EACH: usize = 2;

/// The next fit hours of every open spray the hours reach, in the order of time: inside its
/// window, or where the weather fits too late, that.
pub fn windows(
    season: &Season,
    estimates: &Estimates,
    fits: &Fits,
    today: NaiveDate,
) -> Vec<FitWindow> {
    let air = fits.air();
    let facts = Facts::new(season, estimates, today);
    let busy = Busy::new(&facts, fits.air());
    let last = air.len().checked_sub(1).map(|h| air.local(h).date());
    let mut all = Vec::new();
    let sprays = season
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray && t.state.is_open())
        // A spray planned for after the forecast does not look for hours yet.
        .filter(|t| last.is_some_and(|last| t.date <= last));
    for task in sprays {
        let window = facts.windows().of(&task.id);
        let mut stretches = fit_hours::stretches(fits, task, window, &busy);
        stretches.sort_by_key(|w| (std::cmp::Reverse(w.grade), w.start));
        if stretches.is_empty() {
            let next = fit_hours::next(fits, task, window, &busy);
            if let fit_hours::NextHours::AfterLastSafe { stretch, .. } = &next {
                all.push(FitWindow {
                    from: air.local(stretch.hours.start),
                    to: air.local(stretch.hours.end),
                    words: format!("{}: {}", task.title, next.words(air)),
                });
            }
            continue;
        }
        for stretch in stretches.into_iter().take(EACH) {
            all.push(FitWindow {
                from: air.local(stretch.hours.start),
                to: air.local(stretch.hours.end),
                words: format!(
                    "{}, {}; begin {}",
                    task.title,
                    stretch.grade.words(),
                    air.local(stretch.start).format("%H:%M")
                ),
            });
        }
    }
    all.sort_by_key(|w| w.from);
    all
}
