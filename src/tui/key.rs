//! One key as typed, and its name: `ctrl-r`, `up`, `space`, `>`.

use std::{fmt, str::FromStr};
use thiserror::Error;

/// Which key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Code {
    Char(char),
    Enter,
    Esc,
    Tab,
    BackTab,
    Backspace,
    Delete,
    Insert,
    Up,
    Down,
    Left,
    Right,
    Home,
    End,
    PageUp,
    PageDown,
    F(u8),
}

/// A key with what was held down. Shift is part of the character, so that `>`
/// is `>` on every keyboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Key {
    /// Which key.
    pub code: Code,
    /// Was Ctrl held?
    pub ctrl: bool,
    /// Was Alt held?
    pub alt: bool,
}

impl Key {
    /// A key alone.
    pub const fn plain(code: Code) -> Self {
        Self {
            code,
            ctrl: false,
            alt: false,
        }
    }

    /// A character alone.
    pub const fn char(c: char) -> Self {
        Self::plain(Code::Char(c))
    }

    /// A character with Ctrl.
    pub const fn ctrl(c: char) -> Self {
        Self {
            code: Code::Char(c),
            ctrl: true,
            alt: false,
        }
    }

    /// The character it types into a text field.
    pub fn typed(self) -> Option<char> {
        match self {
            Self {
                code: Code::Char(c),
                ctrl: false,
                alt: false,
            } if !c.is_control() => Some(c),
            _ => None,
        }
    }
}

/// Why a text is not a key.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "'{0}' is not a key; write one character, a name (up, down, left, right, home, end, pgup, pgdn, enter, esc, tab, space, backspace, del, f1 to f12), or ctrl- or alt- and a character"
)]
pub struct KeyError(pub String);

const NAMES: &[(&str, Code)] = &[
    ("up", Code::Up),
    ("down", Code::Down),
    ("left", Code::Left),
    ("right", Code::Right),
    ("home", Code::Home),
    ("end", Code::End),
    ("pgup", Code::PageUp),
    ("pgdn", Code::PageDown),
    ("enter", Code::Enter),
    ("esc", Code::Esc),
    ("tab", Code::Tab),
    ("shift-tab", Code::BackTab),
    ("space", Code::Char(' ')),
    ("backspace", Code::Backspace),
    ("del", Code::Delete),
    ("ins", Code::Insert),
];

impl FromStr for Key {
    type Err = KeyError;

    fn from_str(text: &str) -> Result<Self, KeyError> {
        let fault = || KeyError(text.chars().filter(|c| !c.is_control()).take(20).collect());
        let mut key = Self::plain(Code::Esc);
        let mut rest = text;
        loop {
            let lower = rest.to_lowercase();
            if rest.chars().count() > 1 && lower.starts_with("ctrl-") && !key.ctrl {
                key.ctrl = true;
            } else if rest.chars().count() > 1 && lower.starts_with("alt-") && !key.alt {
                key.alt = true;
            } else {
                break;
            }
            rest = rest.split_once('-').map_or("", |(_, after)| after);
        }
        let lower = rest.to_lowercase();
        let mut chars = rest.chars();
        key.code = if let Some((_, code)) = NAMES.iter().find(|(name, _)| *name == lower) {
            *code
        } else if let Some(n) = lower
            .strip_prefix('f')
            .and_then(|n| n.parse::<u8>().ok())
            .filter(|n| (1..=12).contains(n))
        {
            Code::F(n)
        } else {
            match (chars.next(), chars.next()) {
                (Some(c), None) if !c.is_control() => {
                    Code::Char(if key.ctrl { c.to_ascii_lowercase() } else { c })
                }
                _ => return Err(fault()),
            }
        };
        Ok(key)
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.ctrl {
            f.write_str("ctrl-")?;
        }
        if self.alt {
            f.write_str("alt-")?;
        }
        if let Some((name, _)) = NAMES.iter().find(|(_, code)| *code == self.code) {
            return f.write_str(name);
        }
        match self.code {
            Code::F(n) => write!(f, "f{n}"),
            Code::Char(c) => write!(f, "{c}"),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_as_they_are_written() {
        for text in [
            "ctrl-r",
            "alt-x",
            "up",
            "space",
            ">",
            "-",
            "f12",
            "G",
            "shift-tab",
            "ctrl-alt-q",
            "é",
        ] {
            assert_eq!(text.parse::<Key>().unwrap().to_string(), text);
        }
        assert_eq!("Ctrl-R".parse::<Key>().unwrap(), Key::ctrl('r'));
        for text in ["", "ctrl-", "f13", "upp", "ctrl-ctrl-x"] {
            assert!(text.parse::<Key>().is_err(), "{text}");
        }
    }
}
