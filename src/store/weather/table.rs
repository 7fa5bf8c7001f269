//! Reading delimited text line by line: limits, delimiter, header, cells with line numbers.
//!
//! Weather files have no line breaks inside cells, so a line is a row. That keeps line numbers
//! exact past comments and empty lines, and no stray quote can swallow the rest of a file.

use std::io::{self, BufRead, Read};

use super::problem::{ImportError, shown};

/// More than any one place's record: no file of daily or hourly records is larger.
const MOST_BYTES: u64 = 1 << 28;
/// The longest line of any format read here has under 2 000 characters.
const LONGEST_LINE: usize = 1 << 16;
/// Written by some programs before the first character of a text.
pub(super) const BYTE_ORDER_MARK: &[u8] = b"\xEF\xBB\xBF";
/// A header with more columns than this is not a header.
const MOST_COLUMNS: usize = 1000;

/// A reader that refuses to go on past [`MOST_BYTES`], so that no file fills the memory.
pub(super) struct Limited<R> {
    inner: R,
    left: u64,
}

impl<R> Limited<R> {
    pub(super) const fn new(inner: R) -> Self {
        Self {
            inner,
            left: MOST_BYTES,
        }
    }
}

impl<R: Read> Read for Limited<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let got = self.inner.read(buffer)?;
        self.left = self.left.checked_sub(got as u64).ok_or_else(|| {
            io::Error::other("larger than 256 MB; split it, the record of one place is smaller")
        })?;
        Ok(got)
    }
}

/// Lines of a file in a reused buffer, with their numbers.
pub(super) struct Lines<'f, R> {
    input: R,
    file: &'f str,
    number: u64,
    buffer: Vec<u8>,
}

impl<'f, R: BufRead> Lines<'f, R> {
    pub(super) const fn new(input: R, file: &'f str) -> Self {
        Self {
            input,
            file,
            number: 0,
            buffer: Vec::new(),
        }
    }

    /// Number of the line last given.
    pub(super) const fn number(&self) -> u64 {
        self.number
    }

    /// The line last given.
    pub(super) fn line(&self) -> &[u8] {
        &self.buffer
    }

    /// Moves to the next line (without its line end); false at the end of the file.
    pub(super) fn advance(&mut self) -> Result<bool, ImportError> {
        self.buffer.clear();
        let most = LONGEST_LINE as u64;
        let got = self
            .input
            .by_ref()
            .take(most)
            .read_until(b'\n', &mut self.buffer);
        let got = got.map_err(|e| ImportError::read(self.file, e))?;
        if got == 0 {
            return Ok(false);
        }
        self.number += 1;
        if self.number == 1 && self.buffer.starts_with(BYTE_ORDER_MARK) {
            self.buffer.drain(..BYTE_ORDER_MARK.len());
        }
        if got == LONGEST_LINE && self.buffer.last() != Some(&b'\n') {
            return Err(ImportError::one(
                self.file,
                self.number,
                "the line is longer than 65 000 characters",
                "a weather file is plain text with one line a day or hour",
            ));
        }
        while let Some(b'\n' | b'\r') = self.buffer.last() {
            self.buffer.pop();
        }
        Ok(true)
    }

    /// Moves to the next line that is neither empty nor a comment (`#`).
    pub(super) fn advance_to_content(&mut self) -> Result<bool, ImportError> {
        while self.advance()? {
            let line = self.buffer.trim_ascii_start();
            if !line.is_empty() && !line.starts_with(b"#") {
                return Ok(true);
            }
        }
        Ok(false)
    }
}

/// The delimiter of a header line: the most frequent of comma, semicolon and tab.
fn delimiter_of(line: &[u8]) -> u8 {
    let count = |sign: u8| line.split(|&b| b == sign).count();
    let mut best = b',';
    for sign in [b';', b'\t'] {
        if count(sign) > count(best) {
            best = sign;
        }
    }
    best
}

/// Where the cells of a line lie, quotes taken off.
fn split(line: &[u8], delimiter: u8, cells: &mut Vec<(usize, usize)>) {
    cells.clear();
    let mut from = 0;
    let mut quoted_until = 0;
    for stop in memchr::memchr_iter(delimiter, line).chain([line.len()]) {
        if stop < quoted_until {
            continue;
        }
        if quoted_until <= from
            && let Some(inside) = line
                .get(from + 1..)
                .filter(|_| line.get(from) == Some(&b'"'))
            && let Some(length) = memchr::memchr(b'"', inside)
        {
            quoted_until = from + 1 + length;
            cells.push((from + 1, quoted_until));
            if quoted_until > stop {
                continue;
            }
        } else if quoted_until <= from {
            cells.push((from, stop));
        }
        if cells.len() > MOST_COLUMNS {
            return;
        }
        from = stop + 1;
    }
}

/// Column names of a header line, trimmed: for telling formats apart.
pub(super) fn split_header(line: &[u8]) -> Vec<String> {
    let mut cells = Vec::new();
    split(line, delimiter_of(line), &mut cells);
    cells
        .into_iter()
        .map(|(from, to)| {
            String::from_utf8_lossy(line.get(from..to).unwrap_or_default())
                .trim()
                .to_string()
        })
        .collect()
}

/// Delimited text with a header: rows come one after another in a reused buffer.
pub(super) struct Table<'f, R> {
    lines: Lines<'f, R>,
    header: Vec<Vec<u8>>,
    header_line: u64,
    delimiter: u8,
    point: Option<u8>,
    cells: Vec<(usize, usize)>,
}

/// One row: its line number and cells.
#[derive(Clone, Copy)]
pub(super) struct Row<'a> {
    pub line: u64,
    text: &'a [u8],
    cells: &'a [(usize, usize)],
}

impl<'a> Row<'a> {
    /// A cell; a row too short has empty cells at its end.
    pub(super) fn cell(&self, index: usize) -> &'a [u8] {
        self.cells
            .get(index)
            .and_then(|&(from, to)| self.text.get(from..to))
            .unwrap_or_default()
    }
}

impl<'f, R: BufRead> Table<'f, R> {
    /// Takes the next line as the header.
    pub(super) fn open(mut lines: Lines<'f, R>) -> Result<Self, ImportError> {
        if !lines.advance_to_content()? {
            return Err(ImportError::one(
                lines.file,
                0,
                "there is no line with column names",
                "begin with a header such as date,tmin_c,tmax_c",
            ));
        }
        let line = lines.line();
        let delimiter = delimiter_of(line);
        let mut cells = Vec::new();
        split(line, delimiter, &mut cells);
        let header = cells
            .iter()
            .map(|&(from, to)| line.get(from..to).unwrap_or_default().trim_ascii().to_vec());
        Ok(Self {
            header: header.collect(),
            header_line: lines.number(),
            delimiter,
            point: (delimiter == b',').then_some(b'.'),
            cells,
            lines,
        })
    }

    /// Column names as written, trimmed.
    pub(super) fn header(&self) -> &[Vec<u8>] {
        &self.header
    }

    /// Line of the header.
    pub(super) const fn header_line(&self) -> u64 {
        self.header_line
    }

    /// The names of the columns, fit for a message.
    pub(super) fn names(&self) -> String {
        let names: Vec<String> = self
            .header
            .iter()
            .take(20)
            .map(|name| shown(name))
            .collect();
        names.join(", ")
    }

    /// The next row and the decimal sign, `None` at the end.
    pub(super) fn next(&mut self) -> Result<Option<(Row<'_>, u8)>, ImportError> {
        if !self.lines.advance_to_content()? {
            return Ok(None);
        }
        split(self.lines.line(), self.delimiter, &mut self.cells);
        // Where a comma does not separate columns, one between digits is a decimal sign.
        let text = self.lines.line();
        let point = *self.point.get_or_insert_with(|| {
            let comma =
                |w: &[u8]| matches!(w, [a, b',', b] if a.is_ascii_digit() && b.is_ascii_digit());
            if text.windows(3).any(comma) {
                b','
            } else {
                b'.'
            }
        });
        let row = Row {
            line: self.lines.number(),
            text,
            cells: &self.cells,
        };
        Ok(Some((row, point)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> Vec<(u64, Vec<String>)> {
        let mut table = Table::open(Lines::new(text.as_bytes(), "x")).unwrap();
        let width = table.header().len();
        let mut rows = Vec::new();
        while let Some((row, _)) = table.next().unwrap() {
            let cells = (0..width).map(|i| String::from_utf8_lossy(row.cell(i)).into_owned());
            rows.push((row.line, cells.collect()));
        }
        rows
    }

    #[test]
    fn lines_are_counted_past_comments_and_empty_ones() {
        let found = rows("\u{FEFF}# note\r\n\r\ndate;a\r\n\r\n2024;1,5\r\n# x\r\n2025;2,5");
        assert_eq!(
            found,
            [
                (5, vec!["2024".into(), "1,5".into()]),
                (7, vec!["2025".into(), "2,5".into()])
            ]
        );
    }

    #[test]
    fn quotes_hold_delimiters_and_never_swallow_lines() {
        let found = rows("a,b,c\n\"x, y\",,\"H,,S\"\n\"open,2\n,,");
        assert_eq!(found[0].1, ["x, y", "", "H,,S"]);
        assert_eq!(found[1].1, ["\"open", "2", ""]);
        assert_eq!(found[2].1, ["", "", ""]);
    }

    #[test]
    fn endless_lines_are_refused() {
        let long = "x".repeat(70_000);
        let error = Table::open(Lines::new(long.as_bytes(), "x")).err().unwrap();
        assert!(error.to_string().contains("longer than 65 000"));
    }
}
