//! Draws the mix screen: two lines on the task, then the sheet, scrolled.

use super::{rows, sprays};
use crate::tui::canvas::Canvas;
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::theme::Tone;
use crate::tui::view::lists_rows;
use crate::tui::words;
use ratatui::layout::Rect;

/// Lines above the sheet, and the line that says how much is left below.
const AROUND: u16 = 3;

/// The lines of the sheet seen at once on a screen of this size.
pub fn height((_, rows): (u16, u16)) -> usize {
    let below = if rows < 20 { 1 } else { 2 };
    usize::from(rows.saturating_sub(1 + below + AROUND))
}

/// Draws the mix screen.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let mix = &model.spray.mix;
    let task = mix.task.as_ref().and_then(|id| model.season.task(id));
    let (Some(task), Some(sheet)) = (task, &mix.sheet) else {
        let words = "There is no spray to mix yet: add one on the board.";
        lists_rows(canvas, area, &[Row::text(words)], 0);
        return;
    };
    let all = sprays(&model.season);
    let at = all.iter().position(|t| t.id == task.id).unwrap_or(0);
    let title = format!("Mix: {}", task.title);
    let row = Rect { height: 1, ..area };
    canvas.put(
        row.x,
        row.y,
        row.width.saturating_sub(20),
        &title,
        Tone::Head,
    );
    canvas.put_right(
        row,
        &format!("spray {} of {}  < >", at + 1, all.len()),
        Tone::Plain,
    );
    let against = if sheet.targets.is_empty() {
        String::new()
    } else {
        format!("; against {}", sheet.targets.join(", "))
    };
    let second = format!(
        "{}, {}{against}",
        words::card_day(task, model.today, false),
        words::blocks(&model.season, task)
    );
    canvas.put(row.x, row.y + 1, row.width, &second, Tone::Plain);
    let body = Rect::new(
        area.x,
        area.y + 2,
        area.width,
        area.height.saturating_sub(AROUND),
    );
    lists_rows(canvas, body, &rows(sheet, usize::from(area.width)), mix.top);
    canvas.cursor = Some((area.x, area.y));
}
