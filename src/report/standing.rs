//! How a task stands, as every answer says it.

use crate::domain::outlook::{Outlook, Standing};
use crate::domain::rules::Level;
use crate::domain::season::TaskId;
use crate::domain::window::WindowState;
use chrono::NaiveDate;
use serde_json::{Value, json};

/// `{"task","state","level","opens","last_safe","reason","rule","todo"}`: the same in every
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
    match (state, standing.opens, last) {
        (WindowState::NotYet, Some(opens), _) => {
            format!("not yet, opens {}, {}", day(opens), left(opens))
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
    }
}
