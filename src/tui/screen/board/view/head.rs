//! The line under the top line: how many tasks are stopped, cautioned, due, and the worst of all.

use super::card::WINDOW;
use crate::domain::rules::{Level, short};
use crate::domain::season::Task;
use crate::tui::action::Command;
use crate::tui::canvas::Canvas;
use crate::tui::model::Model;
use crate::tui::screen::board::standing::{Mark, gravest};
use crate::tui::screen::hours;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use ratatui::layout::Rect;

/// Draws it.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let (stops, cautions) = (model.outlook.stopped, model.outlook.cautioned);
    let due = model.outlook.due_tasks().count();
    let mut x = row.x;
    let mut put = |canvas: &mut Canvas<'_>, text: &str, tone| {
        x = canvas.put(x, row.y, row.right().saturating_sub(x), text, tone);
    };
    if stops > 0 {
        put(canvas, &format!(" {stops} STOP "), Tone::Stop);
        put(canvas, " ", Tone::Plain);
    }
    if cautions > 0 {
        put(canvas, &format!(" {cautions} caution "), Tone::Caution);
        put(canvas, " ", Tone::Plain);
    }
    if row.width >= 48 || (stops == 0 && cautions == 0) {
        put(canvas, &format!("{due} due"), Tone::Head);
        put(canvas, "   ", Tone::Plain);
    }
    let room = usize::from(row.right().saturating_sub(x));
    let (head, said) = told(model, room);
    let end = canvas.put(x, row.y, row.right().saturating_sub(x), &head, Tone::Head);
    canvas.put(
        end,
        row.y,
        row.right().saturating_sub(end),
        &said,
        Tone::Plain,
    );
}

/// The worst thing, or what comes next: a bold word and what it is.
fn told(model: &Model, room: usize) -> (String, String) {
    if model.estimates.is_none() {
        return (
            String::new(),
            "Working out when buds will swell..".to_owned(),
        );
    }
    if model.season.blocks.is_empty() {
        let said = "No blocks yet. Add them in the season file, under [[block]].";
        return (String::new(), said.to_owned());
    }
    if let Some(task) = model.outlook.worst_task(&model.season) {
        let head = "Worst: ";
        let ways = ways(model, task);
        let left = room.saturating_sub(head.len());
        return (head.to_owned(), longest(&ways, left));
    }
    let next = model
        .season
        .tasks
        .iter()
        .filter(|t| t.state.is_open())
        .min_by_key(|t| (t.date, t.id.clone()));
    match next {
        Some(task) => {
            let day = words::weekday_day(task.date);
            let ways = [
                format!(
                    "{}, {day}, {}",
                    task.title,
                    words::away_long(task.date, model.today)
                ),
                format!("{}, {day}", task.title),
                day,
            ];
            let left = room.saturating_sub(6);
            ("Next: ".to_owned(), longest(&ways, left))
        }
        None => {
            let key = model.keymap.first(Command::Add);
            (
                String::new(),
                format!("Nothing is planned. {key} adds a task."),
            )
        }
    }
}

/// The longest way that fits, else the last one cut.
fn longest(ways: &[String], room: usize) -> String {
    ways.iter()
        .find(|w| text::width(w) <= room)
        .or(ways.last())
        .cloned()
        .unwrap_or_default()
}

fn ways(model: &Model, task: &Task) -> Vec<String> {
    let standing = model.standings.get(&task.id);
    let Some(warning) = gravest(&model.outlook, &task.id) else {
        return vec![task.title.clone()];
    };
    let safe = standing.and_then(|s| s.last_safe);
    let said = short::wrong(warning, &model.season, safe, short::ROOM);
    let tag = short::tag(warning);
    let late = standing.map_or(0, |s| s.late);
    // Where being late is all there is to say, it is said once.
    let late = match late {
        n if n > 0 && tag != "late" => format!(", {n} d late"),
        _ => String::new(),
    };
    let name = words::blocks_within(&model.season, task, 40);
    let mut ways = Vec::new();
    if let Some(next) = next(model) {
        ways.push(format!("{}: {said} {next}", task.title));
    }
    ways.push(format!("{}: {said}", task.title));
    // The cure of a window fits beside its tag; all others stand on the card.
    let window = safe.filter(|_| WINDOW.contains(&warning.rule));
    if let Some(safe) = window {
        let cure = if safe < model.today {
            format!("{tag}, skip it and say why")
        } else {
            format!("planned {tag}, spray by {}", words::day(safe))
        };
        ways.push(format!("{}: {cure}", task.title));
        ways.push(format!("{name}: {cure}"));
    }
    ways.extend([
        format!("{}: {tag}{late}", task.title),
        format!("{name}: {tag}{late}"),
        format!("{name}: {tag}"),
        tag.to_owned(),
    ]);
    ways
}

/// The next spray that its hours fit, for wide windows.
fn next(model: &Model) -> Option<String> {
    let task = model
        .outlook
        .due_tasks()
        .filter_map(|d| model.season.task(&d.task))
        .find(|t| {
            let mark = Mark::of(t, model.standings.get(&t.id));
            mark != Mark::Done && hours::next_words(model, &t.id).is_some()
        })?;
    let hours = hours::next_words(model, &task.id)?;
    Some(format!("Next: {}, {hours}.", task.title))
}

/// Draws what the dates rest on, where that is less than the place's own weather.
pub fn ground(canvas: &mut Canvas<'_>, row: Rect, brief: &str) {
    let sign = words::level_sign(Level::Caution);
    let said = text::cut(brief, usize::from(row.width).saturating_sub(sign.len() + 1));
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[
            (sign, Tone::Caution),
            (" ", Tone::Plain),
            (&said, Tone::Plain),
        ],
    );
}
