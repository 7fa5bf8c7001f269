//! The ribbon of the dormant year: which days it spans, and the signs of tasks on it. Board and
//! plain text draw the same one.

use crate::domain::outlook::SpeciesSwell;
use crate::domain::season::{Season, Task, TaskState};
use chrono::{Datelike, Days, Months, NaiveDate};

/// The days the ribbon spans: from the month of leaf drop or the first task
/// to the month of the latest likely swell or the last task.
pub fn span(season: &Season, swells: &[SpeciesSwell]) -> (NaiveDate, NaiveDate) {
    let dates = &season.dates;
    let drop = dates.leaf_drop_seen.unwrap_or(dates.leaf_drop_expected);
    let tasks = || season.tasks.iter().map(|t| t.date);
    let near = |d: &NaiveDate| (*d - drop).num_days().abs() < 300;
    let first = tasks().filter(near).chain([drop]).min().unwrap_or(drop);
    let last = tasks()
        .filter(near)
        .chain(swells.iter().map(|s| s.dates[2]))
        .chain([drop + Months::new(5)])
        .max()
        .unwrap_or(drop);
    let from = first.with_day(1).unwrap_or(first);
    let to = last
        .checked_add_days(Days::new(7))
        .and_then(|d| d.with_day(1))
        .and_then(|d| d.checked_add_months(Months::new(1)))
        .unwrap_or(last);
    // A whole year and no more, whatever a typed date says.
    let most = from.checked_add_days(Days::new(420)).unwrap_or(to);
    (from, to.min(most))
}

/// The sign of a task on the ribbon.
pub fn task_sign(task: &Task) -> char {
    match task.state {
        TaskState::Planned => 'o',
        TaskState::Done(_) => 'x',
        TaskState::Skipped(_) => '-',
    }
}

/// The sign of a place where several tasks fall together.
pub fn crowd_sign(count: usize, one: char) -> char {
    match count {
        0 | 1 => one,
        n => u32::try_from(n)
            .ok()
            .and_then(|n| char::from_digit(n, 10))
            .unwrap_or('+'),
    }
}
