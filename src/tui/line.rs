//! A line (or several) of text being typed.

use super::key::{Code, Key};
use super::text;
use unicode_segmentation::UnicodeSegmentation;

/// Text with a cursor in it, kept in units of what a reader sees as one character.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Line {
    before: Vec<String>,
    after: Vec<String>,
    many: bool,
}

/// What a key did to the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Typed {
    /// It changed the text.
    Changed,
    /// It moved the cursor.
    Moved,
    /// It is not for the text.
    NotMine,
}

/// Longer texts are cut off.
const LIMIT: usize = 4000;

impl Line {
    /// One line, cursor at the end.
    pub fn new(text: &str) -> Self {
        let mut line = Self::default();
        line.insert(text);
        line
    }

    /// Many lines, cursor at the end.
    pub fn many(text: &str) -> Self {
        let mut line = Self {
            many: true,
            ..Self::default()
        };
        line.insert(text);
        line
    }

    /// The text.
    pub fn text(&self) -> String {
        self.before.concat() + &self.after.concat()
    }

    /// The text before the cursor.
    pub fn head(&self) -> String {
        self.before.concat()
    }

    /// Is nothing typed?
    pub fn is_empty(&self) -> bool {
        self.before.is_empty() && self.after.is_empty()
    }

    /// Is the cursor at the end?
    pub fn at_end(&self) -> bool {
        self.after.is_empty()
    }

    /// Puts text in at the cursor; control characters are left out.
    pub fn insert(&mut self, more: &str) {
        let kept: Vec<&str> = if self.many {
            more.split('\n').collect()
        } else {
            vec![more]
        };
        let mut joined = self.before.concat();
        for (i, part) in kept.iter().enumerate() {
            if i > 0 {
                joined.push('\n');
            }
            joined.push_str(&text::clean(part));
        }
        self.before = joined
            .graphemes(true)
            .take(LIMIT)
            .map(str::to_owned)
            .collect();
    }

    /// Puts another text in the place of this one.
    pub fn set(&mut self, text: &str) {
        self.before.clear();
        self.after.clear();
        self.insert(text);
    }

    fn left(&mut self) -> bool {
        self.before.pop().map(|g| self.after.insert(0, g)).is_some()
    }

    fn right(&mut self) -> bool {
        if self.after.is_empty() {
            return false;
        }
        let next = self.after.remove(0);
        self.before.push(next);
        true
    }

    fn column(&self) -> usize {
        self.before.iter().rev().take_while(|g| *g != "\n").count()
    }

    fn go_line_start(&mut self) {
        while self.before.last().is_some_and(|g| g != "\n") {
            self.left();
        }
    }

    fn go_line_end(&mut self) {
        while self.after.first().is_some_and(|g| g != "\n") {
            self.right();
        }
    }

    fn up(&mut self) {
        let column = self.column();
        self.go_line_start();
        if self.left() {
            self.go_line_start();
            self.along(column);
        }
    }

    fn down(&mut self) {
        let column = self.column();
        self.go_line_end();
        if self.right() {
            self.along(column);
        }
    }

    fn along(&mut self, columns: usize) {
        for _ in 0..columns {
            if self.after.first().is_none_or(|g| g == "\n") {
                break;
            }
            self.right();
        }
    }

    /// Takes a key.
    pub fn key(&mut self, key: Key) -> Typed {
        if let Some(c) = key.typed() {
            self.insert(c.encode_utf8(&mut [0; 4]));
            return Typed::Changed;
        }
        match (key.code, key.ctrl, key.alt) {
            (Code::Backspace, false, false) => {
                self.before.pop();
                Typed::Changed
            }
            (Code::Delete, false, false) => {
                if !self.after.is_empty() {
                    self.after.remove(0);
                }
                Typed::Changed
            }
            (Code::Char('u'), true, false) => {
                self.before.clear();
                Typed::Changed
            }
            (Code::Char('w'), true, false) => {
                while self.before.last().is_some_and(|g| g == " ") {
                    self.before.pop();
                }
                while self.before.last().is_some_and(|g| g != " " && g != "\n") {
                    self.before.pop();
                }
                Typed::Changed
            }
            (Code::Left, false, false) => {
                self.left();
                Typed::Moved
            }
            (Code::Right, false, false) => {
                self.right();
                Typed::Moved
            }
            (Code::Home, ..) | (Code::Char('a'), true, false) => {
                self.go_line_start();
                Typed::Moved
            }
            (Code::End, ..) | (Code::Char('e'), true, false) => {
                self.go_line_end();
                Typed::Moved
            }
            (Code::Enter, false, false) if self.many => {
                self.insert("\n");
                Typed::Changed
            }
            (Code::Up, false, false) if self.many => {
                self.up();
                Typed::Moved
            }
            (Code::Down, false, false) if self.many => {
                self.down();
                Typed::Moved
            }
            _ => Typed::NotMine,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(line: &mut Line, keys: &str) {
        for key in keys.split(' ') {
            line.key(key.parse().unwrap());
        }
    }

    #[test]
    fn edits_whole_characters() {
        let mut line = Line::new("ae\u{301}z");
        typed(&mut line, "left backspace b");
        assert_eq!(line.text(), "abz");
        typed(&mut line, "home del end ctrl-w x");
        assert_eq!(line.text(), "x");
    }

    #[test]
    fn one_line_stays_one_line_and_pastes_stay_harmless() {
        let mut line = Line::new("");
        line.insert("a\nb\x1b[2J");
        assert_eq!(line.text(), "a b[2J");
        assert_eq!(line.key(Key::plain(Code::Enter)), Typed::NotMine);
    }

    #[test]
    fn moves_between_lines_keeping_the_column() {
        let mut line = Line::many("abcd\nxy\nlast");
        typed(&mut line, "up 1 up 2");
        assert_eq!(line.text(), "abc2d\nxy1\nlast");
        typed(&mut line, "down down end enter 3");
        assert_eq!(line.text(), "abc2d\nxy1\nlast\n3");
    }
}
