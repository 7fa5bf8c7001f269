//! A plain answer made fit for a printer: ASCII alone, pages of so many lines.

use super::wrap::WIDTH;
use crate::domain::ascii;

/// Lines of a page.
pub const PAGE: usize = 60;

/// The text in ASCII. A line that grew wider than the page by that is broken at a blank.
pub fn ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        let plain = ascii::ascii(line);
        let indent = plain.len() - plain.trim_start().len();
        let mut rest = plain.trim_end();
        while rest.len() > WIDTH {
            // Only blanks behind the indent end a line; a word without any stays whole.
            let Some(at) = rest
                .char_indices()
                .take(WIDTH + 1)
                .filter(|(i, c)| *c == ' ' && *i > indent)
                .map(|(i, _)| i)
                .last()
            else {
                break;
            };
            let (line, more) = rest.split_at(at);
            out.push_str(line.trim_end());
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            rest = more.trim_start();
        }
        out.push_str(rest);
        out.push('\n');
    }
    out
}

/// The text in pages of at most [`PAGE`] lines with form feeds between. A page ends at an empty
/// line where one stands in its last third, so that what belongs together stays so.
pub fn pages(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let mut out = String::with_capacity(text.len() + 8);
    let mut rest = lines.as_slice();
    while !rest.is_empty() {
        let most = rest.len().min(PAGE);
        let (page, _) = rest.split_at(most);
        let break_at = page.iter().rposition(|line| line.is_empty());
        let end = match break_at {
            Some(at) if most < rest.len() && at >= PAGE * 2 / 3 => at,
            _ => most,
        };
        let (page, more) = rest.split_at(end);
        for line in page {
            out.push_str(line);
            out.push('\n');
        }
        let empty = more.iter().take_while(|line| line.is_empty()).count();
        rest = more.split_at(empty).1;
        if !rest.is_empty() {
            out.push('\u{c}');
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_end_between_paragraphs_and_lose_no_line() {
        let text: String = (0..150)
            .map(|i| {
                if i % 11 == 10 {
                    "\n".into()
                } else {
                    format!("line {i}\n")
                }
            })
            .collect();
        let paged = pages(&text);
        let all: Vec<&str> = paged.split('\u{c}').collect();
        assert_eq!(all.len(), 3);
        for page in &all {
            assert!(page.lines().count() <= PAGE);
            assert!(!page.starts_with('\n') && page.ends_with('\n'));
        }
        let words = |t: &str| t.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        assert_eq!(words(&paged), words(&text));
        // Without a gap a page is cut where it is full.
        assert_eq!(pages(&"x\n".repeat(61)).split('\u{c}').count(), 2);
        assert_eq!(pages(&"x\n".repeat(60)), "x\n".repeat(60));
        assert_eq!(pages(""), "");
    }

    #[test]
    fn ascii_keeps_to_the_width() {
        let text = format!("  {}\n", "8 °C ≤ Zürich ".repeat(6));
        let plain = ascii(&text);
        assert!(plain.is_ascii());
        assert!(
            plain.lines().count() > 1
                && plain
                    .lines()
                    .all(|l| l.len() <= WIDTH && l.starts_with("  "))
        );
        assert_eq!(ascii("–\n\n"), "-\n\n");
    }
}
