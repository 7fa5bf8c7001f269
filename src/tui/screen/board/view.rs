//! Draws the board.
//!
//! ```text
//! standing    swell with its range, last safe day, due, at risk
//! due         overdue, today, next 7 days
//! blocks      warnings that no task answers for, where there are any
//! lanes       three side by side | details of the chosen card where there is room
//! ribbon      the dormant year: months, tasks, likely swell by species
//! ```

mod lanes;
mod ribbon;
mod standing;

use crate::tui::canvas::Canvas;
use crate::tui::details;
use crate::tui::model::Model;
use crate::tui::screen::records;
use crate::tui::view::lists_rows;
use ratatui::layout::Rect;

/// From this width on the details stand beside the lanes.
const WIDE: u16 = 120;
/// Below this width one lane is shown at a time.
const NARROW: u16 = 72;

/// Draws the board.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let mut rest = area;
    let mut take = |rows: u16| {
        let rows = rows.min(rest.height);
        let part = Rect {
            height: rows,
            ..rest
        };
        rest = Rect::new(rest.x, rest.y + rows, rest.width, rest.height - rows);
        part
    };
    if area.height >= 12 {
        standing::line(model, canvas, take(1));
    }
    // Safety goes before everything that can be read elsewhere.
    if !records::closed(model).is_empty() {
        records::view::keep_out(model, canvas, take(1));
    }
    let due_rows = match area.height {
        0..10 => 0,
        10..20 => 1,
        _ => 2,
    };
    if area.height >= 13
        && let Some(brief) = model.outlook.ground.brief()
    {
        standing::ground(canvas, take(1), &brief);
    }
    standing::due(model, canvas, take(due_rows));
    if area.height >= 15 && model.outlook.loose().next().is_some() {
        standing::on_blocks(model, canvas, take(1));
    }
    let ribbon_rows = ribbon::rows(model, rest);
    let upper = Rect {
        height: rest.height - ribbon_rows,
        ..rest
    };
    let lower = Rect::new(rest.x, rest.y + upper.height, rest.width, ribbon_rows);
    if area.width >= WIDE {
        let panel = (area.width / 3).clamp(40, 72);
        let lanes = Rect {
            width: area.width - panel - 2,
            ..upper
        };
        lanes::three(model, canvas, lanes);
        if let Some(task) = super::chosen(model) {
            let x = lanes.right() + 2;
            let side = Rect::new(x, upper.y, area.right() - x, upper.height);
            let title =
                (!lanes::shows_whole(&task.title, lanes.width)).then_some(task.title.as_str());
            lists_rows(canvas, side, &details::brief(model, task, title), 0);
        }
    } else if area.width >= NARROW {
        lanes::three(model, canvas, upper);
    } else {
        lanes::one(model, canvas, upper);
    }
    ribbon::draw(model, canvas, lower);
}
