//! Text made fit for the screen: harmless, of known width, cut and wrapped by it.

use crate::domain::harmless::steers;
use std::borrow::Cow;
use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// The half-wide voicing marks of kana: some count them as a column of their own, some as none,
/// so that they become the combining marks, which nobody counts.
const HALF_VOICED: char = '\u{ff9e}';
const HALF_HALF_VOICED: char = '\u{ff9f}';

/// Nearly all text is plain letters, seen at a glance.
fn is_plain(text: &str) -> bool {
    text.bytes().all(|b| matches!(b, b' '..=b'~'))
}

/// Foreign text without characters that would upset the screen.
pub fn clean(text: &str) -> Cow<'_, str> {
    if is_plain(text) || !text.contains(steers) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(
        text.chars()
            .filter_map(|c| match c {
                '\n' | '\t' => Some(' '),
                c if steers(c) => None,
                c => Some(c),
            })
            .collect(),
    )
}

/// The text as it goes onto the screen: cleaned, and of a width that everybody agrees on.
pub fn shown(text: &str) -> Cow<'_, str> {
    if is_plain(text) {
        return Cow::Borrowed(text);
    }
    let clean = clean(text);
    if !clean.contains([HALF_VOICED, HALF_HALF_VOICED]) {
        return clean;
    }
    let combined = |c| match c {
        HALF_VOICED => '\u{3099}',
        HALF_HALF_VOICED => '\u{309a}',
        c => c,
    };
    Cow::Owned(clean.chars().map(combined).collect())
}

/// Like [`clean`], but line ends stay.
pub fn clean_lines(text: &str) -> String {
    text.split('\n').map(clean).collect::<Vec<_>>().join("\n")
}

/// Columns a text takes once it is on the screen.
pub fn width(text: &str) -> usize {
    if text.is_ascii() {
        text.len()
    } else {
        shown(text).width()
    }
}

/// The text cut to so many columns, with `..` where something is missing.
pub fn cut(text: &str, columns: usize) -> Cow<'_, str> {
    if width(text) <= columns {
        return Cow::Borrowed(text);
    }
    let marks = if columns > 4 { ".." } else { "" };
    let room = columns - marks.len();
    if text.is_ascii() {
        let kept = text.get(..room).unwrap_or_default().trim_end();
        return Cow::Owned(kept.to_owned() + marks);
    }
    let mut out = String::with_capacity(columns);
    for piece in text.graphemes(true) {
        let before = out.len();
        out.push_str(piece);
        // The width of a text is not always the sum of its pieces'.
        if width(&out) > room {
            out.truncate(before);
            break;
        }
    }
    let mut out = out.trim_end().to_owned();
    out.push_str(marks);
    Cow::Owned(out)
}

/// Texts joined until they are wider than so many columns: what no row could hold is not put
/// into words, there may be hundreds.
pub fn joined(
    texts: impl Iterator<Item = impl AsRef<str>>,
    between: &str,
    columns: usize,
) -> String {
    let mut all = String::new();
    for text in texts {
        if !all.is_empty() {
            all.push_str(between);
        }
        all.push_str(text.as_ref());
        if width(&all) > columns {
            break;
        }
    }
    all
}

/// What a word is broken into: what a reader takes for one character, and where such a one is
/// wider than a line, its parts.
fn pieces(word: &str, columns: usize) -> impl Iterator<Item = &str> {
    word.graphemes(true).flat_map(move |piece| {
        let wide = width(piece) > columns;
        let whole = (!wide).then_some(piece);
        let parts = wide.then(|| piece.split("").filter(|p| !p.is_empty()));
        whole.into_iter().chain(parts.into_iter().flatten())
    })
}

/// The text in lines of at most so many columns, broken between words, and
/// within a word only where it is longer than a line.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    let columns = columns.max(1);
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        for word in paragraph.split(' ') {
            let gap = usize::from(!line.is_empty());
            if width(&line) + gap + width(word) <= columns {
                if gap == 1 {
                    line.push(' ');
                }
                line.push_str(word);
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for piece in pieces(word, columns) {
                let before = line.len();
                line.push_str(piece);
                // The width of a text is not always the sum of its pieces'.
                if width(&line) > columns && before > 0 {
                    line.truncate(before);
                    lines.push(std::mem::replace(&mut line, piece.to_owned()));
                }
            }
        }
        lines.push(line);
    }
    lines
}

pub use crate::domain::units::count;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_characters_are_taken_out() {
        assert_eq!(clean("a\x1b[31mb\u{202e}c\td"), "a[31mbc d");
        assert!(matches!(clean("plain é"), Cow::Borrowed(_)));
    }

    #[test]
    fn cuts_by_columns_not_by_bytes() {
        assert_eq!(cut("Peach block", 20), "Peach block");
        assert_eq!(cut("Peach block", 8), "Peach..");
        assert_eq!(cut("桃桃桃桃", 7), "桃桃..");
        assert_eq!(
            cut("e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}", 5),
            "e\u{301}e\u{301}e\u{301}.."
        );
        assert_eq!(cut("abc", 0), "");
    }

    #[test]
    fn wraps_between_words() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(wrap("a\n\nb", 3), ["a", "", "b"]);
    }

    proptest::proptest! {
        #[test]
        fn never_wider_than_asked(text: String, columns in 2usize..40) {
            let text = clean(&text);
            proptest::prop_assert!(width(&cut(&text, columns)) <= columns);
            for line in wrap(&text, columns) {
                // One character may be wider than a line of two columns; it cannot be broken.
                let fits = width(&line) <= columns || line.chars().count() == 1;
                proptest::prop_assert!(fits, "{line:?}");
            }
        }
    }
}
