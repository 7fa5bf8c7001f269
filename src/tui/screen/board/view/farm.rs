//! Draws the farm's table: one row a block, the most pressing first.

use super::list::{padded, word_tone};
use super::year::tone;
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::model::Model;
use crate::tui::screen::board::farm::{FarmRow, rows};
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use ratatui::layout::Rect;

/// One column: its head, its width, the least width of window that has it.
struct Column {
    head: &'static str,
    wide: u16,
    from: u16,
    cell: fn(&FarmRow) -> String,
}

/// In the order shown; narrower windows leave some out.
static COLUMNS: [Column; 6] = [
    Column {
        head: "block",
        wide: 18,
        from: 0,
        cell: |r| r.name.clone(),
    },
    Column {
        head: "kind",
        wide: 15,
        from: 100,
        cell: |r| r.kind.to_owned(),
    },
    Column {
        head: "likely swell",
        wide: 17,
        from: 90,
        cell: |r| {
            r.swell.map_or_else(String::new, |(from, to)| {
                format!("{}-{}", words::day(from), words::day(to))
            })
        },
    },
    Column {
        head: "last safe",
        wide: 12,
        from: 44,
        cell: |r| {
            r.safe
                .map_or_else(String::new, |d| padded(&words::weekday_day(d)))
        },
    },
    Column {
        head: "planned",
        wide: 18,
        from: 60,
        cell: |r| padded_time(&r.planned),
    },
    Column {
        head: "hours",
        wide: 8,
        from: 72,
        cell: |r| r.hours.map_or_else(String::new, |h| format!("{h:>4.1} h")),
    },
];

fn padded_time(text: &str) -> String {
    match text.rsplit_once(' ') {
        Some((day, clock)) if clock.contains(':') => format!("{} {clock}", padded(day)),
        _ => padded(text),
    }
}

/// Draws it.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let all = rows(model);
    if all.is_empty() {
        let words = "No blocks yet. Add them in the season file, under [[block]].";
        canvas.put(area.x, area.y, area.width, words, Tone::Plain);
        canvas.cursor = Some((area.x, area.y));
        return;
    }
    let shown: Vec<&Column> = COLUMNS.iter().filter(|c| area.width >= c.from).collect();
    // What is left goes to the names.
    let fixed: u16 = shown.iter().skip(1).map(|c| c.wide).sum();
    let names = area.width.saturating_sub(12 + fixed).clamp(8, 40);
    let mut x = area.x + 12;
    for (i, column) in shown.iter().enumerate() {
        let wide = if i == 0 { names } else { column.wide };
        canvas.put(x, area.y, wide - 1, column.head, Tone::Head);
        x += wide;
    }
    let body = usize::from(area.height.saturating_sub(1));
    let marked = model.board.farm_row.min(all.len() - 1);
    let top = top_of_list(marked, all.len(), body);
    let seen = all.iter().enumerate().skip(top).take(body);
    for (y, (place, row)) in (area.y + 1..area.bottom()).zip(seen) {
        let chosen = place == marked;
        if chosen {
            canvas.put(area.x, y, 1, ">", Tone::Head);
            canvas.cursor = Some((area.x, y));
        }
        canvas.sign(area.x + 1, y, row.mark.sign(), tone(row.mark));
        let word = if row.task.is_none() {
            "none"
        } else if row.mark.words().is_empty() {
            "open"
        } else {
            row.mark.words()
        };
        canvas.put(area.x + 3, y, 8, word, word_tone(row.mark));
        let mut x = area.x + 12;
        for (i, column) in shown.iter().enumerate() {
            let wide = if i == 0 { names } else { column.wide };
            let cell = (column.cell)(row);
            let cell = text::cut(&cell, usize::from(wide - 1));
            let name = chosen && i == 0;
            let tone = if name { Tone::Chosen } else { Tone::Plain };
            canvas.put(x, y, wide - 1, &cell, tone);
            x += wide;
        }
        let room = Rect::new(area.x, y, area.width, 1);
        canvas.spots.push((room, Spot::Line(place)));
    }
}

/// Which rows are in view, for the rule above.
pub fn position(model: &Model, height: u16) -> String {
    let n = model.season.blocks.len();
    let body = usize::from(height.saturating_sub(1));
    if n <= body {
        return text::count(n as i64, "block", "blocks");
    }
    let marked = model.board.farm_row.min(n.saturating_sub(1));
    let top = top_of_list(marked, n, body);
    format!("{}-{} of {n}", top + 1, (top + body).min(n))
}
