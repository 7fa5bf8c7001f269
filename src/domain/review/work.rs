//! What was done, left out, and moved.

use crate::domain::season::{Season, TaskId, TaskState};
use chrono::NaiveDate;

/// A task done or left out, or a part of one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FinishedTask {
    /// Which task.
    pub task: TaskId,
    /// Its title; of a part, with its blocks.
    pub title: String,
    /// The day.
    pub date: NaiveDate,
    /// Was it left out?
    pub skipped: bool,
    /// Why it was left out, or done against a stop.
    pub why: Option<String>,
}

/// A task whose date was changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MovedTask {
    /// Which task.
    pub task: TaskId,
    /// Its title.
    pub title: String,
    /// Its date before the first of these changes.
    pub from: NaiveDate,
    /// Its date now.
    pub to: NaiveDate,
    /// How often it was changed since then.
    pub times: usize,
    /// How often in the whole season.
    pub times_in_all: usize,
    /// Why, each reason once.
    pub why: Vec<String>,
}

/// Tasks done or left out from a day on, that day included, in date order.
pub fn finished(season: &Season, since: NaiveDate, today: NaiveDate) -> Vec<FinishedTask> {
    let mut tasks: Vec<FinishedTask> = season
        .tasks
        .iter()
        .flat_map(|task| {
            let made = |title: String, date, skipped| FinishedTask {
                task: task.id.clone(),
                title,
                date,
                skipped,
                why: task.why.clone(),
            };
            match task.state {
                TaskState::Done(day) => vec![made(task.title.clone(), day, false)],
                TaskState::Skipped(day) => vec![made(task.title.clone(), day, true)],
                TaskState::Planned => season
                    .done_parts(task)
                    .iter()
                    .map(|part| {
                        let names: Vec<&str> =
                            part.blocks.iter().map(|b| b.name.as_str()).collect();
                        let title = format!("{}, a part: {}", task.title, names.join(", "));
                        made(title, part.day, false)
                    })
                    .collect(),
            }
        })
        .filter(|t| (since..=today).contains(&t.date))
        .collect();
    tasks.sort_by_key(|t| t.date);
    tasks
}

/// Tasks whose date was changed from a day on, that day included.
pub fn moved(season: &Season, since: NaiveDate, today: NaiveDate) -> Vec<MovedTask> {
    season
        .tasks
        .iter()
        .filter_map(|task| {
            let moves: Vec<_> = task
                .moved
                .iter()
                .filter(|m| (since..=today).contains(&m.on))
                .collect();
            let (first, last) = (moves.first()?, moves.last()?);
            let mut why: Vec<String> = Vec::new();
            for reason in moves.iter().map(|m| m.why.trim()) {
                if !reason.is_empty() && !why.iter().any(|w| w == reason) {
                    why.push(reason.to_owned());
                }
            }
            Some(MovedTask {
                task: task.id.clone(),
                title: task.title.clone(),
                from: first.from,
                to: last.to,
                times: moves.len(),
                times_in_all: task.moved.len(),
                why,
            })
        })
        .collect()
}
