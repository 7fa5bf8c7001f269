//! Rows of text in a window, scrolled.

use crate::tui::canvas::Canvas;
use crate::tui::details::{Row, wrapped};
use crate::tui::theme::Tone;
use ratatui::layout::Rect;

/// Draws rows from a line on; says below how many are left.
pub fn rows(canvas: &mut Canvas<'_>, area: Rect, rows: &[Row], top: usize) {
    let lines = wrapped(rows, usize::from(area.width));
    let height = usize::from(area.height);
    let top = top.min(lines.len().saturating_sub(height));
    let shown = lines.iter().skip(top).take(height);
    for (y, line) in (area.y..area.bottom()).zip(shown) {
        let tone = if line.head { Tone::Head } else { Tone::Plain };
        canvas.pieces(
            area.x,
            y,
            area.width,
            &[(&line.sign, line.tone), (&line.text, tone)],
        );
    }
    let left = lines.len().saturating_sub(top + height);
    if (top > 0 || left > 0) && area.width > 20 {
        let words = match left {
            0 => " end ".to_owned(),
            n => format!(" {n} more below "),
        };
        let edge = Rect::new(area.x, area.bottom(), area.width, 1);
        canvas.put_right(edge, &words, Tone::Head);
    }
}
