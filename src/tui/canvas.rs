//! A sheet to draw on: text lands cleaned, cut by columns, in a tone.

use super::action::Spot;
use super::text;
use super::theme::{self, Theme, Tone};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use unicode_width::UnicodeWidthChar as _;

/// A sheet to draw on.
pub struct Canvas<'a> {
    buffer: &'a mut Buffer,
    /// How things look.
    pub theme: Theme,
    /// Where the cursor stands: the focused item, for screen readers as well.
    pub cursor: Option<(u16, u16)>,
    /// What lies where, for the mouse.
    pub spots: Vec<(Rect, Spot)>,
}

impl<'a> Canvas<'a> {
    /// A sheet over a buffer.
    pub fn new(buffer: &'a mut Buffer, theme: Theme) -> Self {
        Self {
            buffer,
            theme,
            cursor: None,
            spots: Vec::new(),
        }
    }

    /// The whole sheet.
    pub fn area(&self) -> Rect {
        self.buffer.area
    }

    /// Writes text from a cell on, in at most so many columns; gives the
    /// column after it.
    pub fn put(&mut self, x: u16, y: u16, columns: u16, text: &str, tone: Tone) -> u16 {
        let area = self.buffer.area;
        let columns = columns.min(area.right().saturating_sub(x));
        if columns == 0 || y >= area.bottom() {
            return x;
        }
        let clean = text::shown(text);
        let style = self.theme.style(tone);
        let plain;
        let cut = if self.theme.ascii && !clean.is_ascii() {
            plain = theme::ascii(&clean);
            text::cut(&plain, usize::from(columns))
        } else {
            text::cut(&clean, usize::from(columns))
        };
        if cut.is_ascii() {
            return self.put_ascii(x, y, &cut, style);
        }
        let wide = u16::try_from(text::width(&cut)).unwrap_or(columns);
        for x in x..x.saturating_add(wide.min(columns)) {
            if let Some(cell) = self.buffer.cell_mut((x, y)) {
                cell.reset();
            }
        }
        self.buffer
            .set_stringn(x, y, cut, usize::from(columns), style)
            .0
    }

    /// Writes what is one column a byte, nearly all there is: no need to look for characters made
    /// of several. Cleaned and cut before.
    fn put_ascii(&mut self, x: u16, y: u16, text: &str, style: Style) -> u16 {
        let area = self.buffer.area;
        if !area.contains((x, y).into()) {
            return x;
        }
        let start = self.buffer.index_of(x, y);
        let room = usize::from(area.right() - x);
        let cells = self.buffer.content.iter_mut().skip(start).take(room);
        let mut at = x;
        for (cell, symbol) in cells.zip(text.split_inclusive(|_| true)) {
            // What lay there before leaves nothing of its look.
            cell.reset();
            cell.set_symbol(symbol).set_style(style);
            at += 1;
        }
        at
    }

    /// Writes pieces one after another within so many columns.
    pub fn pieces(&mut self, x: u16, y: u16, columns: u16, pieces: &[(&str, Tone)]) -> u16 {
        let end = x.saturating_add(columns);
        pieces.iter().fold(x, |at, (text, tone)| {
            self.put(at, y, end.saturating_sub(at), text, *tone)
        })
    }

    /// Writes text that ends at the right edge of an area's first row.
    pub fn put_right(&mut self, area: Rect, text: &str, tone: Tone) {
        let wide = u16::try_from(text::width(text)).unwrap_or(area.width);
        let x = area.right().saturating_sub(wide.min(area.width));
        self.put(x, area.y, area.width, text, tone);
    }

    /// One sign in one cell; ASCII has a sign of its own for it.
    pub fn sign(&mut self, x: u16, y: u16, sign: char, tone: Tone) {
        if self.theme.ascii || sign.width() != Some(1) {
            self.put(x, y, 1, sign.encode_utf8(&mut [0; 4]), tone);
            return;
        }
        let style = self.theme.style(tone);
        if let Some(cell) = self.buffer.cell_mut((x, y)) {
            cell.reset();
            cell.set_char(sign).set_style(style);
        }
    }

    /// The same sign in so many cells of a row.
    fn signs(&mut self, x: u16, y: u16, columns: u16, sign: char, tone: Tone) {
        for x in x..x.saturating_add(columns) {
            self.sign(x, y, sign, tone);
        }
    }

    /// A rule across a row: a name on it at the left, words at the right.
    pub fn rule(&mut self, row: Rect, name: &str, right: &str) {
        self.signs(row.x, row.y, row.width, '─', Tone::Frame);
        let room = row.width.saturating_sub(2);
        if !name.is_empty() {
            self.put(row.x + 1, row.y, room, &format!(" {name} "), Tone::Head);
        }
        let columns = u16::try_from(text::width(right)).unwrap_or(room);
        let taken = u16::try_from(text::width(name)).unwrap_or(0) + 6;
        if !right.is_empty() && columns + taken < row.width {
            let x = row.right() - columns - 4;
            self.put(x, row.y, columns + 2, &format!(" {right} "), Tone::Plain);
        }
    }

    /// Blanks an area.
    pub fn blank(&mut self, area: Rect) {
        let area = area.intersection(self.buffer.area);
        for y in area.top()..area.bottom() {
            for x in area.left()..area.right() {
                if let Some(cell) = self.buffer.cell_mut((x, y)) {
                    cell.reset();
                }
            }
            // A wide character cut in half by the blank would shift its row.
            let before = area
                .left()
                .checked_sub(1)
                .and_then(|x| self.buffer.cell_mut((x, y)));
            if let Some(cell) = before
                && text::width(cell.symbol()) > 1
            {
                cell.reset();
            }
        }
    }

    /// Draws a box with a title over what is there; gives the room inside.
    pub fn window(&mut self, area: Rect, title: &str) -> Rect {
        let area = area.intersection(self.buffer.area);
        self.blank(area);
        if area.width < 4 || area.height < 3 {
            return area;
        }
        for (y, left, right) in [(area.y, '┌', '┐'), (area.bottom() - 1, '└', '┘')] {
            self.signs(area.x + 1, y, area.width - 2, '─', Tone::Frame);
            self.sign(area.x, y, left, Tone::Frame);
            self.sign(area.right() - 1, y, right, Tone::Frame);
        }
        for y in area.y + 1..area.bottom() - 1 {
            self.sign(area.x, y, '│', Tone::Frame);
            self.sign(area.right() - 1, y, '│', Tone::Frame);
        }
        let title = format!(" {title} ");
        self.put(area.x + 2, area.y, area.width - 4, &title, Tone::Head);
        Rect::new(area.x + 2, area.y + 1, area.width - 4, area.height - 2)
    }
}

/// A window in the middle of an area, at most so wide and high.
pub fn centred(area: Rect, columns: u16, rows: u16) -> Rect {
    let (columns, rows) = (columns.min(area.width), rows.min(area.height));
    Rect::new(
        area.x + (area.width - columns) / 2,
        area.y + (area.height - rows) / 2,
        columns,
        rows,
    )
}

/// Where a list of so many items begins so that the chosen one is seen. Moves
/// by half pages, so that most steps change two lines only.
pub fn top_of_list(chosen: usize, items: usize, rows: usize) -> usize {
    if items <= rows || rows == 0 {
        return 0;
    }
    let step = (rows / 2).max(1);
    let over = (chosen + 1).saturating_sub(rows);
    (over.div_ceil(step) * step).min(items - rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chosen_line_is_always_seen() {
        for rows in 1..12 {
            for items in 0..40 {
                for chosen in 0..items {
                    let top = top_of_list(chosen, items, rows);
                    assert!(
                        (top..top + rows).contains(&chosen),
                        "{chosen} {items} {rows}"
                    );
                }
            }
        }
    }
}
