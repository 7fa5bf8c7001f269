//! Two screens → the fewest bytes that lead from one to the other.
//!
//! Own code instead of a library's backend: that one writes colours in the
//! long form, addresses the cursor in full for every gap, and leaves the frame
//! in more than one piece. Here a frame is one string of bytes.

use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};
use std::io::Write as _;
use unicode_width::UnicodeWidthStr;

/// What the terminal writes with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Pen {
    fg: Color,
    bg: Color,
    modifier: Modifier,
}

const PLAIN: Pen = Pen {
    fg: Color::Reset,
    bg: Color::Reset,
    modifier: Modifier::empty(),
};

impl Pen {
    fn of(cell: &Cell) -> Self {
        Self {
            fg: cell.fg,
            bg: cell.bg,
            modifier: cell.modifier,
        }
    }

    /// Would a blank look the same in both?
    fn blanks_like(self, other: Self) -> bool {
        let seen = Modifier::REVERSED | Modifier::UNDERLINED | Modifier::CROSSED_OUT;
        self.bg == other.bg && self.modifier & seen == other.modifier & seen
    }
}

/// Knows what the terminal shows and where it stands.
#[derive(Debug)]
pub struct Painter {
    shown: Buffer,
    at: Option<(u16, u16)>,
    pen: Pen,
    cursor_shown: bool,
    fresh: bool,
}

fn columns(cell: &Cell) -> u16 {
    let symbol = cell.symbol();
    if symbol.len() == 1 {
        1
    } else {
        u16::try_from(symbol.width()).unwrap_or(1).max(1)
    }
}

fn is_blank(cell: &Cell) -> bool {
    cell.symbol() == " " && Pen::of(cell).blanks_like(PLAIN)
}

/// Of every cell of every frame this is asked: a symbol of one byte, and nearly all are, is
/// compared as a number.
fn same_symbol(a: &Cell, b: &Cell) -> bool {
    match (a.symbol().as_bytes(), b.symbol().as_bytes()) {
        ([a], [b]) => a == b,
        (a, b) => a == b,
    }
}

/// Alike to the eye: blanks differ only where a blank shows its style.
fn alike(a: &Cell, b: &Cell) -> bool {
    same_symbol(a, b)
        && (Pen::of(a) == Pen::of(b) || (a.symbol() == " " && Pen::of(a).blanks_like(Pen::of(b))))
}

impl Painter {
    /// A terminal that shows nothing known.
    pub fn new() -> Self {
        Self {
            shown: Buffer::default(),
            at: None,
            pen: PLAIN,
            cursor_shown: true,
            fresh: true,
        }
    }

    /// Nothing on the terminal is known any more.
    pub fn forget(&mut self) {
        *self = Self::new();
    }

    /// The bytes that make the terminal show `next`, which is kept.
    pub fn frame(&mut self, next: &mut Buffer, cursor: Option<(u16, u16)>, out: &mut Vec<u8>) {
        if self.fresh || self.shown.area != next.area {
            out.extend_from_slice(b"\x1b[m\x1b[H\x1b[2J");
            self.pen = PLAIN;
            self.at = Some((0, 0));
            self.shown = Buffer::empty(next.area);
            self.fresh = false;
        }
        for y in 0..next.area.height {
            self.row(next, y, out);
        }
        match cursor.filter(|(x, y)| *x < next.area.width && *y < next.area.height) {
            Some((x, y)) => {
                self.go(x, y, out);
                if !self.cursor_shown {
                    out.extend_from_slice(b"\x1b[?25h");
                    self.cursor_shown = true;
                }
            }
            None if self.cursor_shown => {
                out.extend_from_slice(b"\x1b[?25l");
                self.cursor_shown = false;
            }
            None => {}
        }
        std::mem::swap(&mut self.shown, next);
    }

    fn row(&mut self, next: &Buffer, y: u16, out: &mut Vec<u8>) {
        let wide = next.area.width;
        let start = usize::from(y) * usize::from(wide);
        let cells = |buffer: &'_ Buffer| -> Option<Vec<Cell>> {
            buffer
                .content
                .get(start..start + usize::from(wide))
                .map(<[Cell]>::to_vec)
        };
        let rows = (
            self.shown.content.get(start..start + usize::from(wide)),
            next.content.get(start..start + usize::from(wide)),
        );
        let (Some(was), Some(now)) = rows else {
            return;
        };
        let same = |(a, b): (&Cell, &Cell)| Pen::of(a) == Pen::of(b) && same_symbol(a, b);
        if was.iter().zip(now).all(same) {
            return;
        }
        // The borrow of what is shown must end before painting; only changed rows pay.
        let Some(was) = cells(&self.shown) else {
            return;
        };
        // From here on the new row is blank: one short code clears what was there.
        let last = now.iter().rposition(|c| !is_blank(c));
        let tail = last.map_or(0, |i| i + now.get(i).map_or(1, |c| usize::from(columns(c))));
        let tail_changed = was.iter().skip(tail).filter(|c| !is_blank(c)).count();
        let clear_tail = tail_changed > 3;
        let end = if clear_tail { tail } else { usize::from(wide) };
        let (mut x, mut forced) = (0_usize, 0_usize);
        while x < end {
            let (Some(old), Some(new)) = (was.get(x), now.get(x)) else {
                break;
            };
            let step = usize::from(columns(new));
            if x >= forced && alike(old, new) {
                x += step;
                continue;
            }
            // A wide character that goes takes the cell behind it along.
            for (place, gone) in was.iter().enumerate().skip(x).take(step) {
                forced = forced.max(place + usize::from(columns(gone)));
            }
            self.reach(u16::try_from(x).unwrap_or(0), y, now, out);
            self.print(new, step, wide, out);
            x += step;
        }
        if clear_tail {
            self.go(u16::try_from(tail).unwrap_or(0), y, out);
            self.take_pen(PLAIN, out);
            out.extend_from_slice(b"\x1b[K");
        }
    }

    fn print(&mut self, cell: &Cell, step: usize, wide: u16, out: &mut Vec<u8>) {
        let pen = Pen::of(cell);
        if cell.symbol() != " " || !pen.blanks_like(self.pen) {
            self.take_pen(pen, out);
        }
        out.extend_from_slice(cell.symbol().as_bytes());
        self.at = self.at.and_then(|(x, y)| {
            let x = x + u16::try_from(step).unwrap_or(1);
            // At the right edge terminals differ in where they stand.
            (x < wide).then_some((x, y))
        });
    }

    /// Goes to a cell of the row being painted: where the gap is short and
    /// looks like the pen, writing it again is cheaper than jumping it.
    fn reach(&mut self, x: u16, y: u16, row: &[Cell], out: &mut Vec<u8>) {
        if let Some((from, at_y)) = self.at
            && at_y == y
            && from < x
            && x - from <= 4
        {
            let gap = row
                .get(usize::from(from)..usize::from(x))
                .unwrap_or_default();
            let cheap = gap.iter().all(|c| {
                c.symbol().len() == 1
                    && (Pen::of(c) == self.pen
                        || (c.symbol() == " " && Pen::of(c).blanks_like(self.pen)))
            });
            if cheap && gap.len() <= 3 {
                for cell in gap {
                    out.extend_from_slice(cell.symbol().as_bytes());
                }
                self.at = Some((x, y));
                return;
            }
        }
        self.go(x, y, out);
    }

    /// Moves the cursor by the shortest way.
    fn go(&mut self, x: u16, y: u16, out: &mut Vec<u8>) {
        if self.at == Some((x, y)) {
            return;
        }
        let mut best: Vec<u8> = Vec::with_capacity(10);
        let _ = match (x, y) {
            (0, 0) => best.write_all(b"\x1b[H"),
            (0, y) => write!(best, "\x1b[{}H", y + 1),
            (x, y) => write!(best, "\x1b[{};{}H", y + 1, x + 1),
        };
        if let Some((from_x, from_y)) = self.at {
            let mut way: Vec<u8> = Vec::with_capacity(10);
            match i32::from(y) - i32::from(from_y) {
                0 => {}
                down @ 1..=3 => way.extend(std::iter::repeat_n(b'\n', down as usize)),
                down @ 4.. => {
                    let _ = write!(way, "\x1b[{down}B");
                }
                -1 => way.extend_from_slice(b"\x1b[A"),
                up => {
                    let _ = write!(way, "\x1b[{}A", -up);
                }
            }
            let across = |from: u16, way: &mut Vec<u8>| match i32::from(x) - i32::from(from) {
                0 => {}
                1 => way.extend_from_slice(b"\x1b[C"),
                n @ 2.. => {
                    let _ = write!(way, "\x1b[{n}C");
                }
                n @ -3..0 => way.extend(std::iter::repeat_n(8, (-n) as usize)),
                n => {
                    let _ = write!(way, "\x1b[{}D", -n);
                }
            };
            let mut from_edge = way.clone();
            from_edge.insert(0, b'\r');
            across(0, &mut from_edge);
            across(from_x, &mut way);
            if way.len() < best.len() {
                best.clone_from(&way);
            }
            if from_edge.len() < best.len() {
                best = from_edge;
            }
        }
        out.extend_from_slice(&best);
        self.at = Some((x, y));
    }

    /// Changes what the terminal writes with, the shorter of two ways.
    fn take_pen(&mut self, pen: Pen, out: &mut Vec<u8>) {
        if pen == self.pen {
            return;
        }
        let mut change: Vec<u8> = Vec::with_capacity(8);
        let gone = self.pen.modifier - pen.modifier;
        let mut come = pen.modifier - self.pen.modifier;
        if gone.intersects(Modifier::BOLD | Modifier::DIM) {
            code(&mut change, 22);
            // That code ends both; what stays is said again.
            come |= pen.modifier & (Modifier::BOLD | Modifier::DIM);
        }
        for (modifier, _, off) in CODES {
            if gone.contains(*modifier) && *off != 22 {
                code(&mut change, *off);
            }
        }
        modifiers(&mut change, come);
        if pen.fg != self.pen.fg {
            colour(&mut change, pen.fg, 30);
        }
        if pen.bg != self.pen.bg {
            colour(&mut change, pen.bg, 40);
        }
        let mut anew: Vec<u8> = Vec::with_capacity(8);
        modifiers(&mut anew, pen.modifier);
        if pen.fg != Color::Reset {
            colour(&mut anew, pen.fg, 30);
        }
        if pen.bg != Color::Reset {
            colour(&mut anew, pen.bg, 40);
        }
        // An empty first number is a zero: reset.
        if !anew.is_empty() {
            anew.insert(0, b';');
        }
        out.extend_from_slice(b"\x1b[");
        out.extend_from_slice(if anew.len() < change.len() {
            &anew
        } else {
            &change
        });
        out.push(b'm');
        self.pen = pen;
    }
}

impl Default for Painter {
    fn default() -> Self {
        Self::new()
    }
}

const CODES: &[(Modifier, u8, u8)] = &[
    (Modifier::BOLD, 1, 22),
    (Modifier::DIM, 2, 22),
    (Modifier::ITALIC, 3, 23),
    (Modifier::UNDERLINED, 4, 24),
    (Modifier::REVERSED, 7, 27),
    (Modifier::CROSSED_OUT, 9, 29),
];

fn code(out: &mut Vec<u8>, number: u8) {
    if !out.is_empty() {
        out.push(b';');
    }
    let _ = write!(out, "{number}");
}

fn modifiers(out: &mut Vec<u8>, wanted: Modifier) {
    for (modifier, on, _) in CODES {
        if wanted.contains(*modifier) {
            code(out, *on);
        }
    }
}

/// The eight named colours; anything else is the terminal's own.
fn colour(out: &mut Vec<u8>, colour: Color, base: u8) {
    let number = match colour {
        Color::Black => 0,
        Color::Red => 1,
        Color::Green => 2,
        Color::Yellow => 3,
        Color::Blue => 4,
        Color::Magenta => 5,
        Color::Cyan => 6,
        Color::Gray => 7,
        // The bright one of sixteen.
        Color::White => 67,
        _ => 9,
    };
    code(out, base + number);
}

#[cfg(test)]
mod tests {
    use super::*;
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    const WIDE: u16 = 24;
    const HIGH: u16 = 6;

    fn screen(lines: &[(u16, u16, &str, u8)]) -> Buffer {
        let mut buffer = Buffer::empty(Rect::new(0, 0, WIDE, HIGH));
        for (x, y, text, look) in lines {
            let mut style = Style::new();
            for (i, modifier) in [Modifier::BOLD, Modifier::REVERSED, Modifier::UNDERLINED]
                .into_iter()
                .enumerate()
            {
                if look >> i & 1 == 1 {
                    style = style.add_modifier(modifier);
                }
            }
            if look & 8 != 0 {
                style = style.fg(Color::Red);
            }
            buffer.set_stringn(x % WIDE, y % HIGH, text, usize::from(WIDE), style);
        }
        buffer
    }

    /// What an independent terminal shows after the bytes.
    fn assert_shows(parser: &vt100::Parser, wanted: &Buffer) {
        for y in 0..HIGH {
            let mut x = 0;
            while x < WIDE {
                let want = &wanted[(x, y)];
                let got = parser.screen().cell(y, x).unwrap();
                let got_text = if got.contents().is_empty() {
                    " "
                } else {
                    got.contents()
                };
                assert_eq!(got_text, want.symbol(), "at {x},{y}");
                assert_eq!(
                    got.inverse(),
                    want.modifier.contains(Modifier::REVERSED),
                    "at {x},{y}"
                );
                assert_eq!(
                    got.underline(),
                    want.modifier.contains(Modifier::UNDERLINED),
                    "at {x},{y}"
                );
                if want.symbol() != " " {
                    assert_eq!(
                        got.bold(),
                        want.modifier.contains(Modifier::BOLD),
                        "at {x},{y}"
                    );
                    let red = got.fgcolor() == vt100::Color::Idx(1);
                    assert_eq!(red, want.fg == Color::Red, "at {x},{y}");
                }
                x += columns(want);
            }
        }
    }

    proptest::proptest! {
        #[test]
        fn a_terminal_shows_what_was_meant(
            frames in proptest::collection::vec(
                proptest::collection::vec((0u16..WIDE, 0u16..HIGH, "[a-c 桃é]{0,12}", 0u8..16), 0..8),
                1..6,
            ),
            cursor in (0u16..WIDE, 0u16..HIGH),
        ) {
            let size = |n: u16| std::num::NonZeroU16::new(n).unwrap();
            let mut parser = vt100::Parser::new(size(HIGH), size(WIDE), 0);
            let mut painter = Painter::new();
            for lines in &frames {
                let lines: Vec<(u16, u16, &str, u8)> =
                    lines.iter().map(|(x, y, t, s)| (*x, *y, t.as_str(), *s)).collect();
                let wanted = screen(&lines);
                let mut next = wanted.clone();
                let mut out = Vec::new();
                painter.frame(&mut next, Some(cursor), &mut out);
                // In raw mode a line feed only goes down.
                parser.process(&out);
                assert_shows(&parser, &wanted);
                proptest::prop_assert_eq!(parser.screen().cursor_position(), (cursor.1, cursor.0));
            }
        }
    }

    #[test]
    fn moving_a_mark_costs_a_few_bytes() {
        let mut painter = Painter::new();
        let mut out = Vec::new();
        painter.frame(
            &mut screen(&[(0, 1, ">", 0), (2, 1, "first", 2), (2, 2, "second", 0)]),
            Some((0, 1)),
            &mut out,
        );
        out.clear();
        painter.frame(
            &mut screen(&[(0, 2, ">", 0), (2, 1, "first", 0), (2, 2, "second", 2)]),
            Some((0, 2)),
            &mut out,
        );
        assert!(
            out.len() <= 40,
            "{} bytes: {}",
            out.len(),
            String::from_utf8_lossy(&out).escape_debug()
        );
        out.clear();
        painter.frame(
            &mut screen(&[(0, 2, ">", 0), (2, 1, "first", 0), (2, 2, "second", 2)]),
            Some((0, 2)),
            &mut out,
        );
        assert!(out.is_empty());
    }
}
