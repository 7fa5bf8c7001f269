//! Which key does what: one table ([`KEYMAP`]), many readers.
//!
//! Dispatch, footer, `?` help, `:` finder and the README's key table are all
//! drawn from the rows; an owner's own keys replace the keys of a row.

mod table;

pub use table::KEYMAP;

use super::action::Command;
use super::key::{Key, KeyError};
use super::screen::Screen;
use std::collections::BTreeMap;
use thiserror::Error;

/// Where a key holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Scope {
    /// On every screen, outside text fields.
    Everywhere,
    /// Moving about: on every screen and in every list.
    Moving,
    /// On the board.
    Board,
    /// On the swell screen.
    Swell,
    /// On the hours screen.
    Hours,
    /// On the coverage screen.
    Coverage,
    /// On the mix screen.
    Mix,
    /// Among the materials.
    Materials,
    /// On the buy list.
    Buy,
    /// Among the sprayers.
    Sprayers,
    /// In a form.
    Form,
    /// In the rain delay.
    Delay,
    /// On the review.
    Review,
    /// On the run sheet.
    RunSheet,
    /// On the ledger.
    Ledger,
    /// On the records.
    Records,
}

impl Scope {
    /// The heading in the help.
    pub fn words(self) -> &'static str {
        match self {
            Self::Everywhere => "Everywhere",
            Self::Moving => "Moving about",
            Self::Board => "On the board",
            Self::Swell => "On the swell screen",
            Self::Hours => "On the hours screen",
            Self::Coverage => "On the coverage screen",
            Self::Mix => "On the mix screen",
            Self::Materials => "Among the materials",
            Self::Buy => "On the buy list",
            Self::Sprayers => "Among the sprayers",
            Self::Form => "In a form",
            Self::Delay => "In the rain delay",
            Self::Review => "On the review",
            Self::RunSheet => "On the run sheet",
            Self::Ledger => "On the ledger",
            Self::Records => "On the records",
        }
    }
}

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Binding {
    /// Stable name, for the owner's own keys.
    pub id: &'static str,
    /// What it does.
    pub command: Command,
    /// Its keys, separated by blanks, the one shown first.
    pub keys: &'static str,
    /// Where it holds.
    pub scope: Scope,
    /// What it does, in plain words.
    pub words: &'static str,
    /// One or two words for the footer; empty keeps it out of there.
    pub short: &'static str,
}

/// Why the owner's own keys cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum KeymapError {
    /// No row has this id.
    #[error(
        "there is no action '{0}'; the help (?) lists them all, `barewood shell keys` with their ids"
    )]
    UnknownAction(String),
    /// The text is no key.
    #[error("action '{id}': {fault}")]
    BadKey {
        /// The action.
        id: String,
        /// What is wrong.
        fault: KeyError,
    },
    /// Two actions in the same place want one key.
    #[error("key '{key}' is wanted by both '{first}' and '{second}'")]
    Conflict {
        /// The key.
        key: String,
        /// One action's id.
        first: &'static str,
        /// The other's.
        second: &'static str,
    },
    /// A digit is the count of the next key.
    #[error("action '{id}': digits are counts ('3>' moves by three days) and cannot be keys")]
    Digit {
        /// The action.
        id: String,
    },
}

impl KeymapError {
    /// The actions it is about: the owner's line for one of them is the one to mend.
    pub fn ids(&self) -> Vec<&str> {
        match self {
            Self::UnknownAction(id) | Self::BadKey { id, .. } | Self::Digit { id } => vec![id],
            Self::Conflict { first, second, .. } => vec![second, first],
        }
    }
}

/// The table with the owner's own keys in it.
#[derive(Debug, Clone)]
pub struct Keymap {
    keys: Vec<Vec<Key>>,
    by_key: BTreeMap<(Scope, Key), usize>,
}

/// Places that can be open at the same time, so that their keys must differ.
fn meet(a: Scope, b: Scope) -> bool {
    let screen = |s| Screen::of(s).is_some();
    a == b
        || matches!(
            (a, b),
            (Scope::Everywhere, Scope::Moving) | (Scope::Moving, Scope::Everywhere)
        )
        || (screen(a) && matches!(b, Scope::Everywhere | Scope::Moving))
        || (screen(b) && matches!(a, Scope::Everywhere | Scope::Moving))
}

impl Keymap {
    /// The keys as shipped. The table is checked by a test.
    pub fn standard() -> Self {
        Self::with_overrides::<&str>(&[]).unwrap_or_else(|_| Self {
            keys: Vec::new(),
            by_key: BTreeMap::new(),
        })
    }

    /// The table with other keys for some actions: `("delay", "ctrl-x r")`.
    pub fn with_overrides<S: AsRef<str>>(own: &[(S, S)]) -> Result<Self, KeymapError> {
        let mut texts: Vec<&str> = KEYMAP.iter().map(|b| b.keys).collect();
        for (id, keys) in own {
            let row = KEYMAP
                .iter()
                .position(|b| b.id == id.as_ref())
                .ok_or_else(|| KeymapError::UnknownAction(id.as_ref().to_owned()))?;
            if let Some(text) = texts.get_mut(row) {
                *text = keys.as_ref();
            }
        }
        let mut keys = Vec::with_capacity(KEYMAP.len());
        let mut by_key: BTreeMap<(Scope, Key), usize> = BTreeMap::new();
        for (row, (binding, text)) in KEYMAP.iter().zip(&texts).enumerate() {
            let mut list = Vec::new();
            for name in text.split_whitespace() {
                let key: Key = name.parse().map_err(|fault| KeymapError::BadKey {
                    id: binding.id.to_owned(),
                    fault,
                })?;
                let is_digit = key.typed().is_some_and(|c| c.is_ascii_digit());
                if is_digit && binding.scope != Scope::Board {
                    return Err(KeymapError::Digit {
                        id: binding.id.to_owned(),
                    });
                }
                let rival = by_key
                    .iter()
                    .find(|((scope, k), _)| *k == key && meet(*scope, binding.scope));
                if let Some(other) = rival.and_then(|(_, i)| KEYMAP.get(*i)) {
                    return Err(KeymapError::Conflict {
                        key: name.to_owned(),
                        first: other.id,
                        second: binding.id,
                    });
                }
                by_key.insert((binding.scope, key), row);
                list.push(key);
            }
            keys.push(list);
        }
        Ok(Self { keys, by_key })
    }

    /// What a key does in the first of these places that knows it.
    pub fn command(&self, scopes: &[Scope], key: Key) -> Option<Command> {
        scopes
            .iter()
            .find_map(|scope| self.by_key.get(&(*scope, key)))
            .and_then(|row| KEYMAP.get(*row))
            .map(|binding| binding.command)
    }

    /// The rows with their keys as they are now.
    pub fn rows(&self) -> impl Iterator<Item = (&'static Binding, &[Key])> {
        KEYMAP.iter().zip(self.keys.iter().map(Vec::as_slice))
    }

    /// The keys of a command, for showing: `< -`.
    pub fn shown(&self, command: Command) -> String {
        self.rows()
            .find(|(b, _)| b.command == command)
            .map(|(_, keys)| names(keys))
            .unwrap_or_default()
    }

    /// The first key of a command, for footers and hints.
    pub fn first(&self, command: Command) -> String {
        self.rows()
            .find(|(b, _)| b.command == command)
            .and_then(|(_, keys)| keys.first())
            .map(ToString::to_string)
            .unwrap_or_default()
    }
}

/// Keys as a list of names.
pub fn names(keys: &[Key]) -> String {
    keys.iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join(" ")
}

/// The table as Markdown, for the README.
pub fn markdown() -> String {
    use std::fmt::Write as _;
    let mut out = String::new();
    let mut scope = None;
    for binding in KEYMAP {
        if scope != Some(binding.scope) {
            scope = Some(binding.scope);
            let _ = write!(out, "\n| {} | |\n|---|---|\n", binding.scope.words());
        }
        let keys: Vec<String> = binding
            .keys
            .split_whitespace()
            .map(|k| format!("`{}`", if k == "|" { "\\|" } else { k }))
            .collect();
        let _ = writeln!(out, "| {} | {} |", keys.join(" "), binding.words);
    }
    out.trim_start().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_sound() {
        let map = Keymap::with_overrides::<&str>(&[]).unwrap();
        let mut ids: Vec<&str> = KEYMAP.iter().map(|b| b.id).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), KEYMAP.len(), "an id is used twice");
        for (binding, keys) in map.rows() {
            assert!(!binding.words.is_empty());
            // Statement 31: phones and serial consoles lack Alt, Ctrl and function keys.
            let easy =
                |k: &Key| !k.ctrl && !k.alt && !matches!(k.code, crate::tui::key::Code::F(_));
            let by_finder = binding.scope != Scope::Form && binding.scope != Scope::Delay;
            // Backspace clears a field as well.
            let spared = binding.id == "clear-field";
            assert!(
                keys.iter().any(easy) || by_finder || spared,
                "{}",
                binding.id
            );
        }
    }

    #[test]
    fn suspending_is_never_undo_and_multiplexer_prefixes_stay_free() {
        let map = Keymap::standard();
        let screens = [Scope::Board, Scope::Swell, Scope::Moving, Scope::Everywhere];
        assert_eq!(
            map.command(&screens, Key::ctrl('z')),
            Some(Command::Suspend)
        );
        for c in ['a', 'b'] {
            assert_eq!(map.command(&screens, Key::ctrl(c)), None);
        }
    }

    #[test]
    fn own_keys_replace_and_conflicts_are_told() {
        let map = Keymap::with_overrides(&[("delay", "ctrl-x")]).unwrap();
        assert_eq!(
            map.command(&[Scope::Board], Key::ctrl('x')),
            Some(Command::Delay)
        );
        assert_eq!(map.command(&[Scope::Board], Key::char('r')), None);
        assert_eq!(
            Keymap::with_overrides(&[("delay", "q")]).unwrap_err(),
            KeymapError::Conflict {
                key: "q".into(),
                first: "quit",
                second: "delay"
            }
        );
        assert!(matches!(
            Keymap::with_overrides(&[("dance", "q")]),
            Err(KeymapError::UnknownAction(_))
        ));
        assert!(matches!(
            Keymap::with_overrides(&[("delay", "ctrl-")]),
            Err(KeymapError::BadKey { .. })
        ));
        assert!(matches!(
            Keymap::with_overrides(&[("calibrate", "3")]),
            Err(KeymapError::Digit { .. })
        ));
    }
}
