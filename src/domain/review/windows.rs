//! The fit windows of the coming days, for the sprays still open.

use super::FitWindow;
use crate::domain::hours::fits::Fits;
use crate::domain::season::{Season, TaskKind};

/// Windows named for one spray: the next ones.
const EACH: usize = 2;

/// The next windows of every open spray the hours reach, in the order of time.
pub fn windows(season: &Season, fits: &Fits) -> Vec<FitWindow> {
    let air = fits.air();
    let last = air.len().checked_sub(1).map(|h| air.local(h).date());
    let mut all = Vec::new();
    let sprays = season
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray && t.state.is_open())
        // A spray planned for after the forecast does not look for hours yet.
        .filter(|t| last.is_some_and(|last| t.date <= last));
    for task in sprays {
        let Some(fit) = fits.of(&task.id) else {
            continue;
        };
        let mut windows: Vec<_> = fit.windows.iter().collect();
        windows.sort_by_key(|w| (std::cmp::Reverse(w.grade), w.start));
        for window in windows.into_iter().take(EACH) {
            all.push(FitWindow {
                from: air.local(window.hours.start),
                to: air.local(window.hours.end),
                words: format!(
                    "{}, {}; begin {}",
                    task.title,
                    window.grade.words(),
                    air.local(window.start).format("%H:%M")
                ),
            });
        }
    }
    all.sort_by_key(|w| w.from);
    all
}
