//! A small chart: points on a grid of cells, in braille dots or in ASCII signs.

use crate::tui::canvas::Canvas;
use crate::tui::theme::Tone;
use ratatui::layout::Rect;

/// A chart being drawn. Shares run from 0 to 1, right and up.
pub struct Plot {
    columns: usize,
    rows: usize,
    fine: bool,
    dots: Vec<u8>,
    signs: Vec<Option<char>>,
}

/// Braille dots by column and row within a cell.
const DOTS: [[u8; 4]; 2] = [[0x01, 0x02, 0x04, 0x40], [0x08, 0x10, 0x20, 0x80]];

impl Plot {
    /// An empty chart; `fine` draws lines in braille.
    pub fn new(area: Rect, fine: bool) -> Self {
        let (columns, rows) = (usize::from(area.width), usize::from(area.height));
        Self {
            columns,
            rows,
            fine,
            dots: vec![0; columns * rows],
            signs: vec![None; columns * rows],
        }
    }

    fn place(&self, x: f64, y: f64, across: usize, down: usize) -> Option<(usize, usize)> {
        let (wide, high) = (self.columns * across, self.rows * down);
        if !(0.0..=1.0).contains(&x) || !(0.0..=1.0).contains(&y) || wide == 0 || high == 0 {
            return None;
        }
        let column = ((x * (wide - 1) as f64).round() as usize).min(wide - 1);
        let row = (((1.0 - y) * (high - 1) as f64).round() as usize).min(high - 1);
        Some((column, row))
    }

    /// A sign at a point; later signs lie above earlier ones.
    pub fn sign(&mut self, x: f64, y: f64, sign: char) {
        if let Some((column, row)) = self.place(x, y, 1, 1)
            && let Some(cell) = self.signs.get_mut(row * self.columns + column)
        {
            *cell = Some(sign);
        }
    }

    fn dot(&mut self, x: f64, y: f64, sign: char) {
        if !self.fine {
            self.sign(x, y, sign);
            return;
        }
        if let Some((column, row)) = self.place(x, y, 2, 4)
            && let Some(cell) = self.dots.get_mut(row / 4 * self.columns + column / 2)
            && let Some(dot) = DOTS.get(column % 2).and_then(|d| d.get(row % 4))
        {
            *cell |= dot;
        }
    }

    /// A line through points in order; `every` leaves gaps: 1 is solid.
    pub fn line(&mut self, points: &[(f64, f64)], every: usize, sign: char) {
        let mut drawn = 0_usize;
        for pair in points.windows(2) {
            let [(x0, y0), (x1, y1)] = pair else { continue };
            let wide = (x1 - x0).abs() * self.columns as f64 * 2.0;
            let high = (y1 - y0).abs() * self.rows as f64 * 4.0;
            let steps = (wide.max(high).ceil().clamp(1.0, 2000.0)) as usize;
            for i in 0..steps {
                let share = i as f64 / steps as f64;
                if drawn.is_multiple_of(every.max(1)) {
                    self.dot(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share, sign);
                }
                drawn += 1;
            }
        }
        if let Some((x, y)) = points.last() {
            self.dot(*x, *y, sign);
        }
    }

    /// A level line across.
    pub fn level(&mut self, y: f64, sign: char) {
        for column in 0..self.columns {
            let x = column as f64 / self.columns.saturating_sub(1).max(1) as f64;
            self.sign(x, y, sign);
        }
    }

    /// A line up at a share of the width.
    pub fn post(&mut self, x: f64, sign: char) {
        for row in 0..self.rows {
            let y = row as f64 / self.rows.saturating_sub(1).max(1) as f64;
            self.sign(x, y, sign);
        }
    }

    /// Puts the chart on a canvas.
    pub fn draw(&self, canvas: &mut Canvas<'_>, area: Rect, tone: Tone) {
        for row in 0..self.rows {
            let cells: String = (0..self.columns)
                .map(|column| {
                    let place = row * self.columns + column;
                    let dots = self.dots.get(place).copied().unwrap_or(0);
                    match (dots, self.signs.get(place).copied().flatten()) {
                        (0, Some(sign)) => sign,
                        (0, None) => ' ',
                        (dots, _) => char::from_u32(0x2800 + u32::from(dots)).unwrap_or(' '),
                    }
                })
                .collect();
            let y = area.y + u16::try_from(row).unwrap_or(0);
            canvas.put(area.x, y, area.width, cells.trim_end(), tone);
        }
    }
}
