//! What opens above a screen: one at a time, and it gets the keys first.

pub mod delay;
pub mod finder;

use super::action::{Command, Effect};
use super::form::{Form, Outcome, Purpose};
use super::key::{Code, Key};
use super::keymap::Scope;
use super::line::{Line, Typed};
use super::model::Model;
use super::screen::{self, Screen};
use super::update;
use delay::DelayView;
use finder::Finder;

/// What is open above the screen.
#[derive(Debug, Clone)]
pub enum Overlay {
    /// The keys that work here, scrolled by so many lines.
    Help(usize),
    /// Every action by its words.
    Finder(Finder),
    /// Everything about the chosen task, scrolled by so many lines.
    Details(usize),
    /// Everything about the estimate in view, scrolled by so many lines.
    Why(usize),
    /// Words to look for.
    Find(Line),
    /// A form.
    Form(Form),
    /// The rain delay.
    Delay(Box<DelayView>),
}

impl Overlay {
    /// Asks for words to look for.
    pub fn find() -> Self {
        Self::Find(Line::default())
    }

    /// Where its keys are looked up.
    pub fn scopes(&self) -> &'static [Scope] {
        match self {
            Self::Help(_) | Self::Why(_) => &[Scope::Moving, Scope::Everywhere],
            Self::Details(_) => &[Scope::Board, Scope::Moving, Scope::Everywhere],
            Self::Finder(_) | Self::Find(_) => &[Scope::Moving],
            Self::Form(_) => &[Scope::Form],
            Self::Delay(_) => &[Scope::Delay],
        }
    }
}

/// Gives a key to what is open.
pub fn key(model: &mut Model, mut overlay: Overlay, key: Key) -> Vec<Effect> {
    match &mut overlay {
        Overlay::Form(form) => match form.key(model, key) {
            Outcome::Open => model.overlay = Some(overlay),
            Outcome::Ask(effects) => {
                model.overlay = Some(overlay);
                return effects;
            }
            Outcome::Drop if form.purpose == Purpose::Begin && model.season.practice => {
                let keys = [Command::Tour, Command::Begin].map(|c| model.keymap.first(c));
                model.say(format!(
                    "practice, invented: {} takes a tour of five steps, {} begins your own season",
                    keys[0], keys[1]
                ));
            }
            Outcome::Drop => model.say("nothing changed"),
            Outcome::Done(effects) => return effects,
        },
        Overlay::Find(line) => {
            if key.code == Code::Enter {
                model.find = line.text();
                match model.screen {
                    Screen::Board => screen::board::find(model, false),
                    Screen::Swell => {
                        screen::swell::find(model, 1);
                        model.swell.settle(&model.season);
                        return screen::swell::want_curves(model);
                    }
                    Screen::Hours => screen::hours::find(model, false),
                    Screen::Mix => screen::mix::find(model, false),
                    Screen::Records => screen::records::find(model, false),
                    Screen::Review | Screen::Years | Screen::RunSheet => {
                        model.found = None;
                        screen::page::find(model, false);
                    }
                    _ => screen::spray_work::find(model, false),
                }
            } else if key.code != Code::Esc && key != Key::ctrl('c') {
                line.key(key);
                model.overlay = Some(overlay);
            }
        }
        Overlay::Finder(finder) => match finder.key(model, key) {
            finder::Outcome::Open => model.overlay = Some(overlay),
            finder::Outcome::Drop => {}
            finder::Outcome::Run(binding) => return finder::run(model, binding),
        },
        Overlay::Delay(delay) => match delay.key(model, key) {
            Outcome::Open => model.overlay = Some(overlay),
            Outcome::Drop => model.say("nothing moved"),
            Outcome::Done(effects) | Outcome::Ask(effects) => return effects,
        },
        Overlay::Help(_) | Overlay::Details(_) | Overlay::Why(_) => {
            return list_key(model, overlay, key);
        }
    }
    Vec::new()
}

/// Gives pasted text to what is open; says whether it was wanted.
pub fn paste(model: &mut Model, mut overlay: Overlay, text: &str) -> bool {
    let taken = match &mut overlay {
        Overlay::Form(form) => form.paste(text),
        Overlay::Find(line) => {
            line.insert(text);
            true
        }
        Overlay::Finder(finder) => {
            finder.line.insert(text);
            true
        }
        _ => false,
    };
    model.overlay = Some(overlay);
    taken
}

/// Help, details and reasons: scrolled with the keys for moving about.
fn list_key(model: &mut Model, mut overlay: Overlay, key: Key) -> Vec<Effect> {
    let command = model.keymap.command(overlay.scopes(), key);
    let page = model.page();
    let details = matches!(overlay, Overlay::Details(_));
    if let Overlay::Help(top) | Overlay::Details(top) | Overlay::Why(top) = &mut overlay {
        match command {
            Some(Command::Up) => *top = top.saturating_sub(1),
            Some(Command::Down) => *top += 1,
            Some(Command::PageUp) => *top = top.saturating_sub(page),
            Some(Command::PageDown) => *top += page,
            Some(Command::First) => *top = 0,
            Some(Command::Last) => *top = usize::MAX / 2,
            Some(Command::Quit | Command::Back | Command::Open | Command::Help) => {
                return Vec::new();
            }
            // Everything that can be done to a card can be done to it here.
            Some(command) => {
                let effects = update::run(model, command);
                if details && model.overlay.is_none() && model.screen == Screen::Board {
                    model.overlay = Some(Overlay::Details(0));
                }
                return effects;
            }
            None => update::unknown(model),
        }
    }
    // How far one can scroll depends on how the lines fall: the view says.
    model.overlay = Some(overlay);
    Vec::new()
}

/// Types a key into a line; says whether anything changed.
pub(super) fn typed(line: &mut Line, key: Key) -> bool {
    line.key(key) == Typed::Changed
}
