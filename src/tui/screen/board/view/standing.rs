//! Where the season stands, and what is due, at a glance.

use crate::domain::outlook::DueTask;
use crate::domain::rules::Level;
use crate::tui::action::Command;
use crate::tui::canvas::Canvas;
use crate::tui::details::tone;
use crate::tui::model::Model;
use crate::tui::screen::hours;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use ratatui::layout::Rect;

/// One line: due, at risk, and the estimate that presses most.
pub fn line(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let due = &model.outlook.due;
    let n = due.overdue.len() + due.today.len() + due.next.len();
    let (stops, cautions) = (model.outlook.stopped, model.outlook.cautioned);
    let mut x = row.x;
    let mut put = |canvas: &mut Canvas<'_>, text: &str, tone| {
        x = canvas.put(x, row.y, row.right().saturating_sub(x), text, tone);
    };
    match (stops, cautions) {
        (1.., _) => put(canvas, "!! ", Tone::Stop),
        (0, 1..) => put(canvas, "! ", Tone::Caution),
        _ => {}
    }
    let counts = match row.width {
        72.. => format!("{stops} stop, {cautions} caution, {n} due; "),
        _ if stops > 0 => format!("{stops} stop; "),
        _ if cautions > 0 => format!("{cautions} caution; "),
        _ => String::new(),
    };
    put(canvas, &counts, Tone::Head);
    let room = usize::from(row.width).saturating_sub(counts.len() + 3);
    put(canvas, &standing(model, room), Tone::Plain);
}

/// The estimate that presses most, in the longest words that fit.
fn standing(model: &Model, room: usize) -> String {
    if model.estimates.is_none() {
        return "the swell estimate is being made..".to_owned();
    }
    let all = &model.outlook.swells;
    // The next last safe day still to come presses most; else the last one.
    let pressing = all.iter().find(|s| s.safe >= model.today).or(all.last());
    let Some(swell) = pressing else {
        return if model.season.blocks.is_empty() {
            "no blocks yet: the season file names them".to_owned()
        } else {
            "no estimate for any block: S says why".to_owned()
        };
    };
    let (name, range) = (swell.species.words(), words::days_range(swell.dates));
    let safe = words::day(swell.safe);
    let away = words::away(swell.safe, model.today);
    let ways = [
        format!("{name} swells {range}, 8 times in 10; last safe day {safe}, {away}"),
        format!("{name} swells {range}; last safe day {safe}, {away}"),
        format!("{name} swells {range}; last safe {safe}"),
        format!("{name} {range}, safe to {safe}"),
    ];
    let last = ways.last().cloned().unwrap_or_default();
    ways.into_iter()
        .find(|w| text::width(w) <= room)
        .unwrap_or(last)
}

/// One line: what the estimate rests on, where that is not weather of the place.
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

/// One line: what speaks on blocks, and the key to where it is dealt with.
pub fn on_blocks(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let outlook = &model.outlook;
    // Worst first.
    let worst = outlook.loose().next().map_or(Level::Note, |w| w.level);
    let key = model.keymap.first(Command::ShowCoverage);
    let head = format!("{} ", words::level_sign(worst));
    let count = format!("on blocks {} ({key}): ", outlook.loose().count());
    let room = usize::from(row.width).saturating_sub(text::width(&head) + text::width(&count));
    let joined = text::joined(outlook.loose().map(|w| w.message.as_str()), "; ", room);
    let said = text::cut(&joined, room);
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[
            (&head, tone(worst)),
            (&count, Tone::Head),
            (&said, Tone::Plain),
        ],
    );
}

/// Fewer columns of a title tell nothing.
const STUMP: usize = 10;

/// How many are overdue, due today and in the next seven days, and the key that goes there.
fn numbers(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let due = &model.outlook.due;
    let key = model.keymap.first(Command::NextDue);
    let overdue = format!("!! overdue {}", due.overdue.len());
    let rest = format!(
        "today {}, next 7 days {}; {key} goes there",
        due.today.len(),
        due.next.len()
    );
    let late = !due.overdue.is_empty();
    let head: &[(&str, Tone)] = if late {
        &[(&overdue, Tone::Stop), (", ", Tone::Plain)]
    } else {
        &[]
    };
    let pieces = [head, &[(&rest, Tone::Plain)]].concat();
    canvas.pieces(row.x, row.y, row.width, &pieces);
}

/// Overdue, today, the next seven days.
pub fn due(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    if area.height == 0 {
        return;
    }
    let due = &model.outlook.due;
    let one = |t: &DueTask, date: bool| {
        let sign = t.worst.map_or("", words::level_sign);
        let gap = if sign.is_empty() { "" } else { " " };
        if date {
            let fit = hours::next_words(model, &t.task)
                .map_or_else(String::new, |w| format!(" (next {w})"));
            format!("{} {sign}{gap}{}{fit}", words::weekday_day(t.date), t.title)
        } else {
            format!("{sign}{gap}{}", t.title)
        }
    };
    let list = |tasks: &[DueTask], date: bool| {
        let said = text::joined(tasks.iter().map(|t| one(t, date)), "; ", area.width.into());
        if said.is_empty() {
            "none".to_owned()
        } else {
            said
        }
    };
    let one_row = area.height == 1;
    let mut parts: Vec<(String, Tone, String)> = Vec::new();
    if !due.overdue.is_empty() {
        parts.push((
            format!("!! overdue {}: ", due.overdue.len()),
            Tone::Stop,
            list(&due.overdue, !one_row),
        ));
    }
    parts.push(("today: ".to_owned(), Tone::Head, list(&due.today, false)));
    let week = if one_row { "7 days: " } else { "next 7 days: " };
    parts.push((week.to_owned(), Tone::Head, list(&due.next, !one_row)));
    if due.is_empty() {
        let next = model
            .season
            .tasks
            .iter()
            .filter(|t| t.state.is_open() && t.date > model.today)
            .min_by_key(|t| t.date);
        let words = match next {
            Some(task) => format!(
                "nothing is due within 7 days; next {} ({})",
                words::weekday_day(task.date),
                task.title
            ),
            None => "nothing is due, and nothing is planned: a adds a task".to_owned(),
        };
        canvas.put(area.x, area.y, area.width, &words, Tone::Plain);
        return;
    }
    if one_row {
        // One row for all: each gets what it needs, the last one what is left.
        let mut x = area.x;
        let empty = |t: &str| t == "none";
        let kept: Vec<_> = parts.iter().filter(|(_, _, t)| !empty(t)).collect();
        let share = usize::from(area.width) / kept.len().max(1);
        // Titles cut to a stump say less than their number does.
        let stump = |(head, _, tasks): &(String, Tone, String)| {
            let left = share.saturating_sub(text::width(head) + 2);
            left < text::width(tasks) && left < STUMP
        };
        if kept.iter().any(|part| stump(part)) {
            numbers(model, canvas, area);
            return;
        }
        for (i, (head, tone, tasks)) in kept.iter().enumerate() {
            let room = if i + 1 == kept.len() {
                usize::from(area.right().saturating_sub(x))
            } else {
                share.saturating_sub(2)
            };
            let head_columns = text::width(head);
            let cut = text::cut(tasks, room.saturating_sub(head_columns)).into_owned();
            x = canvas.pieces(
                x,
                area.y,
                u16::try_from(room).unwrap_or(0),
                &[(head, *tone), (&cut, Tone::Plain)],
            ) + 2;
        }
        return;
    }
    // Overdue and today share the first row, the week has the second.
    let (week, first) = parts
        .split_last()
        .map_or((None, &[][..]), |(w, f)| (Some(w), f));
    let mut x = area.x;
    for (i, (head, tone, tasks)) in first.iter().enumerate() {
        // What comes behind keeps what it needs, up to half of the row.
        let behind: usize = first
            .iter()
            .skip(i + 1)
            .map(|(head, _, tasks)| text::width(head) + text::width(tasks) + 2)
            .sum();
        let behind = u16::try_from(behind)
            .unwrap_or(area.width)
            .min(area.width / 2);
        let room = area.right().saturating_sub(x).saturating_sub(behind);
        let left = usize::from(room).saturating_sub(text::width(head));
        let tasks = text::cut(tasks, left);
        x = canvas.pieces(x, area.y, room, &[(head, *tone), (&tasks, Tone::Plain)]) + 2;
    }
    if let Some((head, tone, tasks)) = week {
        canvas.pieces(
            area.x,
            area.y + 1,
            area.width,
            &[(head, *tone), (tasks, Tone::Plain)],
        );
    }
}
