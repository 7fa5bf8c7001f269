//! The sprayers: what each puts out, when it was measured, how its nozzles are.

pub mod view;

use super::spray_work::moved;
use crate::domain::season::{Calibration, Season, Sprayer, edit};
use crate::tui::action::{Command, Effect};
use crate::tui::form::{Form, SetUp};
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// What is chosen among the sprayers.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sprayers {
    /// The place of the sprayer chosen.
    pub at: usize,
}

/// The sprayer chosen.
pub fn chosen(model: &Model) -> Option<&Sprayer> {
    model.season.sprayers.get(model.spray.sprayers.at)
}

/// Its calibrations, the latest first.
pub fn calibrations(sprayer: &Sprayer) -> Vec<&Calibration> {
    let mut all: Vec<&Calibration> = sprayer.calibration.iter().collect();
    all.sort_by_key(|c| std::cmp::Reverse(c.date));
    all
}

/// Puts the choice back onto what exists.
pub fn settle(model: &mut Model) {
    let last = model.season.sprayers.len().saturating_sub(1);
    let at = &mut model.spray.sprayers.at;
    *at = (*at).min(last);
}

/// The lines as text, for looking through, and the one chosen.
pub fn texts(season: &Season, sprayers: &Sprayers) -> (Vec<String>, usize) {
    let all = season.sprayers.iter().map(|s| s.name.clone());
    (all.collect(), sprayers.at)
}

fn set_up(model: &mut Model, what: SetUp) {
    model.overlay = Some(Overlay::Form(Form::set_up(model, what)));
}

/// Answers a command among the sprayers; `None` where it is not for them.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let step = (model.count.unwrap_or(1) as usize, (model.page() / 2).max(1));
    let items = model.season.sprayers.len();
    if let Some(to) = moved(model.spray.sprayers.at, items, command, step) {
        model.spray.sprayers.at = to;
        return Some(Vec::new());
    }
    match command {
        Command::Calibrate | Command::Open => match chosen(model) {
            Some(sprayer) => {
                model.overlay = Some(Overlay::Form(Form::calibrate(model, sprayer)));
            }
            None => model.say("there is no sprayer yet: add one"),
        },
        Command::Add => set_up(model, SetUp::Sprayer(None)),
        Command::AddPerson => set_up(model, SetUp::Person(None)),
        Command::EditSprayer => match chosen(model).map(|s| s.id.clone()) {
            Some(id) => set_up(model, SetUp::Sprayer(Some(id))),
            None => set_up(model, SetUp::Sprayer(None)),
        },
        Command::Delete => {
            if let Some(id) = chosen(model).map(|s| s.id.clone()) {
                let after = edit::retire_sprayer(&model.season, &id);
                return Some(model.try_edit(after, &format!("taken away: {id}")));
            }
        }
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => super::spray_work::find(model, false),
        Command::FindPrevious => super::spray_work::find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}
