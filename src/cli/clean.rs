//! The stream that every answer and message goes through.

use crate::domain::harmless::{Form, Shown};
use std::io::{self, Write};

/// A stream that lets only [`Shown`] text pass.
///
/// Lines are held until they are whole or the stream is flushed, so that a character is never cut.
#[derive(Debug)]
pub struct Clean<W: Write> {
    to: W,
    form: Form,
    rest: Vec<u8>,
}

impl<W: Write> Clean<W> {
    /// Before a stream.
    pub fn new(to: W, form: Form) -> Self {
        Self {
            to,
            form,
            rest: Vec::new(),
        }
    }

    fn pass(&mut self, upto: usize) -> io::Result<()> {
        let line: Vec<u8> = self.rest.drain(..upto).collect();
        let shown = Shown::in_form(&String::from_utf8_lossy(&line), self.form);
        self.to.write_all(shown.as_str().as_bytes())
    }
}

impl<W: Write> Write for Clean<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let before = self.rest.len();
        self.rest.extend_from_slice(bytes);
        // Of what was held before it is known that no line ends in it.
        if let Some(last) = bytes.iter().rposition(|b| *b == b'\n') {
            self.pass(before + last + 1)?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.pass(self.rest.len())?;
        self.to.flush()
    }
}

impl<W: Write> Drop for Clean<W> {
    fn drop(&mut self) {
        let _ = self.flush();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::harmless::steers;

    #[test]
    fn json_keeps_its_value() {
        let value: String = (0..=0x0010_ffff).filter_map(char::from_u32).collect();
        let json = serde_json::to_string(&value).unwrap();
        let mut out = Vec::new();
        {
            let mut clean = Clean::new(&mut out, Form::Json);
            // However it is cut.
            for piece in json.as_bytes().chunks(1021) {
                clean.write_all(piece).unwrap();
            }
        }
        let text = String::from_utf8(out).unwrap();
        assert!(!text.chars().any(steers));
        assert_eq!(serde_json::from_str::<String>(&text).unwrap(), value);
    }

    #[test]
    fn a_stream_passes_what_its_form_needs_and_no_more() {
        let through = |form, bytes: &[u8]| {
            let mut out = Vec::new();
            Clean::new(&mut out, form).write_all(bytes).unwrap();
            String::from_utf8(out).unwrap()
        };
        assert_eq!(
            through(Form::Plain, b"a\tb\r\n\x1b[2J\xff"),
            "a\u{fffd}b\u{fffd}\n\u{fffd}[2J\u{fffd}"
        );
        assert_eq!(through(Form::Crlf, b"a\r\nb\rc"), "a\r\nb\u{fffd}c");
        assert_eq!(through(Form::Script, b"\ta\x1b"), "\ta\u{fffd}");
    }
}
