//! Draws the farm's table: one row a block, the most pressing first.

use super::list::{padded, pointer, word_tone};
use super::year::tone;
use crate::domain::season::Season;
use crate::tui::action::{Command, Spot};
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::model::Model;
use crate::tui::screen::board::farm::{FarmRow, Purpose, State, mark};
use crate::tui::screen::board::marks;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use chrono::{NaiveDate, Timelike as _};
use ratatui::layout::Rect;

/// One column: its head, its width, the least width of window that has it.
struct Column {
    head: &'static str,
    wide: u16,
    from: u16,
    cell: fn(&Season, &FarmRow) -> String,
}

/// In the order shown; narrower windows leave some out.
static COLUMNS: [Column; 8] = [
    Column {
        head: "block",
        wide: 14,
        from: 0,
        cell: |_, r| r.name.clone(),
    },
    Column {
        head: "kind",
        wide: 10,
        from: 108,
        // `cherry` will do: the name of the block says which.
        cell: |_, r| r.kind.rsplit(' ').next().unwrap_or(r.kind).to_owned(),
    },
    Column {
        head: "swell 8 in 10",
        wide: 14,
        from: 92,
        cell: |_, r| r.swell.map_or_else(String::new, |(a, b)| span(a, b)),
    },
    Column {
        head: "spray",
        wide: 12,
        from: 60,
        cell: |_, r| r.worst().map_or_else(String::new, |p| p.name.clone()),
    },
    Column {
        head: "window",
        wide: 14,
        from: 44,
        cell: |_, r| r.worst().map_or_else(String::new, window),
    },
    Column {
        head: "planned",
        wide: 17,
        from: 68,
        cell: |_, r| r.worst().map_or_else(|| "none".to_owned(), planned),
    },
    Column {
        head: "hours",
        wide: 6,
        from: 76,
        cell: |_, r| r.worst().map_or_else(String::new, hours),
    },
    Column {
        head: "keep out, also",
        wide: 18,
        from: 114,
        cell: also,
    },
];

/// `19 Mar-9 Apr`, and `19-31 Mar` within one month.
fn span(from: NaiveDate, to: NaiveDate) -> String {
    use chrono::Datelike as _;
    if from.month() == to.month() && from.year() == to.year() {
        return format!("{}-{}", from.day(), words::day(to));
    }
    format!("{}-{}", words::day(from), words::day(to))
}

/// From when to when: both days where it is not open yet, else the last safe day alone.
fn window(p: &Purpose) -> String {
    if !p.state.is_open() {
        return String::new();
    }
    match (p.state, p.last_safe) {
        (State::NotYet, Some(to)) => span(p.opens, to),
        (State::NotYet, None) => format!("from {}", words::day(p.opens)),
        (_, Some(to)) => format!("by {}", padded(&words::weekday_day(to))),
        (_, None) => "not known".to_owned(),
    }
}

fn planned(p: &Purpose) -> String {
    if let Some(done) = p.done {
        return format!("done {}", words::day(done));
    }
    let day = padded(&words::weekday_day(p.planned));
    match p.hour.filter(|_| p.state.is_open()) {
        Some(hour) => format!("{day} {hour:02}:00"),
        None => day,
    }
}

fn hours(p: &Purpose) -> String {
    if p.minutes == 0 || !p.state.is_open() {
        return String::new();
    }
    format!("{:>3.1}h", f64::from(p.minutes) / 60.0)
}

/// Until when to keep out, else the next spray of the block with its window.
fn also(_: &Season, row: &FarmRow) -> String {
    match row.keep_out {
        Some(Some(until)) => {
            let day = words::weekday_day(until.date());
            return format!("OUT {day} {:02}h", until.hour());
        }
        Some(None) => return "OUT until seen dry".to_owned(),
        None => {}
    }
    let Some(next) = row.purposes.get(1) else {
        return String::new();
    };
    let more = match row.purposes.len() {
        0..=2 => String::new(),
        n => format!(" +{}", n - 2),
    };
    let when = match (next.done, next.last_safe) {
        (Some(day), _) => format!("done {}", words::day(day)),
        (None, Some(to)) if next.state != State::NotYet => format!("by {}", words::day(to)),
        (None, Some(_)) => format!("from {}", words::day(next.opens)),
        (None, None) => next.state.words().to_owned(),
    };
    format!("{} {when}{more}", next.name)
}

/// Draws it.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let all = &model.board.table.rows;
    if all.is_empty() {
        let words = if model.board.words.is_empty() {
            "No blocks yet. Add one on the coverage screen, or with: barewood blocks add FILE"
                .to_owned()
        } else {
            let key = model.keymap.first(Command::Narrow);
            format!(
                "Nothing fits '{}'. {key} changes the words.",
                model.board.words
            )
        };
        canvas.put(area.x, area.y, area.width, &words, Tone::Plain);
        canvas.cursor = Some((area.x, area.y));
        return;
    }
    let shown: Vec<&Column> = COLUMNS.iter().filter(|c| area.width >= c.from).collect();
    // What is left goes to the names.
    let fixed: u16 = shown.iter().skip(1).map(|c| c.wide).sum();
    let names = area.width.saturating_sub(12 + fixed).clamp(8, 40);
    let wide = |i: usize, column: &Column| if i == 0 { names } else { column.wide };
    let mut x = area.x + 12;
    for (i, column) in shown.iter().enumerate() {
        canvas.put(x, area.y, wide(i, column) - 1, column.head, Tone::Head);
        x += wide(i, column);
    }
    let body = usize::from(area.height.saturating_sub(1));
    let at = model.board.farm_row.min(all.len() - 1);
    let top = top_of_list(at, all.len(), body);
    let seen = all.iter().enumerate().skip(top).take(body);
    for (y, (place, row)) in (area.y + 1..area.bottom()).zip(seen) {
        let chosen = place == at;
        if chosen {
            canvas.cursor = Some((area.x, y));
        }
        let worst = row.worst().map(|p| &p.task);
        let is_marked = worst.is_some_and(|task| marks::is_marked(model, task, Some(&row.block)));
        pointer(canvas, (area.x, y), chosen, is_marked);
        let mark = mark(row.state());
        canvas.sign(area.x + 1, y, mark.sign(), tone(mark));
        canvas.put(area.x + 3, y, 8, row.state().words(), word_tone(mark));
        let mut x = area.x + 12;
        for (i, column) in shown.iter().enumerate() {
            let room = wide(i, column);
            let cell = (column.cell)(&model.season, row);
            let cell = text::cut(&cell, usize::from(room - 1));
            let tone = if chosen && i == 0 {
                Tone::Chosen
            } else {
                Tone::Plain
            };
            canvas.put(x, y, room - 1, &cell, tone);
            x += room;
        }
        let room = Rect::new(area.x, y, area.width, 1);
        canvas.spots.push((room, Spot::Line(place)));
    }
}

/// Which rows are in view and what narrows them, for the rule above.
pub fn position(model: &Model, height: u16) -> String {
    let n = model.board.table.rows.len();
    let body = usize::from(height.saturating_sub(1));
    let blocks = if n <= body {
        text::count(n as i64, "block", "blocks")
    } else {
        let at = model.board.farm_row.min(n.saturating_sub(1));
        let top = top_of_list(at, n, body);
        format!("{}-{} of {n}", top + 1, (top + body).min(n))
    };
    narrowed(model, &blocks)
}

/// With the marks there are and the words that narrow the list.
pub fn narrowed(model: &Model, position: &str) -> String {
    let mut said = Vec::new();
    if !model.board.words.is_empty() {
        said.push(format!("'{}'", text::cut(&model.board.words, 20)));
    }
    if !model.board.marks.is_empty() {
        said.push(format!("{} marked", model.board.marks.len()));
    }
    if !position.is_empty() {
        said.push(position.to_owned());
    }
    // Not by commas: where room is short the rule keeps what stands before the first.
    said.join("  ")
}
