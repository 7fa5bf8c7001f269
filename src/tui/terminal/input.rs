//! Bytes from the terminal → keys, pastes, clicks.
//!
//! Own code rather than the terminal library's reader, because that one goes
//! on reading a terminal that has gone away, and cannot be polled together
//! with signals and files. Only what terminals of the xterm family send is
//! known; every other sequence, such as a late answer to somebody's question,
//! is swallowed whole and never taken for keys.

use crate::tui::key::{Code, Key};
use std::time::{Duration, Instant};

/// What came in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A key.
    Key(Key),
    /// Text pasted in brackets, already harmless.
    Paste(String),
    /// The main mouse button went down on a cell.
    Press(u16, u16),
    /// The mouse moved with the main button down.
    Drag(u16, u16),
    /// The main mouse button was let go.
    Release(u16, u16),
    /// The wheel turned: up is negative.
    Wheel(u16, u16, i16),
    /// The terminal reported its status: it has come to the question.
    Answer,
}

/// More than this in one paste is cut off.
const PASTE_LIMIT: usize = 64 * 1024;
const PASTE_END: &[u8] = b"\x1b[201~";

/// Collects bytes until they make whole inputs.
#[derive(Debug, Default)]
pub struct Parser {
    held: Vec<u8>,
    paste: Option<Vec<u8>>,
    /// A lone Esc was given out just then; the rest of its sequence may still come.
    after_esc: Option<Instant>,
    /// What is held is such a rest, which may come piece by piece until then.
    late_until: Option<Instant>,
    /// How long the rest of a sequence may be behind its Esc.
    patience: Duration,
    /// The longest delay this line has shown.
    shown: Duration,
}

/// After an Esc that changed something a hand may well type a bracket next.
const LATE: Duration = Duration::from_millis(150);
/// One that changed nothing is rather the head of a key in pieces.
const VERY_LATE: Duration = Duration::from_secs(1);

/// What the start of the bytes is.
enum Step {
    /// An input of so many bytes; `None` is swallowed.
    Take(usize, Option<Input>),
    /// A paste begins after so many bytes.
    Paste(usize),
    /// More bytes are needed.
    Wait,
}

impl Parser {
    /// Takes bytes as they come and gives the inputs they complete.
    pub fn feed(&mut self, bytes: &[u8], out: &mut Vec<Input>) {
        // On a slow line the tail of a sequence may come after its Esc was
        // given out alone, and in pieces.
        let tail = matches!(bytes, [b'[' | b'O', ..]);
        let whole = bytes.len() > 1;
        if let Some(at) = self.after_esc.take()
            && tail
            && self.held.is_empty()
            && (whole || at.elapsed() < self.patience.max(self.shown + LATE))
        {
            self.line_took(at.elapsed());
            self.held.push(0x1b);
            self.late_until = Some(Instant::now() + VERY_LATE);
        }
        self.held.extend_from_slice(bytes);
        self.drain(out);
        if self.held.is_empty() {
            self.late_until = None;
        }
    }

    /// The Esc given out last changed nothing: it may have been the head of a key in pieces.
    pub fn esc_was_idle(&mut self) {
        self.patience = VERY_LATE;
    }

    /// The line was so late with an answer, or with the rest of a key: the rest of the next key
    /// may be as late.
    pub fn line_took(&mut self, delay: Duration) {
        self.shown = self.shown.max(delay).min(VERY_LATE);
    }

    /// How long to wait for more before a pause decides.
    pub fn pause_in(&self, usual: Duration) -> Duration {
        match self.late_until {
            Some(until) => until.saturating_duration_since(Instant::now()) + usual,
            None => usual,
        }
    }

    /// Is something held back that a pause would decide?
    pub fn is_waiting(&self) -> bool {
        !self.held.is_empty() && self.paste.is_none()
    }

    /// Nothing more came for a while: a held Esc is the Esc key.
    pub fn pause(&mut self, out: &mut Vec<Input>) {
        if self.paste.is_some() {
            return;
        }
        if self.late_until.take().is_some() {
            // The rest never came: nothing is done for half a key.
        } else if self.held == [0x1b] {
            out.push(Input::Key(Key::plain(Code::Esc)));
            self.after_esc = Some(Instant::now());
            self.patience = LATE;
        } else if self.held.first() == Some(&0x1b) && self.held.len() == 2 {
            // `Esc [` or `Esc O` and nothing more: Alt and that key.
            if let Some(c) = self.held.get(1) {
                out.push(alt(char::from(*c)));
            }
        }
        self.held.clear();
    }

    fn drain(&mut self, out: &mut Vec<Input>) {
        loop {
            if let Some(pasted) = &mut self.paste {
                let end = self
                    .held
                    .windows(PASTE_END.len())
                    .position(|w| w == PASTE_END);
                // Without the end in sight, keep back what may be its first bytes.
                let take = end.unwrap_or(self.held.len().saturating_sub(PASTE_END.len() - 1));
                for byte in self.held.drain(..take) {
                    if pasted.len() < PASTE_LIMIT {
                        pasted.push(byte);
                    }
                }
                if end.is_none() {
                    return;
                }
                self.held.drain(..PASTE_END.len());
                let text = harmless(&String::from_utf8_lossy(pasted));
                self.paste = None;
                out.push(Input::Paste(text));
                continue;
            }
            if self.held.is_empty() {
                return;
            }
            match step(&self.held) {
                Step::Wait => return,
                Step::Paste(n) => {
                    self.held.drain(..n);
                    self.paste = Some(Vec::new());
                }
                Step::Take(n, input) => {
                    self.held.drain(..n.max(1));
                    out.extend(input);
                }
            }
        }
    }
}

/// Pasted text without control characters; line ends become `\n`, tabs blanks.
fn harmless(text: &str) -> String {
    text.replace("\r\n", "\n")
        .chars()
        .map(|c| match c {
            '\r' => '\n',
            '\t' => ' ',
            c => c,
        })
        .filter(|c| *c == '\n' || !c.is_control())
        .collect()
}

fn key(code: Code) -> Input {
    Input::Key(Key::plain(code))
}

fn alt(c: char) -> Input {
    Input::Key(Key {
        code: Code::Char(c),
        ctrl: false,
        alt: true,
    })
}

fn step(held: &[u8]) -> Step {
    match held {
        [0x1b] | [0x1b, b'[' | b'O'] => Step::Wait,
        [0x1b, b'[', ..] => csi(held),
        [0x1b, b'O', last, ..] => Step::Take(3, cursor_key(*last)),
        // Strings a terminal may send by itself (DCS, OSC, APC, PM): up to their end.
        [0x1b, b']' | b'P' | b'_' | b'^', rest @ ..] => terminal_string(rest),
        [0x1b, 0x1b, ..] => Step::Take(1, Some(key(Code::Esc))),
        [0x1b, c, ..] if c.is_ascii_graphic() => Step::Take(2, Some(alt(char::from(*c)))),
        [0x1b, ..] => Step::Take(1, Some(key(Code::Esc))),
        [b'\r' | b'\n', ..] => Step::Take(1, Some(key(Code::Enter))),
        [b'\t', ..] => Step::Take(1, Some(key(Code::Tab))),
        [0x7f | 0x08, ..] => Step::Take(1, Some(key(Code::Backspace))),
        [0, ..] => Step::Take(1, Some(Input::Key(Key::ctrl(' ')))),
        [c @ 1..=26, ..] => Step::Take(1, Some(Input::Key(Key::ctrl(char::from(c - 1 + b'a'))))),
        [c @ 28..=31, ..] => Step::Take(1, Some(Input::Key(Key::ctrl(char::from(c - 28 + b'4'))))),
        _ => character(held),
    }
}

fn terminal_string(rest: &[u8]) -> Step {
    let bell = rest.iter().position(|b| *b == 7).map(|i| i + 1);
    let st = rest.windows(2).position(|w| w == b"\x1b\\").map(|i| i + 2);
    match bell.into_iter().chain(st).min() {
        Some(end) => Step::Take(end + 2, None),
        None if rest.len() > 1024 => Step::Take(rest.len() + 2, None),
        None => Step::Wait,
    }
}

fn character(held: &[u8]) -> Step {
    let length = match held.first() {
        Some(0..=0x7f) => 1,
        Some(0xc2..=0xdf) => 2,
        Some(0xe0..=0xef) => 3,
        Some(0xf0..=0xf4) => 4,
        _ => return Step::Take(1, None),
    };
    let Some(bytes) = held.get(..length) else {
        return Step::Wait;
    };
    let c = std::str::from_utf8(bytes)
        .ok()
        .and_then(|s| s.chars().next());
    match c {
        Some(c) if !c.is_control() => Step::Take(length, Some(key(Code::Char(c)))),
        Some(_) => Step::Take(length, None),
        None => Step::Take(1, None),
    }
}

fn cursor_key(last: u8) -> Option<Input> {
    let code = match last {
        b'A' => Code::Up,
        b'B' => Code::Down,
        b'C' => Code::Right,
        b'D' => Code::Left,
        b'H' => Code::Home,
        b'F' => Code::End,
        b'M' => Code::Enter,
        b'Z' => Code::BackTab,
        c @ b'P'..=b'S' => Code::F(c - b'P' + 1),
        _ => return None,
    };
    Some(key(code))
}

/// `Esc [`, parameters, intermediate bytes, one final byte.
fn csi(held: &[u8]) -> Step {
    let body = held.get(2..).unwrap_or_default();
    let Some(end) = body.iter().position(|b| (0x40..=0x7e).contains(b)) else {
        // A sequence this long or with foreign bytes is none.
        let foreign = body.iter().any(|b| !(0x20..=0x3f).contains(b));
        return if foreign || body.len() > 64 {
            Step::Take(held.len(), None)
        } else {
            Step::Wait
        };
    };
    let length = end + 3;
    let (parameters, last) = (body.get(..end).unwrap_or_default(), body.get(end).copied());
    let text = String::from_utf8_lossy(parameters);
    // The linux console sends `Esc [ [ A` for F1.
    if parameters.is_empty() && last == Some(b'[') {
        return match body.get(1) {
            None => Step::Wait,
            Some(c @ b'A'..=b'E') => Step::Take(4, Some(key(Code::F(c - b'A' + 1)))),
            Some(_) => Step::Take(4, None),
        };
    }
    if let (Some(mouse), Some(b'M' | b'm')) = (text.strip_prefix('<'), last) {
        return Step::Take(length, mouse_event(mouse, last == Some(b'm')));
    }
    let mut numbers = text.split(';').map(|n| n.parse::<u16>().ok());
    let first = numbers.next().flatten();
    let held_down = numbers.next().flatten().unwrap_or(1).saturating_sub(1);
    let input = match (last, first) {
        (Some(b'~'), Some(200)) => return Step::Paste(length),
        (Some(b'~'), Some(n)) => tilde_key(n),
        // In order, or not: an answer all the same.
        (Some(b'n'), Some(0 | 3)) => Some(Input::Answer),
        // A place report ends like F3 and never is one.
        (Some(b'R'), Some(_)) => None,
        (Some(c), _) if text.is_empty() || text.chars().all(|c| c.is_ascii_digit() || c == ';') => {
            cursor_key(c)
        }
        _ => None,
    };
    let input = input.map(|input| match input {
        Input::Key(k) => Input::Key(Key {
            ctrl: k.ctrl || held_down & 4 != 0,
            alt: k.alt || held_down & 2 != 0,
            ..k
        }),
        other => other,
    });
    Step::Take(length, input)
}

fn tilde_key(n: u16) -> Option<Input> {
    let code = match n {
        1 | 7 => Code::Home,
        2 => Code::Insert,
        3 => Code::Delete,
        4 | 8 => Code::End,
        5 => Code::PageUp,
        6 => Code::PageDown,
        11..=15 => Code::F(u8::try_from(n - 10).ok()?),
        17..=21 => Code::F(u8::try_from(n - 11).ok()?),
        23 | 24 => Code::F(u8::try_from(n - 12).ok()?),
        _ => return None,
    };
    Some(key(code))
}

fn mouse_event(text: &str, up: bool) -> Option<Input> {
    let mut numbers = text.split(';').map(|n| n.parse::<u16>().ok());
    let button = numbers.next()??;
    let x = numbers.next()??.checked_sub(1)?;
    let y = numbers.next()??.checked_sub(1)?;
    match button {
        64 => Some(Input::Wheel(x, y, -1)),
        65 => Some(Input::Wheel(x, y, 1)),
        0 if up => Some(Input::Release(x, y)),
        0 => Some(Input::Press(x, y)),
        32 => Some(Input::Drag(x, y)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(chunks: &[&[u8]]) -> Vec<Input> {
        let (mut parser, mut out) = (Parser::default(), Vec::new());
        for chunk in chunks {
            parser.feed(chunk, &mut out);
        }
        out
    }

    fn keys(text: &str) -> Vec<Input> {
        text.split(' ')
            .map(|k| Input::Key(k.parse().unwrap()))
            .collect()
    }

    #[test]
    fn an_arrow_byte_by_byte_behind_its_esc_never_is_three_keys() {
        for idle in [false, true] {
            let (mut parser, mut out) = (Parser::default(), Vec::new());
            parser.feed(b"\x1b", &mut out);
            parser.pause(&mut out);
            if idle {
                parser.esc_was_idle();
            }
            parser.feed(b"[", &mut out);
            assert!(parser.is_waiting());
            assert!(parser.pause_in(Duration::ZERO) > LATE);
            parser.feed(b"B", &mut out);
            parser.feed(b"[", &mut out);
            assert_eq!(out, keys("esc down ["));
        }
        // The rest never comes: nothing is done for half a key.
        let (mut parser, mut out) = (Parser::default(), Vec::new());
        parser.feed(b"\x1b", &mut out);
        parser.pause(&mut out);
        parser.feed(b"[", &mut out);
        parser.pause(&mut out);
        assert_eq!(out, keys("esc"));
    }

    #[test]
    fn the_rest_of_a_key_may_be_as_late_as_the_line_has_been() {
        let bracket_after = |parser: &mut Parser, delay: Duration| {
            let mut out = Vec::new();
            parser.feed(b"\x1b", &mut out);
            parser.pause(&mut out);
            std::thread::sleep(delay);
            parser.feed(b"[", &mut out);
            parser.feed(b"B", &mut out);
            out
        };
        let mut parser = Parser::default();
        let late = LATE + Duration::from_millis(100);
        // Behind an Esc that closed something, on a line that nothing is known of.
        assert_eq!(bracket_after(&mut parser, late), keys("esc [ B"));
        parser.line_took(Duration::from_millis(400));
        assert_eq!(bracket_after(&mut parser, late), keys("esc down"));
        // What a key in pieces shows counts as well.
        let mut parser = Parser::default();
        assert_eq!(bracket_after(&mut parser, LATE / 2), keys("esc down"));
        assert_eq!(bracket_after(&mut parser, LATE), keys("esc down"));
    }

    #[test]
    fn reads_the_keys_of_the_xterm_family() {
        assert_eq!(
            all(&[b"a\x1b[B\x1bOA\x1b[5~\x1b[1;5C\x1bOP\x1b[[A\r\x7f\x12\x1b[Z"]),
            keys("a down up pgup ctrl-right f1 f1 enter backspace ctrl-r shift-tab")
        );
        assert_eq!(all(&["й€".as_bytes()]), keys("й €"));
    }

    #[test]
    fn sequences_may_come_in_pieces() {
        assert_eq!(
            all(&[b"\x1b", b"[", b"1;", b"5B", b"\xd0", b"\xb9"]),
            keys("ctrl-down й")
        );
    }

    #[test]
    fn a_lone_esc_is_decided_by_a_pause_and_its_late_tail_is_still_a_key() {
        let (mut parser, mut out) = (Parser::default(), Vec::new());
        parser.feed(b"\x1b", &mut out);
        assert!(out.is_empty() && parser.is_waiting());
        parser.pause(&mut out);
        parser.feed(b"[B", &mut out);
        assert_eq!(out, keys("esc down"));
        // A bracket typed by itself some time later is a key.
        let mut out = Vec::new();
        parser.feed(b"\x1b", &mut out);
        parser.pause(&mut out);
        std::thread::sleep(LATE);
        parser.feed(b"[", &mut out);
        assert_eq!(out, keys("esc ["));
    }

    #[test]
    fn late_answers_of_the_terminal_are_no_keys() {
        assert_eq!(all(&[b"\x1b[0", b"n"]), [Input::Answer]);
        assert_eq!(
            all(&[b"\x1b[?62;22c\x1b[12;40R\x1b]11;rgb:0000/0000/0000\x1b\\\x1bP1$r0m\x1b\\\x1b[>0;0;0cq"]),
            keys("q")
        );
    }

    #[test]
    fn a_paste_is_text_and_cannot_break_out() {
        assert_eq!(
            all(&[b"\x1b[200~q\rd\x1b[2", b"~\x07x\x1b[201~q"]),
            [Input::Paste("q\nd[2~x".to_owned()), keys("q").remove(0)]
        );
    }

    #[test]
    fn clicks_and_wheel() {
        assert_eq!(
            all(&[b"\x1b[<0;10;5M\x1b[<0;10;5m\x1b[<65;1;1M\x1b[<2;1;1M"]),
            [
                Input::Press(9, 4),
                Input::Release(9, 4),
                Input::Wheel(0, 0, 1)
            ]
        );
    }

    proptest::proptest! {
        #[test]
        fn no_bytes_upset_it(chunks: Vec<Vec<u8>>) {
            let (mut parser, mut out) = (Parser::default(), Vec::new());
            for chunk in &chunks {
                parser.feed(chunk, &mut out);
                parser.pause(&mut out);
            }
        }
    }
}
