//! The buy list: what is short over all sprays still to do.

pub mod view;

use super::spray_work::moved;
use crate::domain::mix::buy::{self, BuyList, BuyRow};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// What is chosen on the buy list, and the list.
#[derive(Debug, Clone, Default)]
pub struct Buy {
    /// The list.
    pub list: BuyList,
    /// The place of the row chosen.
    pub at: usize,
    made: Option<u64>,
}

impl Buy {
    /// The row chosen.
    pub fn row(&self) -> Option<&BuyRow> {
        self.list.rows.get(self.at)
    }
}

/// Works the list out anew, if something changed.
pub fn refresh(model: &mut Model) {
    if model.spray.buy.made == Some(model.revision) {
        return;
    }
    let list = buy::list(&model.season, model.today);
    let buy = &mut model.spray.buy;
    buy.at = buy.at.min(list.rows.len().saturating_sub(1));
    buy.list = list;
    buy.made = Some(model.revision);
}

/// The lines as text, for looking through, and the one chosen.
pub fn texts(buy: &Buy) -> (Vec<String>, usize) {
    (
        buy.list.rows.iter().map(|r| r.name.clone()).collect(),
        buy.at,
    )
}

/// Answers a command on the buy list; `None` where it is not for it.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let step = (model.count.unwrap_or(1) as usize, (model.page() / 2).max(1));
    let buy = &mut model.spray.buy;
    if let Some(to) = moved(buy.at, buy.list.rows.len(), command, step) {
        buy.at = to;
        return Some(Vec::new());
    }
    match command {
        Command::Stock | Command::Edit | Command::Open => {
            let material = buy.row().and_then(|r| model.season.material(&r.material));
            match material {
                Some(m) => model.overlay = Some(Overlay::Form(Form::stock(m))),
                None => model.say("no open spray needs anything"),
            }
        }
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => super::spray_work::find(model, false),
        Command::FindPrevious => super::spray_work::find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}
