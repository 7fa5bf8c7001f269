//! The finder: every action in plain words with its key; typing narrows it down.

use super::typed;
use crate::tui::action::Effect;
use crate::tui::key::{Code, Key};
use crate::tui::keymap::{Binding, Scope, names};
use crate::tui::line::Line;
use crate::tui::model::Model;
use crate::tui::screen::Screen;
use crate::tui::update;

/// What is typed and chosen in the finder.
#[derive(Debug, Clone, Default)]
pub struct Finder {
    /// What is typed.
    pub line: Line,
    /// Which of the matches is chosen.
    pub chosen: usize,
}

/// What a key did.
#[derive(Debug)]
pub enum Outcome {
    /// The finder stays open.
    Open,
    /// It closes.
    Drop,
    /// It closes and this is done.
    Run(&'static Binding),
}

impl Finder {
    /// The rows that hold every word typed, in their name or their words, with their keys.
    pub fn matches(&self, model: &Model) -> Vec<(&'static Binding, String)> {
        let typed = self.line.text().to_lowercase();
        model
            .keymap
            .rows()
            .filter(|(b, _)| !matches!(b.scope, Scope::Form | Scope::Delay | Scope::Moving))
            .filter(|(b, keys)| {
                let text = format!(
                    "{} {} {} {} {}",
                    b.id,
                    b.words,
                    b.short,
                    b.scope.words(),
                    names(keys)
                )
                .to_lowercase();
                typed.split_whitespace().all(|word| text.contains(word))
            })
            .map(|(b, keys)| (b, names(keys)))
            .collect()
    }

    /// Takes a key.
    pub fn key(&mut self, model: &Model, key: Key) -> Outcome {
        let matches = self.matches(model);
        let last = matches.len().saturating_sub(1);
        match key.code {
            Code::Esc => return Outcome::Drop,
            Code::Char('c') if key.ctrl => return Outcome::Drop,
            Code::Enter => {
                return match matches.get(self.chosen) {
                    Some((binding, _)) => Outcome::Run(binding),
                    None => Outcome::Open,
                };
            }
            Code::Up | Code::BackTab => self.chosen = self.chosen.saturating_sub(1),
            Code::Down | Code::Tab => self.chosen = (self.chosen + 1).min(last),
            Code::PageUp => self.chosen = self.chosen.saturating_sub(model.page()),
            Code::PageDown => self.chosen = (self.chosen + model.page()).min(last),
            _ if typed(&mut self.line, key) => self.chosen = 0,
            _ => {}
        }
        Outcome::Open
    }
}

/// Does what was chosen, going to its screen first.
pub fn run(model: &mut Model, binding: &'static Binding) -> Vec<Effect> {
    let mut effects = Vec::new();
    if let Some(screen) = Screen::of(binding.scope)
        && screen != model.screen
    {
        effects = update::show(model, screen);
    }
    effects.extend(update::run(model, binding.command));
    effects
}
