//! Foreign text that does no harm where it is shown.
//!
//! Names, notes, ids, file names and what the environment says come from somewhere else. Nothing
//! of it is printed but as [`Shown`]: the streams of commands, the canvas of the board and the
//! clipboard let only such text pass.

use std::fmt::{self, Write as _};

/// Would this character move a cursor, hide text, or turn the direction of writing? Names and
/// notes come from files and from the clipboard: such characters never reach a screen, a message
/// or a report.
pub fn steers(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{ad}'
                | '\u{61c}'
                | '\u{180e}'
                | '\u{200b}'
                | '\u{200e}'
                | '\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}

/// What stands in the place of a character that steers: it is seen that something was there.
const INSTEAD: char = '\u{fffd}';

/// Text that may be shown: nothing in it steers a terminal.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Shown(String);

impl Shown {
    /// On one line: what would end it becomes a blank.
    pub fn line(text: &str) -> Self {
        let one = text.replace(['\n', '\r', '\t'], " ");
        Self::in_form(&one, Form::Plain)
    }

    /// With its line ends.
    pub fn text(text: &str) -> Self {
        Self::in_form(text, Form::Plain)
    }

    /// As it may stand in an answer of some form.
    pub fn in_form(text: &str, form: Form) -> Self {
        if text.bytes().all(|b| matches!(b, b' '..=b'~' | b'\n')) {
            return Self(text.to_owned());
        }
        let mut out = String::with_capacity(text.len());
        let mut chars = text.chars().peekable();
        while let Some(c) = chars.next() {
            match c {
                '\n' => out.push(c),
                '\r' if form == Form::Crlf && chars.peek() == Some(&'\n') => out.push(c),
                '\t' if form == Form::Script => out.push(c),
                // The mark by which spreadsheets know UTF-8, at the very beginning.
                '\u{feff}' if form == Form::Crlf && out.is_empty() => out.push(c),
                c if !steers(c) => out.push(c),
                // Within a string of JSON, as the standard writes it (RFC 8259, section 7).
                c if form == Form::Json => {
                    let mut units = [0; 2];
                    for unit in c.encode_utf16(&mut units) {
                        let _ = write!(out, "\\u{unit:04x}");
                    }
                }
                _ => out.push(INSTEAD),
            }
        }
        Self(out)
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

/// What kind of text goes through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Form {
    /// Lines for a reader.
    #[default]
    Plain,
    /// JSON: what steers is escaped, so that the value stays what it is.
    Json,
    /// Lines that end as calendars and tables end them (RFC 5545, RFC 4180).
    Crlf,
    /// A script or a manual page made here, which may hold tabs.
    Script,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every character there is.
    fn all() -> impl Iterator<Item = char> {
        (0..=0x0010_ffff).filter_map(char::from_u32)
    }

    #[test]
    fn nothing_that_steers_is_shown() {
        let text: String = all().collect();
        for shown in [Shown::line(&text), Shown::text(&text)] {
            assert!(!shown.as_str().chars().any(|c| c != '\n' && steers(c)));
        }
        assert!(!Shown::line(&text).as_str().contains('\n'));
        // C0, DEL, C1; what Unicode names as controls of direction and format (UAX 9, table 2).
        for c in
            "\0\u{7}\u{8}\u{1b}\u{7f}\u{9b}\u{9d}\u{202e}\u{2066}\u{61c}\u{fffa}\u{e0041}\u{ad}"
                .chars()
        {
            assert!(steers(c), "{c:?}");
        }
        for c in "aé桃ा\u{200d}\u{fe0f}☂".chars() {
            assert!(!steers(c), "{c:?}");
        }
    }
}
