//! A card on its way along its track: where it would stand and what that changes.

use super::chosen;
use crate::domain::rules::{Level, short};
use crate::domain::season::edit;
use crate::tui::action::Effect;
use crate::tui::model::Model;
use chrono::{NaiveDate, TimeDelta};

/// A card on its way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moving {
    /// The day it would stand on.
    pub to: NaiveDate,
    appear: Vec<String>,
    clear: Vec<String>,
    stays: Option<String>,
}

impl Moving {
    /// What is new and cleared there, and which level stays.
    pub fn words(&self) -> String {
        let changes = match (self.clear.as_slice(), self.appear.as_slice()) {
            ([], []) => "no new warning".to_owned(),
            (clear, []) => format!("{} clears, nothing appears", clear.join(", ")),
            ([], appear) => format!("{} appears", appear.join(", ")),
            (clear, appear) => {
                format!("{} clears, {} appears", clear.join(", "), appear.join(", "))
            }
        };
        match &self.stays {
            Some(stays) => format!("{changes}; {stays}"),
            None => changes,
        }
    }
}

/// Moves the marked card by so many days along its track; it is kept only when it is accepted.
pub fn step(model: &mut Model, days: i64) {
    let Some(task) = chosen(model).filter(|t| t.state.is_open()) else {
        model.say("Only an open task can be moved.");
        return;
    };
    let from = model.board.moving.as_ref().map_or(task.date, |m| m.to);
    let to = TimeDelta::try_days(days).and_then(|d| from.checked_add_signed(d));
    let Some(to) = to else { return };
    if to == task.date {
        model.board.moving = None;
        return;
    }
    let after = edit::move_task(&model.season, &task.id, to, model.today, "");
    let Ok(after) = after else { return };
    let there = model.outlook_of(&after);
    let changes = model.outlook.changes_to(&there);
    let id = task.id.clone();
    let stays = there.stays(&[id]).filter(|left| !left.of_plan);
    let said = |warnings: &[crate::domain::rules::Warning]| {
        let mut out: Vec<String> = Vec::new();
        for warning in warnings.iter().filter(|w| w.level > Level::Note) {
            let words = format!("{} {}", short::level(warning.level), short::tag(warning));
            if !out.contains(&words) {
                out.push(words);
            }
        }
        out
    };
    model.board.moving = Some(Moving {
        to,
        appear: said(&changes.appeared),
        clear: said(&changes.cleared),
        stays: stays.map(|left| format!("still {} {}", left.count, short::level(left.level))),
    });
}

/// Keeps the card where it is being moved to.
pub fn keep(model: &mut Model) -> Vec<Effect> {
    let Some(moving) = model.board.moving.take() else {
        return Vec::new();
    };
    let Some(date) = chosen(model).map(|t| t.date) else {
        return Vec::new();
    };
    super::shift(model, (moving.to - date).num_days())
}
