//! Lines of at most 75 octets (RFC 5545, 3.1).
//!
//! The crate that writes the calendar counts some lines one octet too long.

/// Octets on a line, its end not counted.
const MOST: usize = 75;

/// The lines whole again: a line end followed by a blank goes on.
pub(super) fn unfolded(text: &str) -> String {
    text.replace("\r\n ", "").replace("\r\n\t", "")
}

/// Every line folded anew, never within a character.
pub(super) fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 60);
    for line in unfolded(text).split_terminator("\r\n") {
        let mut octets = 0;
        for c in line.chars() {
            if octets + c.len_utf8() > MOST {
                out.push_str("\r\n ");
                octets = 1;
            }
            out.push(c);
            octets += c.len_utf8();
        }
        out.push_str("\r\n");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_and_every_text_comes_back() {
        for unit in ["x", "ü", "漢", "🍑", "a漢"] {
            let text = format!("SUMMARY:{}\r\nEND:VEVENT\r\n", unit.repeat(200));
            let folded = folded(&text);
            assert!(folded.split("\r\n").all(|l| l.len() <= MOST));
            assert_eq!(unfolded(&folded), text);
        }
    }
}
