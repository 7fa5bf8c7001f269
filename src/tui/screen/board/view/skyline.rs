//! Fit hours as a skyline: `_` not fit, `▄` doubtful, `█` fit, work hours only.

use crate::domain::hours::air::Air;
use crate::domain::hours::fits::TaskFit;
use crate::domain::hours::verdict::Fit;
use crate::domain::season::{Task, TaskKind};
use crate::tui::action::Command;
use crate::tui::canvas::Canvas;
use crate::tui::model::Model;
use crate::tui::theme::Tone;
use crate::tui::words;
use chrono::{Datelike, NaiveDate};
use ratatui::layout::Rect;

/// Hours one may work in where none are set.
const WORK_HOURS: [u32; 2] = [7, 17];

/// The hours of a day one works in.
pub fn work_hours(model: &Model) -> [u32; 2] {
    match model.season.orchard.work_hours {
        Some([from, to]) if from < to && to <= 24 => [from, to],
        _ => WORK_HOURS,
    }
}

/// What stands in one cell, and what it looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Height {
    /// Nothing is known.
    Unknown,
    /// Not fit.
    Floor,
    /// Doubtful, or fit in part.
    Half,
    /// Fit.
    Full,
}

impl Height {
    /// The height of some hours together.
    pub fn of(fits: impl Iterator<Item = Option<Fit>>) -> Self {
        let (mut all, mut any, mut known) = (true, false, false);
        for fit in fits {
            known |= fit.is_some();
            all &= fit == Some(Fit::Fit);
            any |= matches!(fit, Some(Fit::Fit | Fit::Doubtful));
        }
        match (known, all, any) {
            (false, ..) => Self::Unknown,
            (_, true, _) => Self::Full,
            (_, _, true) => Self::Half,
            _ => Self::Floor,
        }
    }

    /// Draws it in a cell.
    pub fn draw(self, canvas: &mut Canvas<'_>, x: u16, y: u16) {
        match self {
            Self::Unknown => {}
            Self::Floor => canvas.sign(x, y, '_', Tone::Frame),
            Self::Half => canvas.sign(x, y, '▄', Tone::Plain),
            Self::Full => canvas.sign(x, y, '█', Tone::Fit),
        }
    }
}

/// Draws ten days, their names above their hours; below them the reason that keeps a day from
/// being fit, where there is a row for it.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect, labels: u16, task: Option<&Task>) {
    if area.height < 2 {
        return;
    }
    let [from, to] = work_hours(model);
    canvas.put(area.x + 1, area.y, labels, "Hours", Tone::Head);
    let x = area.x + labels;
    let room = area.right().saturating_sub(x);
    let spray = task.filter(|t| t.kind == TaskKind::Spray && t.state.is_open());
    let (Some(task), Some(fits)) = (spray, model.fits.as_ref()) else {
        let words = if model.fits.is_none() {
            let key = model.keymap.first(Command::Fetch);
            format!("No hours of weather yet. {key} fetches the forecast.")
        } else {
            "No spray, so its hours are not checked.".to_owned()
        };
        canvas.put(x, area.y, room, &words, Tone::Plain);
        return;
    };
    let Some(fit) = fits.of(&task.id) else { return };
    canvas.put(
        area.x + 1,
        area.y + 1,
        labels.saturating_sub(2),
        &format!("{from}-{to}h"),
        Tone::Plain,
    );
    let air = fits.air();
    let days: Vec<NaiveDate> = fit.grid.dates(air);
    let number = if room >= 70 { 10 } else { 5 };
    let wide = (room / number).max(6);
    let cells = wide - if wide >= 10 { 1 } else { 2 };
    for (i, day) in (0..number).zip(days) {
        let at = x + i * wide;
        let name = if wide >= 12 {
            words::weekday_day(day)
        } else {
            let weekday = words::weekday_day(day);
            let weekday = weekday.split(' ').next().unwrap_or("").to_owned();
            format!("{weekday} {}", day.day())
        };
        let tone = if day == task.date {
            Tone::Chosen
        } else {
            Tone::Plain
        };
        canvas.put(at, area.y, wide - 1, &name, tone);
        let hours = fit.grid.day(air, day);
        let known = |hour: usize| hours.get(hour).copied().flatten();
        let (from, to) = (from as usize, to as usize);
        let share = (to - from).div_ceil(usize::from(cells)).max(1);
        for cell in 0..cells {
            let begin = from + usize::from(cell) * share;
            let fits =
                (begin..(begin + share).min(to)).map(|h| known(h).and_then(|p| fit.grid.fit(p)));
            if begin < to {
                Height::of(fits).draw(canvas, at + cell, area.y + 1);
            }
        }
        if area.height >= 3 {
            let why = why(fit, air, &hours, from, to);
            canvas.put(at, area.y + 2, wide - 1, &why, Tone::Plain);
        }
    }
    if area.height >= 3 {
        canvas.put(area.x + 1, area.y + 2, labels - 1, "why", Tone::Plain);
    }
}

/// The one reason of a day: what keeps most of its work hours from being fit.
pub fn why(
    fit: &TaskFit,
    air: &Air,
    hours: &[Option<usize>; 24],
    from: usize,
    to: usize,
) -> String {
    let work: Vec<usize> = hours
        .iter()
        .skip(from)
        .take(to - from)
        .copied()
        .flatten()
        .collect();
    let not_fit: Vec<usize> = work
        .iter()
        .copied()
        .filter(|h| fit.grid.fit(*h) != Some(Fit::Fit))
        .collect();
    if work.is_empty() {
        return String::new();
    }
    if not_fit.is_empty() {
        return "fit all day".to_owned();
    }
    fit.grid
        .commonest(air, &not_fit)
        .first()
        .map_or_else(String::new, |(tag, _)| (*tag).to_owned())
}
