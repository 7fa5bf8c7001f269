//! What is said after a key: what changed, what that does to the warnings, what is in view now.

use super::scene::Scene;
use crate::domain::outlook::Outlook;
use crate::domain::rules::{Level, Warning};
use crate::domain::season::{Season, Task};
use crate::report::changes::still;
use crate::tui::action::Command;
use crate::tui::model::Model;
use crate::tui::screen::{Screen, board};
use crate::tui::text::count;
use crate::tui::words;

/// At most so many warnings are said one by one; more are counted.
const MOST_WARNINGS: usize = 5;

/// The first words: the season, where it stands, what is chosen, how to go on.
pub(super) fn opening(model: &Model) -> (Scene, Vec<String>) {
    let season = &model.season;
    let practice = if season.practice {
        " Practice: invented, nothing is written."
    } else {
        ""
    };
    let mut lines = vec![
        format!(
            "{} {}.{practice}",
            season.orchard.name.trim(),
            season.season
        ),
        day(model),
    ];
    for swell in &model.outlook.swells {
        lines.push(format!(
            "{}: swell about {}, last safe day {}.",
            words::capital(swell.species.words()),
            words::days_range(swell.dates),
            words::weekday_day(swell.safe)
        ));
    }
    let key = |c| model.keymap.first(c);
    lines.push(format!(
        "Keys as on the board: {} and {} choose a task, {} what is due next, {} details, {} delays, {} finishes, {} all keys, {} quits.",
        key(Command::Down),
        key(Command::Up),
        key(Command::NextDue),
        key(Command::Open),
        key(Command::Delay),
        key(Command::Finish),
        key(Command::Help),
        key(Command::Quit)
    ));
    if let Some(notice) = &model.notice {
        lines.push(notice.text.clone());
    }
    let (scene, shown) = shown(&Scene::default(), model);
    lines.extend(shown);
    (scene, lines)
}

/// The day, and where the season stands on it.
pub(super) fn day(model: &Model) -> String {
    let due = &model.outlook.due;
    format!(
        "{}. {} with a stop, {} with a caution; {} late, {} today, {} in the next 7 days.",
        words::full_day(model.today),
        count(model.outlook.stopped as i64, "task", "tasks"),
        count(model.outlook.cautioned as i64, "task", "tasks"),
        due.overdue.len(),
        due.today.len(),
        due.next.len()
    )
}

/// What a key did to the plan: the notice, each task that changed, each warning that is new or
/// cleared, and what stays on the tasks that changed.
pub(super) fn consequences(before: &Season, outlook: &Outlook, model: &Model) -> Vec<String> {
    // What the board says in one line of the warnings is said here in full, below.
    let told = format!(". {}", model.told.line);
    let bare = |text: &str| match text.strip_suffix(told.as_str()) {
        Some(text) if !model.told.line.is_empty() => format!("{text}."),
        _ => text.to_owned(),
    };
    let mut lines: Vec<String> = model.notice.iter().map(|n| bare(&n.text)).collect();
    if *before == model.season {
        return lines;
    }
    let mut changed = Vec::new();
    for task in &model.season.tasks {
        match before.task(&task.id) {
            Some(old) if old == task => {}
            Some(old) => {
                changed.push(task);
                lines.extend(change(old, task));
            }
            None => lines.push(format!("Added: {}", whole(model, task))),
        }
    }
    for old in &before.tasks {
        if model.season.task(&old.id).is_none() {
            lines.push(format!("Deleted: {}.", old.title));
        }
    }
    let changes = outlook.changes_to(&model.outlook);
    lines.extend(warnings("New", &changes.appeared));
    lines.extend(warnings("Cleared", &changes.cleared));
    if changes.appeared.is_empty() {
        lines.push("No new warning.".to_owned());
    }
    let said = lines.len();
    for task in changed {
        lines.extend(stays(model, task));
    }
    if lines.len() == said
        && let Some(left) = model.outlook.stays(&[])
    {
        lines.push(format!("{}: {}", still(&left), left.first.message));
    }
    lines
}

fn change(old: &Task, task: &Task) -> Option<String> {
    if old.state != task.state {
        return Some(format!("{}: {}.", task.title, words::state(&task.state)));
    }
    if old.date != task.date {
        return Some(format!(
            "{}: moved from {} to {}.",
            task.title,
            words::weekday_day(old.date),
            words::weekday_day(task.date)
        ));
    }
    (old.lane != task.lane).then(|| format!("{}: now in {}.", task.title, task.lane.words()))
}

fn warnings(what: &str, all: &[Warning]) -> Vec<String> {
    let mut lines: Vec<String> = all
        .iter()
        .take(MOST_WARNINGS)
        .map(|w| format!("{what} {}", w.line()))
        .collect();
    if let Some(more) = all.len().checked_sub(MOST_WARNINGS).filter(|n| *n > 0) {
        lines.push(format!("{what}: {more} more."));
    }
    lines
}

/// What still stands against a task: a move must never sound like an all-clear.
fn stays(model: &Model, task: &Task) -> Option<String> {
    if !task.state.is_open() {
        return None;
    }
    let gravest = model.outlook.warnings_of(&task.id).next()?;
    let same = model.outlook.warnings_of(&task.id);
    let n = same.filter(|w| w.level == gravest.level).count();
    (gravest.level >= Level::Caution).then(|| {
        format!(
            "Still {} on {}: {}",
            count(
                n as i64,
                gravest.level.words(),
                &format!("{}s", gravest.level.words())
            ),
            task.title,
            gravest.message
        )
    })
}

/// What is in view and was not said yet.
pub(super) fn shown(said: &Scene, model: &Model) -> (Scene, Vec<String>) {
    let now = Scene::of(model);
    let board = model.screen == Screen::Board && model.overlay.is_none();
    let mut lines = Vec::new();
    let is_same = now.screen == said.screen && now.above == said.above;
    if !is_same {
        if now.screen != said.screen {
            lines.push(format!("{} screen.", words::capital(&screen_name(model))));
        }
        if !board {
            lines.extend(now.lines.iter().cloned());
        }
    } else if !board {
        let new = now.lines.iter().filter(|l| !said.lines.contains(l));
        lines.extend(new.cloned());
    }
    if board {
        let card = board::chosen(model).map(|task| whole(model, task));
        let card = card.unwrap_or_else(|| "No task is chosen.".to_owned());
        // The card stands for the screen's lines: it is what a key on the board changes.
        let scene = Scene {
            lines: vec![card.clone()],
            at: None,
            ..now
        };
        if scene != *said {
            lines.push(card);
        }
        return (scene, lines);
    }
    // A list that was said before: the line one is on now.
    if is_same
        && now.at != said.at
        && let Some(chosen) = now.chosen()
        && !lines.iter().any(|l| l == chosen)
    {
        lines.push(chosen.to_owned());
    }
    (now, lines)
}

fn screen_name(model: &Model) -> String {
    format!("{:?}", model.screen).to_lowercase()
}

/// A task whole, in a line.
fn whole(model: &Model, task: &Task) -> String {
    let of_lane = board::cards(&model.season, task.lane);
    let place = of_lane.iter().position(|t| t.id == task.id).unwrap_or(0) + 1;
    let when = if task.state.is_open() {
        format!(
            "{}, {}",
            words::weekday_day(task.date),
            words::away_long(task.date, model.today)
        )
    } else {
        words::state(&task.state)
    };
    let gravest = model
        .outlook
        .warnings_of(&task.id)
        .next()
        .filter(|_| task.state.is_open())
        .map_or_else(String::new, |w| {
            let n = model.outlook.warnings_of(&task.id).count();
            let more = if n > 1 {
                format!(" {} in all.", count(n as i64, "warning", "warnings"))
            } else {
                String::new()
            };
            format!(
                " {}: {}.{more}",
                words::capital(w.level.words()),
                w.message.trim_end_matches('.')
            )
        });
    format!(
        "{}, {place} of {}: {}. {when}. {}.{gravest}",
        words::capital(task.lane.words()),
        of_lane.len(),
        task.title.trim_end_matches('.'),
        words::capital(&words::blocks(&model.season, task))
    )
}
