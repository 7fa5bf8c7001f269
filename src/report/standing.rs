//! How a task stands, as every answer says it.

use crate::domain::outlook::{Outlook, Standing};
use crate::domain::rules::Level;
use crate::domain::season::TaskId;
use crate::domain::window::WindowState;
use chrono::NaiveDate;
use serde_json::{Value, json};

/// `{"task","state","level","opens","last_safe","best_from","best_to","start_by","work_days",
/// "reason","rule","todo"}`: the same in every
/// answer that names a task.
pub fn json(outlook: &Outlook, task: &TaskId) -> Value {
    let standing = outlook.standing(task);
    let reason = outlook.reason_of(task);
    let day = |d: Option<NaiveDate>| d.map(|d| d.to_string());
    json!({
        "task": task.as_str(),
        "state": standing.and_then(|s| s.state).map(WindowState::words),
        "level": standing.and_then(|s| s.level).map(Level::words),
        "opens": day(standing.and_then(|s| s.opens)),
        "last_safe": day(standing.and_then(|s| s.last_safe)),
        "best_from": day(standing.and_then(|s| s.best).map(|b| b.0)),
        "best_to": day(standing.and_then(|s| s.best).map(|b| b.1)),
        "start_by": day(standing.and_then(|s| s.start_by).map(|s| s.day)),
        "work_days": standing.and_then(|s| s.start_by).map(|s| s.work_days),
        "reason": reason.map(|w| w.message.as_str()),
        "rule": reason.map(|w| w.rule),
        "todo": reason.map(|w| w.todo.as_str()),
    })
}

/// The state of a window with the day that matters, in a few words; empty for other work.
pub fn window(standing: &Standing, today: NaiveDate) -> String {
    let (Some(state), last) = (standing.state, standing.last_safe) else {
        return String::new();
    };
    let day = |d: NaiveDate| d.format("%a %-d %b").to_string();
    let left = |d: NaiveDate| match (d - today).num_days() {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        n if n > 0 => format!("in {n} days"),
        -1 => "yesterday".to_owned(),
        n => format!("{} days ago", -n),
    };
    let said = match (state, standing.opens, last) {
        (WindowState::NotYet, Some(opens), _) => {
            format!("not yet, opens {}, {}", day(opens), left(opens))
        }
        (WindowState::Closed, _, Some(last)) if standing.no_day_left => {
            format!(
                "closed, no day is left before the last safe day, {}",
                day(last)
            )
        }
        (WindowState::Closed, _, Some(last)) if last >= today => {
            format!(
                "planned too late, last safe day {}, {}",
                day(last),
                left(last)
            )
        }
        (WindowState::Closed, _, Some(last)) => {
            format!("closed, last safe day {}, {}", day(last), left(last))
        }
        (state, _, Some(last)) => format!(
            "{}, last safe day {}, {}",
            state.words(),
            day(last),
            left(last)
        ),
        (state, ..) => state.words().to_owned(),
    };
    let better = standing
        .best
        .filter(|(_, to)| *to >= today && state != WindowState::Closed);
    let best = better.map_or_else(String::new, |(from, to)| {
        format!("; best {} to {}", day(from.max(today)), day(to))
    });
    let begin = standing
        .start_by
        .filter(|_| state != WindowState::Closed)
        .map_or_else(String::new, |s| {
            format!("; {} days of work, begin by {}", s.work_days, day(s.day))
        });
    format!("{said}{best}{begin}")
}
