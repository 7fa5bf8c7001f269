//! The ribbon of the dormant year: months, today, tasks, likely swell by species.

use crate::domain::outlook::SpeciesSwell;
use crate::report::ribbon::{crowd_sign, span, task_sign};
use crate::tui::canvas::Canvas;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use chrono::{Datelike, Months, NaiveDate};
use ratatui::layout::Rect;

/// Columns for names on the left.
const NAMES: u16 = 14;

/// Rows the ribbon takes of what is left below the due strip.
pub fn rows(model: &Model, room: Rect) -> u16 {
    let species = u16::try_from(model.outlook.swells.len()).unwrap_or(0);
    // Months, tasks and legend, and a row a species as far as there is room.
    let spare = room.height / 3;
    match room.height {
        0..9 => 0,
        9..14 => 2 + species.min(1),
        _ => 3 + species.min(spare.saturating_sub(2)).max(species.min(1)),
    }
}

struct Axis {
    from: NaiveDate,
    days: i64,
    x: u16,
    columns: u16,
}

impl Axis {
    fn column(&self, day: NaiveDate) -> Option<u16> {
        let at = (day - self.from).num_days();
        if at < 0 || at >= self.days || self.columns == 0 {
            return None;
        }
        let column = at * i64::from(self.columns) / self.days;
        u16::try_from(column).ok().map(|c| self.x + c)
    }

    fn clamped(&self, day: NaiveDate) -> u16 {
        match self.column(day) {
            Some(column) => column,
            None if day < self.from => self.x,
            None => self.x + self.columns.saturating_sub(1),
        }
    }
}

/// Draws the ribbon.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    if area.height < 2 {
        return;
    }
    let swells = &model.outlook.swells;
    let (from, to) = span(&model.season, swells);
    let texts = area.width >= 76;
    // `25 Feb (14 Feb-9 Mar)` and, where there is room, the last safe day.
    let wide = area.width >= 110;
    let behind = match (texts, wide) {
        (true, true) => 42,
        (true, false) => 24,
        _ => 0,
    };
    let axis = Axis {
        from,
        days: (to - from).num_days().max(1),
        x: area.x + NAMES,
        columns: area.width.saturating_sub(NAMES + behind),
    };
    months(model, canvas, area.y, &axis, to);
    tasks(model, canvas, area.y + 1, &axis);
    let legend = area.height >= 4;
    let room = usize::from(area.height - 2 - u16::from(legend));
    let shown = swells.iter().take(room);
    for (y, swell) in (area.y + 2..area.bottom()).zip(shown) {
        band(model, canvas, y, &axis, swell);
        if texts {
            let mut words = words::days_range(swell.dates);
            if wide {
                words = format!("{words}, safe to {}", words::weekday_day(swell.safe));
            }
            canvas.put(axis.x + axis.columns + 1, y, behind, &words, Tone::Plain);
        }
    }
    if legend {
        let hidden = swells.len().saturating_sub(room);
        let more = if hidden > 0 {
            format!("; {hidden} more: S")
        } else {
            String::new()
        };
        let words = format!(
            "v today  o task  = likely swell (8 in 10)  # even chance  ] last safe day{more}"
        );
        let cut = text::cut(&words, usize::from(area.width)).into_owned();
        canvas.put(area.x, area.bottom() - 1, area.width, &cut, Tone::Plain);
    }
}

fn months(model: &Model, canvas: &mut Canvas<'_>, y: u16, axis: &Axis, to: NaiveDate) {
    canvas.put(axis.x - NAMES, y, NAMES, "the year", Tone::Head);
    let today = axis.column(model.today);
    let mut month = axis.from;
    while month < to {
        let next = month.checked_add_months(Months::new(1)).unwrap_or(to);
        if let Some(x) = axis.column(month) {
            let room = axis.clamped(next).saturating_sub(x);
            if room >= 4 || month.month0().is_multiple_of(2) {
                canvas.put(x, y, 1, "|", Tone::Plain);
                // The mark of today pushes a month's name aside, never into two.
                let name = x + 1;
                let name = match today {
                    Some(at) if (name..name + 3).contains(&at) && at + 4 <= x + room => at + 1,
                    _ => name,
                };
                canvas.put(name, y, axis.columns, words::month(month), Tone::Plain);
            }
        }
        if next <= month {
            break;
        }
        month = next;
    }
    if let Some(x) = today {
        canvas.put(x, y, 1, "v", Tone::Chosen);
    }
}

fn tasks(model: &Model, canvas: &mut Canvas<'_>, y: u16, axis: &Axis) {
    canvas.put(axis.x - NAMES, y, NAMES, "tasks", Tone::Plain);
    let mut cells: Vec<(u16, usize, char)> = Vec::new();
    for task in &model.season.tasks {
        let Some(x) = axis.column(task.day()) else {
            continue;
        };
        let sign = task_sign(task);
        match cells.iter_mut().find(|(at, ..)| *at == x) {
            Some((_, count, known)) => {
                *count += 1;
                // An open task shows through finished ones.
                if sign == 'o' {
                    *known = sign;
                }
            }
            None => cells.push((x, 1, sign)),
        }
    }
    for (x, count, sign) in cells {
        let sign = crowd_sign(count, sign);
        canvas.put(x, y, 1, sign.encode_utf8(&mut [0; 4]), Tone::Head);
    }
}

fn band(model: &Model, canvas: &mut Canvas<'_>, y: u16, axis: &Axis, swell: &SpeciesSwell) {
    canvas.put(
        axis.x - NAMES,
        y,
        NAMES - 1,
        swell.species.words(),
        Tone::Plain,
    );
    let [early, even, late] = swell.dates.map(|d| axis.clamped(d));
    let columns = late.saturating_sub(early) + 1;
    let bar = "=".repeat(usize::from(columns));
    canvas.put(early, y, columns, &bar, Tone::Band);
    canvas.put(even, y, 1, "#", Tone::Head);
    if let Some(x) = axis.column(swell.safe) {
        let tone = if swell.safe < model.today {
            Tone::Stop
        } else {
            Tone::Good
        };
        canvas.put(x, y, 1, "]", tone);
    }
}
