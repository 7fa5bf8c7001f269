//! The year zoomed to a month or a week: lanes day by day, the marked spray's block, its fit
//! hours beneath, and where it is being moved to with what that changes.

use super::axis::Axis;
use super::skyline::{Height, work_hours};
use super::year::{self, Span, tone};
use crate::domain::mix::safety;
use crate::domain::season::{Lane, Task};
use crate::tui::action::{Command, Spot};
use crate::tui::canvas::Canvas;
use crate::tui::model::Model;
use crate::tui::screen::board::Zoom;
use crate::tui::screen::board::moving::Moving;
use crate::tui::screen::board::standing::Mark;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use chrono::{Datelike, Days, NaiveDate, TimeDelta, Timelike as _};
use ratatui::layout::Rect;

/// Columns of a name.
const NAMES: u16 = 18;

/// The days in view and how many cells each has.
struct Near {
    axis: Axis,
    from: NaiveDate,
    /// Cells of a day.
    cells: u16,
    days: u16,
}

impl Near {
    fn of(model: &Model, area: Rect) -> Self {
        let [begin, end] = work_hours(model);
        let cells = match model.board.zoom {
            Zoom::Week => u16::try_from(end - begin).unwrap_or(10),
            _ => 2,
        };
        let room = area.width.saturating_sub(NAMES);
        let days = (room / cells.max(1)).max(1);
        let marked = super::super::chosen(model).map_or(model.today, Task::day);
        let monday = |d: NaiveDate| {
            let back = Days::new(u64::from(d.weekday().num_days_from_monday()));
            d.checked_sub_days(back).unwrap_or(d)
        };
        // From this week on, unless the marked task stands outside.
        let today = match model.board.zoom {
            Zoom::Week => model.today,
            _ => monday(model.today),
        };
        let seen = today + Days::new(u64::from(days.saturating_sub(1)));
        let from = if marked < today || marked > seen {
            monday(marked)
        } else {
            today
        };
        let to = from + Days::new(u64::from(days));
        Self {
            axis: Axis::new((from, to), area.x + NAMES, days * cells),
            from,
            cells,
            days,
        }
    }

    fn day(&self, place: u16) -> NaiveDate {
        self.from + Days::new(u64::from(place))
    }
}

/// Draws it in the rows of the year.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let days = Near::of(model, area);
    heads(model, canvas, area, &days);
    let mut y = area.y + 1;
    let task = super::super::chosen(model);
    // What is asked of the marked task has its rows before any lane.
    let below = if task.is_some() { 4 } else { 0 };
    let room = area.height.saturating_sub(1 + below);
    for lane in lanes(model, &days)
        .into_iter()
        .take(usize::from(room.max(1)))
    {
        lane_row(model, canvas, y, &days, lane);
        y += 1;
    }
    let Some(task) = task else { return };
    if y < area.bottom() {
        window_row(model, canvas, y, &days, task);
        y += 1;
    }
    if y < area.bottom() {
        hours_row(model, canvas, y, &days, task);
        y += 1;
    }
    let moving = model.board.moving.as_ref();
    if y < area.bottom() {
        moved_row(model, canvas, y, &days, task, moving, area);
        y += 1;
    }
    if y < area.bottom() {
        keep_out_row(model, canvas, y, &days, task, moving, area);
    }
}

fn heads(model: &Model, canvas: &mut Canvas<'_>, area: Rect, days: &Near) {
    let name = match model.board.zoom {
        Zoom::Week => "Week from",
        _ => "Month from",
    };
    canvas.put(area.x, area.y, NAMES - 1, name, Tone::Head);
    let mut free = 0;
    for place in 0..days.days {
        let day = days.day(place);
        let x = days.axis.left() + place * days.cells;
        let today = day == model.today;
        let monday = day.weekday() == chrono::Weekday::Mon;
        let week = model.board.zoom == Zoom::Week;
        if !(today || monday || week) || x < free {
            continue;
        }
        let words = if week {
            words::weekday_day(day)
        } else {
            words::day(day)
        };
        let columns = u16::try_from(words.len()).unwrap_or(0);
        if x + columns > days.axis.right() {
            break;
        }
        let tone = if today { Tone::Today } else { Tone::Plain };
        canvas.put(x, area.y, columns, &words, tone);
        free = x + columns + 1;
    }
}

/// The lanes that have a day or a task in view.
fn lanes(model: &Model, days: &Near) -> Vec<Lane> {
    let spans = year::lane_days(model);
    Lane::ALL
        .into_iter()
        .zip(spans)
        .filter(|(lane, (from, to))| {
            let meets = *to >= days.axis.from() && *from < days.axis.to();
            let mut tasks = model.season.tasks.iter();
            meets || tasks.any(|t| t.lane == *lane && days.axis.column(t.day()).is_some())
        })
        .map(|(lane, _)| lane)
        .collect()
}

fn lane_row(model: &Model, canvas: &mut Canvas<'_>, y: u16, days: &Near, lane: Lane) {
    let x = days.axis.left() - NAMES;
    canvas.put(x, y, NAMES - 1, super::lane_name(lane), Tone::Head);
    let place = Lane::ALL.iter().position(|l| *l == lane).unwrap_or(0);
    if let Some((from, to)) = year::lane_days(model).get(place) {
        year::span_row(canvas, y, &days.axis, (*from, *to));
    }
    for (place, task) in model.season.tasks.iter().enumerate() {
        if task.lane != lane {
            continue;
        }
        let Some(mut x) = days.axis.column(task.day()) else {
            continue;
        };
        x += hour_cell(model, days, task.hour);
        let mark = Mark::of(task, model.standings.get(&task.id));
        canvas.sign(x, y, mark.sign(), tone(mark));
        canvas
            .spots
            .push((Rect::new(x, y, 1, 1), Spot::Card(place)));
    }
}

/// The cell of an hour within its day.
fn hour_cell(model: &Model, days: &Near, hour: Option<u32>) -> u16 {
    let [begin, end] = work_hours(model);
    let Some(hour) = hour.filter(|h| (begin..end).contains(h)) else {
        return 0;
    };
    let at = (hour - begin) * u32::from(days.cells) / (end - begin).max(1);
    u16::try_from(at).unwrap_or(0).min(days.cells - 1)
}

fn window_row(model: &Model, canvas: &mut Canvas<'_>, y: u16, days: &Near, task: &Task) {
    let x = days.axis.left() - NAMES;
    let standing = model.standings.get(&task.id);
    let name = words::blocks_within(&model.season, task, usize::from(NAMES));
    let name = text::cut(&name, usize::from(NAMES - 1)).into_owned();
    canvas.put(x, y, NAMES - 1, &name, Tone::Plain);
    let block = model.season.blocks_of(task).next();
    let estimate = block.and_then(|b| model.estimates.as_ref()?.of(&b.id));
    year::time_row(
        model,
        canvas,
        y,
        &days.axis,
        &Span {
            swell: estimate.map(|e| &e.swell),
            safe: standing.and_then(|s| s.last_safe),
        },
    );
    if let Some(x) = days.axis.column(task.date) {
        let mark = Mark::of(task, standing);
        let x = x + hour_cell(model, days, task.hour);
        canvas.sign(x, y, mark.sign(), tone(mark));
    }
}

fn hours_row(model: &Model, canvas: &mut Canvas<'_>, y: u16, days: &Near, task: &Task) {
    let x = days.axis.left() - NAMES;
    canvas.put(x, y, NAMES - 1, "Fit hours", Tone::Head);
    let Some(fits) = &model.fits else { return };
    let Some(fit) = fits.of(&task.id) else { return };
    let [begin, end] = work_hours(model);
    let share = (end - begin).div_ceil(u32::from(days.cells)).max(1);
    let mut last = None;
    for place in 0..days.days {
        let hours = fit.grid.day(fits.air(), days.day(place));
        if hours.iter().all(Option::is_none) {
            continue;
        }
        for cell in 0..days.cells {
            let from = begin + u32::from(cell) * share;
            let fits = (from..(from + share).min(end)).map(|h| {
                let hour = hours.get(h as usize).copied().flatten();
                hour.and_then(|p| fit.grid.fit(p))
            });
            let x = days.axis.left() + place * days.cells + cell;
            if from < end {
                Height::of(fits).draw(canvas, x, y);
            }
            last = Some((x, days.day(place)));
        }
    }
    if let Some((x, day)) = last {
        let words = format!("known to {}", words::day(day));
        let room = days.axis.right().saturating_sub(x + 2);
        if text::width(&words) <= usize::from(room) {
            canvas.put(x + 2, y, room, &words, Tone::Plain);
        }
    }
}

/// Where the task is being moved to, and what that changes.
fn moved_row(
    model: &Model,
    canvas: &mut Canvas<'_>,
    y: u16,
    days: &Near,
    task: &Task,
    moving: Option<&Moving>,
    area: Rect,
) {
    let x = area.x;
    let key = |c| model.keymap.first(c);
    let Some(moving) = moving else {
        canvas.put(x, y, NAMES - 1, "Moved to", Tone::Plain);
        let words = format!(
            "{} and {} move it; {} keeps, {} puts it back",
            key(Command::Left),
            key(Command::Right),
            key(Command::Open),
            key(Command::Back)
        );
        canvas.put(days.axis.left(), y, area.width - NAMES, &words, Tone::Plain);
        return;
    };
    canvas.put(x, y, NAMES - 1, "Moved to", Tone::Head);
    let to = moving.to;
    let day = words::weekday_day(to);
    let words = format!("{day}: {}. {}", moving.words(), key(Command::Open));
    let wide = u16::try_from(text::width(&words)).unwrap_or(u16::MAX);
    let cell = days.axis.clamped(to) + hour_cell(model, days, task.hour);
    canvas.sign(cell, y, 'o', Tone::Chosen);
    // Behind the sign, or before it where there is no room behind.
    if cell + 2 + wide <= area.right() {
        canvas.put(cell + 2, y, wide, &words, Tone::Plain);
    } else if days.axis.left() + wide < cell {
        canvas.put(cell - wide - 1, y, wide, &words, Tone::Plain);
    } else {
        let room = area.right().saturating_sub(cell + 2);
        canvas.put(cell + 2, y, room, &words, Tone::Plain);
    }
}

/// How long people would have to keep out.
fn keep_out_row(
    model: &Model,
    canvas: &mut Canvas<'_>,
    y: u16,
    days: &Near,
    task: &Task,
    moving: Option<&Moving>,
    area: Rect,
) {
    canvas.put(area.x, y, NAMES - 1, "Keep out", Tone::Plain);
    let materials = task
        .mix
        .iter()
        .filter_map(|part| model.season.material(&part.material));
    if task.mix.is_empty() {
        return;
    }
    let reentry = safety::reentry(materials);
    let left = days.axis.left();
    let room = area.right().saturating_sub(left);
    let (Some(hours), true) = (reentry.hours, reentry.unknown.is_empty()) else {
        canvas.put(left, y, room, &reentry.words(), Tone::Plain);
        return;
    };
    let from = moving.map_or(task.date, |m| m.to);
    let begin = from.and_hms_opt(task.hour.unwrap_or(8), 0, 0);
    let minutes = TimeDelta::try_minutes((hours * 60.0).ceil() as i64).unwrap_or_default();
    let Some(end) = begin.and_then(|b| b.checked_add_signed(minutes)) else {
        return;
    };
    let (first, last) = (days.axis.column(from), days.axis.clamped(end.date()));
    let Some(first) = first else { return };
    for x in first..=last.max(first) {
        canvas.sign(x, y, '─', Tone::Plain);
    }
    let words = format!(
        "to {} {:02}:00 or until dry, whichever is later",
        words::weekday_day(end.date()),
        end.hour()
    );
    let x = last.max(first) + 2;
    canvas.put(x, y, area.right().saturating_sub(x), &words, Tone::Plain);
}
