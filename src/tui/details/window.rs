//! The window of a spray on an axis of its own: from its opening to its swell.

use super::Row;
use crate::domain::season::{Task, TaskKind};
use crate::tui::model::Model;
use crate::tui::screen::board::view::axis::Axis;
use crate::tui::screen::board::view::year::shade;
use crate::tui::words;
use chrono::{Datelike, Days, Months, NaiveDate};

/// Columns of the axis.
const COLUMNS: u16 = 56;
/// Columns of the labels before it.
const LABELS: usize = 9;

/// A line of cells.
struct Line(Vec<char>);

impl Line {
    fn new() -> Self {
        Self(vec![' '; usize::from(COLUMNS)])
    }

    fn put(&mut self, column: Option<u16>, sign: char) {
        if let Some(cell) = column.and_then(|c| self.0.get_mut(usize::from(c))) {
            *cell = sign;
        }
    }

    fn write(&mut self, column: Option<u16>, words: &str) {
        let Some(column) = column else { return };
        if usize::from(column) + words.chars().count() > self.0.len() {
            return;
        }
        for (i, sign) in (column..).zip(words.chars()) {
            self.put(Some(i), sign);
        }
    }

    fn row(&self, label: &str) -> Row {
        let cells: String = self.0.iter().collect();
        Row::verbatim(format!("{label:<LABELS$}{}", cells.trim_end()))
    }
}

/// Months, the window, the swell, and the same in words.
pub fn rows(model: &Model, task: &Task) -> Vec<Row> {
    let standing = model.standings.get(&task.id);
    let edges = standing.and_then(|s| Some((s.opens?, s.last_safe?, s.swell?)));
    let Some((opens, safe, (_, late))) = edges.filter(|_| task.kind == TaskKind::Spray) else {
        return Vec::new();
    };
    let first = opens.min(task.day()).min(model.today);
    let last = late.max(task.day()).max(model.today);
    let axis = Axis::new((first, last + Days::new(2)), 0, COLUMNS);
    let mut months = Line::new();
    let mut month = first.with_day(1).unwrap_or(first);
    while month <= last {
        months.write(axis.column(month), words::month(month));
        match month.checked_add_months(Months::new(1)) {
            Some(next) => month = next,
            None => break,
        }
    }
    let day = words::day(model.today);
    let half = u16::try_from(day.len() / 2).unwrap_or(0);
    let today = axis.column(model.today);
    months.write(today.map(|x| x.saturating_sub(half)), &format!("{day} "));
    let mut window = Line::new();
    for x in axis.clamped(opens)..axis.clamped(safe) {
        window.put(Some(x), '─');
    }
    window.put(axis.column(opens), '[');
    window.put(today, '│');
    window.put(axis.column(safe), ']');
    let sign = if task.state.is_open() { 'X' } else { '▌' };
    window.put(axis.column(task.day()), sign);
    let mut swell = Line::new();
    swell.put(today, '│');
    let block = model.season.blocks_of(task).next();
    let estimate = block.and_then(|b| model.estimates.as_ref()?.of(&b.id));
    if let Some(estimate) = estimate {
        let (early, late) = (estimate.swell.p10(), estimate.swell.p90());
        for x in axis.clamped(early)..=axis.clamped(late) {
            let chance = estimate.swell.chance_by(axis.last_day(x).min(late));
            swell.put(Some(x), shade(chance));
        }
    }
    vec![
        Row::gap(),
        months.row(""),
        window.row("Window"),
        swell.row("Swell"),
        Row::text(said(model, task, opens, safe)),
    ]
}

fn said(model: &Model, task: &Task, opens: NaiveDate, safe: NaiveDate) -> String {
    let open = if opens <= model.today {
        format!("Open since {}", words::weekday_day(opens))
    } else {
        format!("Opens {}", words::weekday_day(opens))
    };
    let end = if safe < model.today {
        "Closed: the last safe day was"
    } else {
        "Last safe day"
    };
    let standing = model.outlook.standing(&task.id);
    let best = standing
        .and_then(|s| s.best)
        .filter(|(_, to)| *to >= model.today && safe >= model.today)
        .map_or_else(String::new, |(from, to)| {
            format!(
                " Best {} to {}.",
                words::weekday_day(from.max(model.today)),
                words::weekday_day(to)
            )
        });
    let begin = standing
        .and_then(|s| s.start_by)
        .filter(|_| safe >= model.today)
        .map_or_else(String::new, |s| {
            format!(
                " {} days of work: begin by {}.",
                s.work_days,
                words::weekday_day(s.day)
            )
        });
    format!(
        "{open}. {end} {}, {}.{best}{begin}",
        words::weekday_day(safe),
        words::away_long(safe, model.today)
    )
}
