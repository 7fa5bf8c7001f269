//! What is due, as text and JSON.

use crate::domain::outlook::{DueTask, Outlook};
use crate::domain::rules::Level;
use crate::domain::season::Season;
use serde_json::{Value, json};
use std::fmt::Write;

/// `{"on","overdue","today","next"}`, each a list of tasks. Stable.
pub fn json(outlook: &Outlook) -> serde_json::Result<String> {
    let list = |tasks: &[DueTask]| tasks.iter().map(|t| row(outlook, t)).collect::<Vec<_>>();
    serde_json::to_string_pretty(&json!({
        "on": outlook.today.to_string(),
        "overdue": list(&outlook.due.overdue),
        "today": list(&outlook.due.today),
        "next": list(&outlook.due.next),
        "weather": outlook.ground.lines(),
    }))
}

fn row(outlook: &Outlook, task: &DueTask) -> Value {
    json!({
        "task": task.task.as_str(),
        "title": task.title,
        "lane": task.lane.key(),
        "date": task.date.to_string(),
        "blocks": task.blocks.iter().map(|b| b.as_str()).collect::<Vec<_>>(),
        "worst": task.worst.map(|l| l.words()),
        "standing": super::standing::json(outlook, &task.task),
    })
}

/// The same as text; empty where nothing is due.
pub fn text(season: &Season, outlook: &Outlook) -> String {
    let mut out = String::new();
    let due = &outlook.due;
    for (title, tasks) in [
        ("OVERDUE", &due.overdue),
        ("TODAY", &due.today),
        ("NEXT 7 DAYS", &due.next),
    ] {
        if tasks.is_empty() {
            continue;
        }
        let _ = writeln!(out, "{title}");
        for task in tasks {
            let names: Vec<&str> = if task.blocks.len() == season.blocks.len() {
                vec!["all blocks"]
            } else {
                task.blocks
                    .iter()
                    .filter_map(|id| season.block(id))
                    .map(|b| b.name.as_str())
                    .collect()
            };
            let standing = outlook.standing(&task.task);
            let worst = task
                .worst
                .map_or_else(String::new, |l| format!(" [{}]", l.words()));
            let line = format!(
                "{} {}{worst} - {} ({})",
                task.date.format("%a %Y-%m-%d"),
                task.title,
                names.join(", "),
                task.task
            );
            out.push_str(&super::wrap::wrapped(&line, 2));
            if let Some(reason) = outlook
                .reason_of(&task.task)
                .filter(|w| w.level > Level::Note)
            {
                out.push_str(&super::wrap::wrapped(&reason.message, 6));
                out.push_str(&super::wrap::wrapped(&format!("do: {}", reason.todo), 6));
            }
            let window =
                standing.map_or_else(String::new, |s| super::standing::window(s, outlook.today));
            if !window.is_empty() {
                out.push_str(&super::wrap::wrapped(&format!("window: {window}"), 6));
            }
        }
    }
    if !out.is_empty() {
        out.push_str(&super::ground::text(&outlook.ground));
    }
    out
}
