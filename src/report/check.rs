//! Every warning, as text and JSON.

use super::standing;
use super::wrap::wrapped;
use crate::domain::outlook::Outlook;
use crate::domain::rules::{Level, Warning, rule};
use crate::domain::season::{Season, TaskId};
use serde_json::json;
use std::fmt::Write;

/// `{"on","warnings":[{rule,level,task,block,message,why,todo,source}],"standings":[…]}`. Stable.
pub fn json(season: &Season, outlook: &Outlook) -> serde_json::Result<String> {
    let warnings: Vec<_> = outlook
        .warnings
        .iter()
        .map(|w| {
            json!({
                "rule": w.rule,
                "level": w.level.words(),
                "task": w.task.as_ref().map(|t| t.as_str()),
                "block": w.block.as_ref().map(|b| b.as_str()),
                "message": w.message,
                "why": w.why,
                "todo": w.todo,
                "source": w.source.line(),
            })
        })
        .collect();
    let standings: Vec<_> = season
        .tasks
        .iter()
        .filter(|t| t.state.is_open())
        .map(|t| standing::json(outlook, &t.id))
        .collect();
    serde_json::to_string_pretty(&json!({
        "on": outlook.today.to_string(),
        "warnings": warnings,
        "standings": standings,
        "weather": outlook.ground.lines(),
    }))
}

/// Every warning with its numbers and its source.
pub fn full(season: &Season, outlook: &Outlook) -> String {
    let mut out = super::ground::text(&outlook.ground);
    for warning in &outlook.warnings {
        one(&mut out, season, warning);
    }
    if outlook.warnings.is_empty() {
        nothing(&mut out, outlook);
    }
    out
}

/// Causes, the worst first: the same cause on several tasks or blocks is said once. Notes are
/// counted; [`full`] has them.
pub fn text(season: &Season, outlook: &Outlook) -> String {
    let mut out = super::ground::text(&outlook.ground);
    let mut causes: Vec<(&str, Level, Vec<&Warning>)> = Vec::new();
    for warning in outlook.warnings.iter().filter(|w| w.level > Level::Note) {
        match causes
            .iter_mut()
            .find(|(r, l, _)| *r == warning.rule && *l == warning.level)
        {
            Some((.., same)) => same.push(warning),
            None => causes.push((warning.rule, warning.level, vec![warning])),
        }
    }
    for (id, level, same) in &causes {
        match same.as_slice() {
            [warning] => one(&mut out, season, warning),
            _ => cause(&mut out, season, id, *level, same),
        }
    }
    let notes = outlook.warnings.len() - causes.iter().map(|c| c.2.len()).sum::<usize>();
    if causes.is_empty() {
        nothing(&mut out, outlook);
    }
    if notes > 0 {
        let plural = if notes == 1 { "note" } else { "notes" };
        let _ = writeln!(
            out,
            "{notes} {plural}, every number and source: barewood check --all"
        );
    }
    out
}

fn nothing(out: &mut String, outlook: &Outlook) {
    let _ = writeln!(out, "No warnings for {}.", outlook.today);
}

fn one(out: &mut String, season: &Season, w: &Warning) {
    let task = w.task.as_ref().and_then(|id| season.task(id));
    let about = task.map_or_else(String::new, |t| {
        format!("{} {} ({}): ", t.date, t.title, t.id)
    });
    out.push_str(&wrapped(
        &format!("{}: {about}{}", w.level.words().to_uppercase(), w.message),
        0,
    ));
    out.push_str(&wrapped(&format!("do: {}", w.todo), 4));
    out.push_str(&wrapped(&format!("why: {}", w.why), 4));
    out.push_str(&wrapped(
        &format!("source: {} [{}]", w.source.line(), w.rule),
        4,
    ));
}

/// Names said of one cause; the others are counted.
const NAMED: usize = 3;

/// One cause on several tasks or blocks.
fn cause(out: &mut String, season: &Season, id: &str, level: Level, same: &[&Warning]) {
    let title = rule(id).map_or(id, |r| r.title);
    let mut names: Vec<String> = Vec::new();
    for warning in same {
        let task = |id: &TaskId| season.task(id).map(|t| t.title.clone());
        let block = || {
            let id = warning.block.as_ref()?;
            season.block(id).map(|b| b.name.clone())
        };
        let name = warning.task.as_ref().and_then(task).or_else(block);
        let name = name.unwrap_or_else(|| warning.message.clone());
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let of_tasks = same.iter().all(|w| w.task.is_some());
    let what = match (of_tasks, names.len()) {
        (true, 1) => "task",
        (true, _) => "tasks",
        (false, 1) => "block",
        (false, _) => "blocks",
    };
    let more = match names.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!("; {n} more"),
    };
    let n = names.len();
    names.truncate(NAMED);
    out.push_str(&wrapped(
        &format!(
            "{}: {title}, {n} {what}: {}{more}",
            level.words().to_uppercase(),
            names.join("; ")
        ),
        0,
    ));
    let mut cures: Vec<&str> = Vec::new();
    for cure in same.iter().map(|w| w.todo.as_str()) {
        if !cures.contains(&cure) {
            cures.push(cure);
        }
    }
    if let Some(first) = cures.first() {
        out.push_str(&wrapped(&format!("do: {first}"), 4));
    }
    if let [first, ..] = same {
        let lead = if cures.len() > 1 { "first: " } else { "why: " };
        let text = if cures.len() > 1 {
            &first.message
        } else {
            &first.why
        };
        let text = if text.is_empty() {
            String::new()
        } else {
            format!("{lead}{text} ")
        };
        out.push_str(&wrapped(
            &format!("{text}source: {} [{id}]", first.source.line()),
            4,
        ));
    }
}
