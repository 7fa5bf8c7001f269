//! The materials: a list, and what the label of the chosen one says.

pub mod view;

use super::spray_work::moved;
use crate::domain::season::{Material, Season, edit};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// What is chosen among the materials.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Materials {
    /// The place of the material chosen.
    pub at: usize,
}

/// The material chosen.
pub fn chosen(model: &Model) -> Option<&Material> {
    model.season.materials.get(model.spray.materials.at)
}

/// Puts the choice back onto what exists.
pub fn settle(model: &mut Model) {
    let last = model.season.materials.len().saturating_sub(1);
    let at = &mut model.spray.materials.at;
    *at = (*at).min(last);
}

/// The lines as text, for looking through, and the one chosen.
pub fn texts(season: &Season, materials: &Materials) -> (Vec<String>, usize) {
    let all = season
        .materials
        .iter()
        .map(|m| format!("{} {}", m.name, m.active));
    (all.collect(), materials.at)
}

/// Answers a command among the materials; `None` where it is not for them.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let step = (model.count.unwrap_or(1) as usize, (model.page() / 2).max(1));
    let items = model.season.materials.len();
    if let Some(to) = moved(model.spray.materials.at, items, command, step) {
        model.spray.materials.at = to;
        return Some(Vec::new());
    }
    if command == Command::Add {
        model.overlay = Some(Overlay::Form(Form::add_material(model)));
        return Some(Vec::new());
    }
    let needs_one = matches!(
        command,
        Command::Edit | Command::Stock | Command::LabelRead | Command::Delete | Command::Open
    );
    let material = chosen(model).cloned();
    match (command, material) {
        (_, None) if needs_one => {
            model.say("there are no materials yet; a adds one from a starting point");
        }
        (Command::Edit, Some(m)) => {
            model.overlay = Some(Overlay::Form(Form::label(&m)));
        }
        (Command::Stock, Some(m)) => {
            model.overlay = Some(Overlay::Form(Form::stock(&m)));
        }
        (Command::LabelRead, Some(m)) => {
            model.overlay = Form::label_read_of(model, |id| *id == m.id).map(Overlay::Form);
        }
        (Command::Delete, Some(m)) => {
            let undo = model.keymap.first(Command::Undo);
            let words = format!("taken away: {}", m.name);
            let after = edit::delete_material(&model.season, &m.id);
            let is_done = after.is_ok();
            let effects = model.try_edit(after, &words);
            if is_done {
                model.say(format!("{words}; {undo} brings it back"));
            }
            return Some(effects);
        }
        (Command::Open, _) => model.overlay = Some(Overlay::Why(0)),
        (Command::Find, _) => model.overlay = Some(Overlay::find()),
        (Command::FindNext, _) => super::spray_work::find(model, false),
        (Command::FindPrevious, _) => super::spray_work::find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}
