//! Plain text that fits eighty columns.

use unicode_width::UnicodeWidthStr;

/// The width every plain report keeps to.
pub const WIDTH: usize = 80;

/// Breaks a text at spaces so that no line is wider than [`WIDTH`]; lines after
/// the first begin with `indent` spaces, as does the first.
pub fn wrapped(text: &str, indent: usize) -> String {
    let pad = " ".repeat(indent);
    let mut out = String::new();
    let mut line = pad.clone();
    for word in text.split_whitespace() {
        let fits = line.width() + 1 + word.width() <= WIDTH || line.len() == pad.len();
        if !fits {
            out.push_str(line.trim_end());
            out.push('\n');
            line.clone_from(&pad);
        }
        if line.len() > pad.len() {
            line.push(' ');
        }
        line.push_str(word);
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_to_eighty_columns_and_loses_no_word() {
        let text = "swell ".repeat(60);
        let out = wrapped(&text, 4);
        assert!(
            out.lines()
                .all(|l| l.width() <= WIDTH && l.starts_with("    "))
        );
        assert_eq!(out.split_whitespace().count(), 60);
    }
}
