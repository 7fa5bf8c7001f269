//! A change in words: what is new, what is cleared, and which level stays.

use crate::domain::outlook::{Changes, Outlook, Stays};
use crate::domain::rules::{Level, Warning, short};
use crate::domain::season::TaskId;
use crate::report::wrap::wrapped;

/// The line for a screen: "No new warning. Still 1 stop: after swell."
pub fn line(before: &Outlook, after: &Outlook, touched: &[TaskId]) -> String {
    let Changes { appeared, cleared } = before.changes_to(after);
    let mut parts = vec![match counted(&appeared) {
        Some(new) => format!("{new} new."),
        None => "No new warning.".to_owned(),
    }];
    // What is cleared goes last: a line of eighty columns is cut at its end.
    parts.extend(
        after
            .stays(touched)
            .map(|left| format!("{}: {}.", still(&left), short::tag(left.first))),
    );
    parts.extend(counted(&cleared).map(|gone| format!("{gone} cleared.")));
    parts.join(" ")
}

/// The same in full, a line each: `+` new, `-` cleared, then which level stays.
pub fn lines(before: &Outlook, after: &Outlook, touched: &[TaskId]) -> Vec<String> {
    let Changes { appeared, cleared } = before.changes_to(after);
    let mut lines: Vec<String> = appeared.iter().map(|w| format!("+ {}", w.line())).collect();
    lines.extend(cleared.iter().map(|w| format!("- {}", w.line())));
    if appeared.is_empty() {
        lines.push("No new warning.".to_owned());
    }
    lines.extend(after.stays(touched).map(|left| {
        let task = left.first.task.as_ref().filter(|_| left.of_plan);
        let of = task.map_or_else(String::new, |id| format!("{id}: "));
        format!("{}: {of}{}.", still(&left), left.first.message)
    }));
    // No line is wider than a terminal; what goes on stands under what it goes on from.
    let whole = |line: &String| wrapped(line, 2).trim().to_owned();
    lines.iter().map(whole).collect()
}

/// "Still 1 stop", "Still 3 tasks with a caution in the plan".
pub fn still(left: &Stays<'_>) -> String {
    let word = left.level.words();
    match (left.of_plan, left.count) {
        (false, 1) => format!("Still 1 {word}"),
        (false, n) => format!("Still {n} {word}s"),
        (true, 1) => format!("Still 1 task with a {word}"),
        (true, n) => format!("Still {n} tasks with a {word}"),
    }
}

/// "1 stop, 2 cautions"; notes are not counted where there is graver.
fn counted(warnings: &[Warning]) -> Option<String> {
    let of = |level: Level| warnings.iter().filter(|w| w.level == level).count();
    let words = |level: Level| match of(level) {
        0 => None,
        1 => Some(format!("1 {}", level.words())),
        n => Some(format!("{n} {}s", level.words())),
    };
    let grave: Vec<String> = [Level::Stop, Level::Caution]
        .into_iter()
        .filter_map(words)
        .collect();
    if grave.is_empty() {
        words(Level::Note)
    } else {
        Some(grave.join(", "))
    }
}
