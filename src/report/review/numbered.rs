//! The review as a numbered list that can be answered by a line, for who reads it as mail.

use crate::domain::outlook::Outlook;
use crate::domain::review::Review;
use crate::domain::rules::Level;
use crate::domain::season::{Season, Task, TaskId};
use crate::report::wrap::wrapped;
use std::fmt::Write;

/// The tasks that can be answered for, in the order of their numbers: late, due, then those that a
/// stop stands against.
pub fn numbered(season: &Season, review: &Review, outlook: &Outlook) -> Vec<TaskId> {
    let due = review.overdue.iter().chain(&review.next);
    let mut ids: Vec<TaskId> = due.map(|t| t.task.clone()).collect();
    let stopped = season
        .tasks
        .iter()
        .filter(|t| t.state.is_open() && outlook.worst_of(&t.id) == Some(Level::Stop));
    for task in stopped {
        if !ids.contains(&task.id) {
            ids.push(task.id.clone());
        }
    }
    ids
}

/// The list as text, with the way to answer it.
pub fn text(
    season: &Season,
    review: &Review,
    outlook: &Outlook,
    ids: &[TaskId],
    code: &str,
) -> String {
    let mut out = wrapped(&super::lines::headline(season, review), 0);
    out.push('\n');
    let tasks = ids.iter().filter_map(|id| season.task(id));
    for (n, task) in (1..).zip(tasks) {
        out.push_str(&wrapped(&row(season, review, outlook, n, task), 2));
    }
    if ids.is_empty() {
        out.push_str("  No task is late, due this week or stopped.\n");
    }
    let swell: Vec<String> = review
        .swell
        .iter()
        .map(|s| {
            format!(
                "{} {}, last safe day {}",
                s.name,
                super::lines::range(s.now),
                super::lines::short(s.last_safe)
            )
        })
        .collect();
    if !swell.is_empty() {
        out.push('\n');
        out.push_str(&wrapped(&format!("Swell: {}.", swell.join("; ")), 0));
    }
    out.push('\n');
    out.push_str(&wrapped(
        "Answer with a line of your own above this text, such as: 2 done; 3 +2d; 4 skipped; peaches tight; reviewed. Nothing is changed before the answer is shown and taken whole.",
        0,
    ));
    let _ = writeln!(out, "Review code {code} (leave it in the answer)");
    out
}

fn row(season: &Season, review: &Review, outlook: &Outlook, n: usize, task: &Task) -> String {
    let days = (task.date - review.today).num_days();
    let when = match days {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        d if d < 0 => format!("{} days late", -d),
        d => format!("in {d} days"),
    };
    let names: Vec<&str> = season.blocks_of(task).map(|b| b.name.as_str()).collect();
    let names = if names.len() == season.blocks.len() {
        "all blocks".to_owned()
    } else {
        names.join(", ")
    };
    let worst = outlook.warnings_of(&task.id).next();
    let worst = worst.map_or_else(String::new, |w| {
        format!(" {}: {}", w.level.words().to_uppercase(), w.message)
    });
    format!(
        "{n}. {} {}, {when}: {} ({names}).{worst}",
        task.date.format("%a"),
        super::lines::short(task.date),
        task.title
    )
}
