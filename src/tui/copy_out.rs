//! What is chosen, as text for the clipboard of the user's own terminal.
//!
//! It goes there as a sequence of the terminal (OSC 52), over ssh as well; no
//! clipboard program of this machine is asked. There is no receipt, so the
//! notice says "sent", never "copied".

use super::details::{self, Row};
use super::model::Model;
use super::screen::{
    Screen, board, buy, coverage, hours, materials, mix, page, records, sprayers, swell,
};
use crate::domain::harmless::Shown;

/// More than this is not sent: some terminals drop longer ones whole.
const MOST_BYTES: usize = 8 * 1024;
/// Lines are not wrapped for the screen, only cut into sheets where they must be.
const COLUMNS: usize = 78;

/// Everything about what is chosen on the screen in view; `None` where nothing is.
pub fn text(model: &Model) -> Option<String> {
    let rows = match model.screen {
        Screen::Board => {
            let task = board::chosen(model)?;
            let mut rows = vec![Row::head(task.title.as_str())];
            rows.extend(details::full(model, task));
            rows
        }
        Screen::Swell => swell::view::why(model),
        Screen::Hours => hours::view::why(model),
        Screen::Review | Screen::Years | Screen::RunSheet | Screen::Ledger => {
            page::rows(model, COLUMNS as u16)
        }
        Screen::Records => {
            let (title, rows) = records::view::whole(model);
            std::iter::once(Row::head(title)).chain(rows).collect()
        }
        Screen::Coverage => coverage::about(model),
        Screen::Mix => mix::rows(model.spray.mix.sheet.as_ref()?, COLUMNS),
        Screen::Materials => materials::view::about(model),
        Screen::Buy => buy::view::chosen(model)?,
        Screen::Sprayers => sprayers::view::chosen_rows(model)?,
    };
    let lines: Vec<String> = rows
        .iter()
        .map(|row| format!("{}{}", row.sign, row.text).trim_end().to_owned())
        .collect();
    let text = lines.join("\n").trim().to_owned();
    (!text.is_empty()).then_some(text)
}

/// The sequence that puts text on the clipboard of the terminal; `None` where it is too long.
pub fn sequence(text: &str) -> Option<Vec<u8>> {
    // What is pasted somewhere else is foreign text there as well.
    let text = Shown::text(text);
    let text = text.as_str();
    if text.len() > MOST_BYTES {
        return None;
    }
    let mut out = b"\x1b]52;c;".to_vec();
    base64(text.as_bytes(), &mut out);
    out.push(7);
    Some(out)
}

/// RFC 4648, section 4: four signs for three bytes, filled with `=`.
fn base64(bytes: &[u8], out: &mut Vec<u8>) {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for chunk in bytes.chunks(3) {
        let at = |i: usize| u32::from(chunk.get(i).copied().unwrap_or(0));
        let group = at(0) << 16 | at(1) << 8 | at(2);
        for place in 0..4 {
            let six = (group >> (18 - 6 * place)) & 63;
            let sign = SIGNS.get(six as usize).copied().unwrap_or(b'=');
            out.push(if place > chunk.len() { b'=' } else { sign });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn encodes_as_published() {
        // RFC 4648, section 10.
        for (text, code) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            let mut out = Vec::new();
            base64(text.as_bytes(), &mut out);
            assert_eq!(String::from_utf8(out).unwrap(), code);
        }
        assert_eq!(sequence("foo").unwrap(), b"\x1b]52;c;Zm9v\x07");
        assert_eq!(
            sequence("a\u{1b}\r\u{8}b\nc"),
            sequence("a\u{fffd}\u{fffd}\u{fffd}b\nc"),
            "what is pasted types nothing"
        );
    }

    #[test]
    fn too_much_is_not_sent() {
        assert!(sequence(&"x".repeat(MOST_BYTES)).is_some());
        assert!(sequence(&"x".repeat(MOST_BYTES + 1)).is_none());
    }
}
