//! Draws the board.
//!
//! ```text
//! head        stops, cautions, due, the worst of all
//! keep-out    where people must keep out, while they must
//! year        months and today; three lanes stepping down; blocks with time left and swell
//! work        by urgency, by lanes or by blocks
//! marked      what is wrong, Do, Time, Hours
//! ```

pub mod axis;
mod card;
mod farm;
mod head;
mod lanes;
mod list;
mod near;
pub mod skyline;
pub mod year;

use super::{BoardView, Zoom};
use crate::domain::season::Lane;
use crate::tui::action::Command;
use crate::tui::canvas::Canvas;
use crate::tui::model::Model;
use crate::tui::screen::records;
use crate::tui::theme::Tone;
use ratatui::layout::Rect;

/// Below this width one lane is shown at a time.
const NARROW: u16 = 72;
/// The list has at least so many rows where there is a year above it.
const LEAST_LIST: u16 = 4;

/// A lane's name without what is said of it.
pub fn lane_name(lane: Lane) -> &'static str {
    match lane {
        Lane::AfterLeafDrop => "After leaf drop",
        Lane::MidWinter => "Mid-winter",
        Lane::BeforeSwell => "Before swell",
    }
}

/// Cuts rows off the top of an area.
struct Rows(Rect);

impl Rows {
    fn take(&mut self, rows: u16) -> Rect {
        let rest = &mut self.0;
        let rows = rows.min(rest.height);
        let part = Rect {
            height: rows,
            ..*rest
        };
        *rest = Rect::new(rest.x, rest.y + rows, rest.width, rest.height - rows);
        part
    }
}

/// Rows of the year for so many rows of window; blocks come with the room.
fn year_rows(model: &Model, height: u16) -> u16 {
    let all = u16::try_from(year::block_rows(model)).unwrap_or(u16::MAX);
    let blocks = match height {
        0..14 => return 0,
        14..16 => 0,
        16..20 => 1,
        20..23 => 2,
        23..30 => 3,
        _ => 3 + (height - 24) / 4,
    };
    4 + blocks.min(all)
}

/// Draws the board.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    // The window has a row above and one below.
    let height = area.height + 2;
    let mut rows = Rows(area);
    head::draw(model, canvas, rows.take(1));
    // Safety goes before everything that can be read elsewhere.
    if !records::closed(model).is_empty() {
        records::view::keep_out(model, canvas, rows.take(1));
    }
    if height >= 15
        && let Some(brief) = model.outlook.ground.brief()
    {
        head::ground(canvas, rows.take(1), &brief);
    }
    let in_table = model.board.view == BoardView::Farm;
    if height >= 36 && !in_table {
        rows.take(1);
    }
    let year = rows.take(if in_table {
        0
    } else {
        year_rows(model, height)
    });
    match model.board.zoom {
        _ if year.height == 0 => {}
        Zoom::Year => year::draw(model, canvas, year),
        _ => near::draw(model, canvas, year),
    }
    let card_rows = match card::rows(height) {
        0 => 0,
        // The table takes the rows of the hours, and one more where a farm just fits so.
        n if in_table => {
            let wanted = u16::try_from(model.board.table.rows.len()).unwrap_or(u16::MAX);
            let least = rows.0.height.saturating_sub(5) < wanted.saturating_add(1);
            let least = least && rows.0.height.saturating_sub(4) > wanted;
            n.min(if least { 2 } else { 3 }) + 1
        }
        n => n + 1,
    };
    let list_rows = rows.0.height.saturating_sub(card_rows + 1);
    let list_rows = list_rows.max(LEAST_LIST.min(rows.0.height.saturating_sub(1)));
    let rule = rows.take(1);
    let list = rows.take(list_rows);
    draw_rule(model, canvas, rule, list.height);
    match model.board.view {
        BoardView::Lanes if area.width >= NARROW => lanes::three(model, canvas, list),
        BoardView::Lanes => lanes::one(model, canvas, list),
        BoardView::Farm => farm::draw(model, canvas, list),
        _ => list::draw(model, canvas, list),
    }
    if rows.0.height >= 2 {
        card::draw(model, canvas, rows.0);
    }
}

/// The rule over the work: the rails' letters, the views with their keys, where one is.
fn draw_rule(model: &Model, canvas: &mut Canvas<'_>, row: Rect, list: u16) {
    let view = model.board.view;
    let mut position = match view {
        BoardView::Lanes => farm::narrowed(model, ""),
        BoardView::Farm => farm::position(model, list),
        BoardView::Urgency | BoardView::Blocks => {
            farm::narrowed(model, &list::position(model, list))
        }
    };
    let loose = model.outlook.loose().count();
    if loose > 0 && row.width >= 80 {
        let key = model.keymap.first(Command::ShowCoverage);
        let short = position.split(',').next().unwrap_or("").to_owned();
        position = format!("{loose} more: {key}   {short}");
    }
    canvas.rule(row, "Work", &position);
    if view == BoardView::Urgency && row.width >= 64 {
        for (i, lane) in (0_u16..).zip(Lane::ALL) {
            let letter = lane_name(lane).get(..1).unwrap_or("");
            canvas.put(row.x + 8 + i * 2, row.y, 1, letter, Tone::Head);
        }
    }
    let mut x = row.x + 15;
    let taken = match position.len() {
        0 => 2,
        n => u16::try_from(n).unwrap_or(0) + 4,
    };
    let end = row.right().saturating_sub(taken);
    // Words, a key and two blanks each; one blank before them all.
    let wanted: u16 = BoardView::ALL
        .iter()
        .map(|v| u16::try_from(v.words().len()).unwrap_or(0) + 4)
        .sum();
    if x + wanted > end + 1 {
        return;
    }
    x = canvas.put(x, row.y, 1, " ", Tone::Plain);
    for view in BoardView::ALL {
        let key = model.keymap.first(view.command());
        let words = format!("{key} {}", view.words());
        let tone = if view == model.board.view {
            Tone::Head
        } else {
            Tone::Plain
        };
        x = canvas.put(x, row.y, end.saturating_sub(x), &words, tone);
        x = canvas.put(x, row.y, 2, "  ", Tone::Plain);
    }
}
