//! A tour of five steps through a season, each done with the user's own keys.

use super::action::Command;
use super::model::Model;
use super::overlay::Overlay;
use super::screen::{Screen, board};
use crate::domain::season::TaskKind;

/// How far a tour is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tour {
    step: usize,
}

/// One step: what to do, and how it is known to be done.
struct Step {
    words: fn(&Model) -> String,
    is_done: fn(&Model) -> bool,
}

static STEPS: [Step; 5] = [
    Step {
        words: |m| {
            format!(
                "{} goes from one due task to the next: choose a spray still to come",
                m.keymap.first(Command::NextDue)
            )
        },
        is_done: |m| {
            board::chosen(m).is_some_and(|t| {
                t.kind == TaskKind::Spray && t.state.is_open() && t.date >= m.today
            })
        },
    },
    Step {
        words: |m| {
            format!(
                "{} opens it: what, where, every warning with its why",
                m.keymap.first(Command::Open)
            )
        },
        is_done: |m| matches!(m.overlay, Some(Overlay::Details(_))),
    },
    Step {
        words: |m| {
            format!(
                "{} shows which hours of the coming days are fit for it",
                m.keymap.first(Command::ShowHours)
            )
        },
        is_done: |m| m.screen == Screen::Hours,
    },
    Step {
        words: |m| {
            format!(
                "{} shows when the buds will swell, with its range",
                m.keymap.first(Command::ShowSwell)
            )
        },
        is_done: |m| m.screen == Screen::Swell,
    },
    Step {
        words: |m| {
            format!(
                "{} back to the board, {} rain delay, {} into fit hours, {} accepts",
                m.keymap.first(Command::ShowBoard),
                m.keymap.first(Command::Delay),
                m.keymap.first(Command::FitHours),
                m.keymap.first(Command::Accept)
            )
        },
        is_done: |m| {
            m.history
                .last_words()
                .is_some_and(|w| w.starts_with("rain delay"))
        },
    },
];

impl Tour {
    /// What to do now, in one line.
    pub fn words(self, model: &Model) -> String {
        let Some(step) = STEPS.get(self.step) else {
            return String::new();
        };
        format!(
            "tour {} of {}: {}",
            self.step + 1,
            STEPS.len(),
            (step.words)(model)
        )
    }
}

/// Begins the tour, or ends it.
pub fn switch(model: &mut Model) {
    if model.tour.take().is_some() {
        model.say("the tour is over");
        return;
    }
    model.screen = Screen::Board;
    model.overlay = None;
    model.tour = Some(Tour::default());
}

/// Goes on where the step was done.
pub fn go_on(model: &mut Model) {
    let Some(tour) = model.tour else { return };
    if !STEPS.get(tour.step).is_some_and(|s| (s.is_done)(model)) {
        return;
    }
    let next = tour.step + 1;
    if next < STEPS.len() {
        model.tour = Some(Tour { step: next });
        return;
    }
    model.tour = None;
    let keys = [Command::Undo, Command::Begin, Command::Help].map(|c| model.keymap.first(c));
    model.say(format!(
        "that was the tour: {} undoes the delay, {} begins your own season, {} shows the keys",
        keys[0], keys[1], keys[2]
    ));
}
