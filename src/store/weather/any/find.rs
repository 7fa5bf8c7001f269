//! Finds the table in a text: past preambles, comments and empty lines, under one or two lines
//! of names, with whatever separates its cells.
//!
//! A line of data is one that holds a number and either a day or several numbers; the table
//! begins where such lines begin to split alike, and the lines of names are the ones before that
//! split like them.

use super::dates;

/// How far into a text a table may begin.
const MOST_LINES: usize = 400;
/// Lines that must split alike, unless the text ends before.
const ALIKE: usize = 3;
/// A table with more columns is none.
const MOST_COLUMNS: usize = 1000;

/// What separates cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Separator {
    Sign(u8),
    /// Any run of spaces.
    Spaces,
}

impl Separator {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Sign(b';') => "semicolons",
            Self::Sign(b'\t') => "tabs",
            Self::Sign(b'|') => "bars",
            Self::Sign(_) => "commas",
            Self::Spaces => "spaces",
        }
    }

    /// The cells of a line, quotes and outer spaces taken off.
    pub(super) fn split(self, line: &str) -> Vec<&str> {
        match self {
            Self::Spaces => line.split_whitespace().take(MOST_COLUMNS).collect(),
            Self::Sign(sign) => split_quoted(line, sign),
        }
    }
}

fn split_quoted(line: &str, sign: u8) -> Vec<&str> {
    let bytes = line.as_bytes();
    let mut cells = Vec::new();
    let mut from = 0;
    while cells.len() < MOST_COLUMNS {
        let rest = line.get(from..).unwrap_or_default();
        let skip = rest.len() - rest.trim_start_matches(' ').len();
        let quoted = rest
            .get(skip..)
            .and_then(|r| r.strip_prefix('"'))
            .and_then(|inside| {
                let end = inside.find('"')?;
                let after = from + skip + 1 + end + 1;
                // A quote that closes in the middle of a cell did not open it.
                let next = line.get(after..)?.trim_start_matches(' ');
                let closes = next.is_empty() || next.as_bytes().first() == Some(&sign);
                closes.then_some((inside.get(..end)?, after))
            });
        let (cell, end) = match quoted {
            Some((cell, after)) => (
                cell,
                memchr::memchr(sign, bytes.get(after..).unwrap_or_default()).map(|n| after + n),
            ),
            None => {
                let end = memchr::memchr(sign, rest.as_bytes()).map(|n| from + n);
                let cell = line.get(from..end.unwrap_or(line.len()));
                (cell.unwrap_or_default(), end)
            }
        };
        cells.push(cell.trim());
        match end {
            Some(end) => from = end + 1,
            None => break,
        }
    }
    cells
}

/// A table found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub separator: Separator,
    /// Names of the columns; empty where there are none.
    pub names: Vec<String>,
    /// Line of the last line of names, from 1; 0 where there is none.
    pub names_line: usize,
    /// Index of the first line of data.
    pub first: usize,
    /// Cells of a line of data.
    pub width: usize,
    /// Indices of the lines of names.
    pub header: std::ops::Range<usize>,
}

/// Is the cell a number, a unit perhaps behind it?
pub(super) fn is_number(cell: &str) -> bool {
    let cell = cell.trim();
    let body = cell.strip_prefix(['-', '+', '\u{2212}']).unwrap_or(cell);
    body.starts_with(|c: char| c.is_ascii_digit())
        && cell.len() < 24
        && body
            .chars()
            .filter(|c| !matches!(c, '.' | ',' | '°' | '%' | '/' | ' ' | '\u{a0}' | ')' | '*'))
            .all(|c| {
                c.is_ascii_digit()
                    || matches!(
                        c,
                        'C' | 'F' | 'm' | 'i' | 'n' | 'p' | 'h' | 'k' | 'e' | 'E' | '+' | '-'
                    )
            })
        && body.bytes().filter(|b| b.is_ascii_digit()).count() * 3 >= body.len()
}

/// Could it be a line of values: a day and a number, or four numbers?
fn is_data(cells: &[&str]) -> bool {
    let numbers = cells.iter().filter(|c| is_number(c)).count();
    let days = cells.iter().filter(|c| dates::when(c).is_some()).count();
    let words = cells
        .iter()
        .filter(|c| c.chars().filter(|c| c.is_alphabetic()).count() > 2)
        .count();
    (days > 0 && numbers + days >= 2) || (numbers >= 4 && words <= numbers / 2)
}

/// A comment: its text without the sign.
fn comment(line: &str) -> Option<&str> {
    let line = line.trim_start();
    line.strip_prefix('#')
        .or_else(|| line.strip_prefix('!'))
        .or_else(|| line.strip_prefix("//"))
}

fn is_skipped(line: &str) -> bool {
    line.trim().is_empty() || comment(line).is_some()
}

/// Finds the table in the lines of a text.
pub(super) fn table(lines: &[&str]) -> Option<Found> {
    let head = lines.get(..MOST_LINES.min(lines.len()))?;
    let signs = [b'\t', b';', b',', b'|'].map(Separator::Sign);
    let mut best: Option<(usize, Found)> = None;
    for separator in signs {
        if let Some(found) = table_by(lines, head, separator) {
            // More columns win; a comma that is a decimal sign loses to what really separates.
            let rank = found.width
                * if separator == Separator::Sign(b',') {
                    1
                } else {
                    2
                };
            if best.as_ref().is_none_or(|(most, _)| rank > *most) {
                best = Some((rank, found));
            }
        }
    }
    best.map(|(_, found)| found)
        .or_else(|| table_by(lines, head, Separator::Spaces))
}

fn table_by(lines: &[&str], head: &[&str], separator: Separator) -> Option<Found> {
    let content: Vec<usize> = (0..head.len())
        .filter(|&i| head.get(i).is_some_and(|l| !is_skipped(l)))
        .collect();
    for (at, &i) in content.iter().enumerate() {
        let cells = separator.split(lines.get(i)?);
        if cells.len() < 2 || !is_data(&cells) {
            continue;
        }
        let width = cells.len();
        let following: Vec<&str> = lines
            .iter()
            .skip(i + 1)
            .filter(|l| !is_skipped(l))
            .take(ALIKE)
            .copied()
            .collect();
        // A free text in the last column may hold the separator: one line of three may differ,
        // but not the next one: a line of values alone under its own names is no table.
        let is_alike = |l: &&str| {
            let next = separator.split(l);
            next.len().abs_diff(width) <= 1 && is_data(&next)
        };
        let alike = following.iter().filter(|l| is_alike(l)).count();
        let enough = following.len().min(ALIKE);
        if alike + 1 < enough || following.first().is_some_and(|l| !is_alike(l)) {
            continue;
        }
        let before = at.checked_sub(1).and_then(|n| content.get(n)).copied();
        return Some(with_names(lines, separator, i, width, before));
    }
    None
}

/// Looks for the lines of names before the first line of data.
fn with_names(
    lines: &[&str],
    separator: Separator,
    first: usize,
    width: usize,
    before: Option<usize>,
) -> Found {
    let cells_of = |i: usize| -> Vec<&str> {
        let line = lines.get(i).copied().unwrap_or_default();
        separator.split(comment(line).unwrap_or(line))
    };
    let fits = |cells: &[&str]| {
        let filled = cells.iter().filter(|c| !c.is_empty()).count();
        let worded = cells
            .iter()
            .filter(|c| !c.is_empty() && !is_number(c) && dates::when(c).is_none())
            .count();
        cells.len() + 1 >= width && cells.len() <= width + 8 && filled > 0 && worded * 2 >= filled
    };
    // The nearest line that is not empty: content, else a comment that splits like the data.
    let nearest_comment = (0..first)
        .rev()
        .take_while(|&i| lines.get(i).is_some_and(|l| is_skipped(l)))
        .find(|&i| lines.get(i).is_some_and(|l| !l.trim().is_empty()));
    let last = nearest_comment
        .filter(|&i| cells_of(i).len().abs_diff(width) <= 1 && fits(&cells_of(i)))
        .or_else(|| before.filter(|&i| fits(&cells_of(i))));
    let Some(last) = last else {
        return Found {
            separator,
            names: Vec::new(),
            names_line: 0,
            first,
            width,
            header: first..first,
        };
    };
    let is_comment = lines.get(last).is_some_and(|l| comment(l).is_some());
    let mut upper = Vec::new();
    if !is_comment {
        let mut i = last;
        while upper.len() < 2 && i > 0 {
            i -= 1;
            let line = lines.get(i).copied().unwrap_or_default();
            let cells = cells_of(i);
            if is_skipped(line) || cells.len().abs_diff(width) > 1 || !fits(&cells) {
                break;
            }
            upper.push(i);
        }
    }
    let start = upper.last().copied().unwrap_or(last);
    let mut names: Vec<String> = vec![String::new(); width.max(cells_of(last).len())];
    for i in start..=last {
        let cells = cells_of(i);
        let is_last = i == last;
        let mut held = "";
        for (column, name) in names.iter_mut().enumerate() {
            let own = cells.get(column).copied().unwrap_or_default();
            // A name over several columns stands in the first of them.
            let text = if own.is_empty() && !is_last {
                held
            } else {
                own
            };
            if !own.is_empty() {
                held = own;
            }
            if !text.is_empty() && name != text {
                if !name.is_empty() {
                    name.push(' ');
                }
                name.push_str(text);
            }
        }
    }
    Found {
        separator,
        names,
        names_line: last + 1,
        first,
        width,
        header: start..last + 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Found {
        let lines: Vec<&str> = text.lines().collect();
        table(&lines).unwrap()
    }

    #[test]
    fn plain_tables_of_every_separator() {
        for (text, words) in [
            ("date,a,b\n2027-01-01,1,2\n2027-01-02,3,4\n", "commas"),
            (
                "date;a;b\n2027-01-01;1,5;2,5\n2027-01-02;3,0;4,0\n",
                "semicolons",
            ),
            ("date\ta\tb\n2027-01-01\t1\t2\n", "tabs"),
            ("date|a|b\n2027-01-01|1|2\n", "bars"),
            ("date   a  b\n2027-01-01  1  2\n2027-01-02 3 4\n", "spaces"),
        ] {
            let found = found(text);
            assert_eq!(found.names, ["date", "a", "b"], "{text}");
            assert_eq!((found.first, found.width), (1, 3), "{text}");
            assert_eq!(found.separator.words(), words);
        }
    }

    #[test]
    fn preambles_comments_and_two_lines_of_names() {
        let text = "My station\nLatitude: 43.1\n\n# made by hand\nDate,Temperature,,Rain\n,min,max,\n2027-01-01,-1,2,0\n2027-01-02,-3,4,1\n";
        let two = found(text);
        assert_eq!(
            two.names,
            ["Date", "Temperature min", "Temperature max", "Rain"]
        );
        assert_eq!((two.names_line, two.first), (6, 6));
        let commented = found(
            "# notes\n# STN,YYYYMMDD,   TN,   TX\n  260,20270101,  -12,   34\n  260,20270102,   -5,   20\n",
        );
        assert_eq!(commented.names, ["STN", "YYYYMMDD", "TN", "TX"]);
        let none = found("1,20270101,-12,34\n1,20270102,-5,20\n");
        assert!(none.names.is_empty());
    }

    #[test]
    fn quotes_hold_separators() {
        let sign = Separator::Sign(b',');
        assert_eq!(
            sign.split("\"a, b\",c,\"\",\"x\"y\""),
            ["a, b", "c", "", "\"x\"y\""]
        );
        assert_eq!(sign.split("\"3,5\", \"4,5\""), ["3,5", "4,5"]);
        assert!(table(&["nothing", "here, at all", "of 3 words"]).is_none());
    }
}
