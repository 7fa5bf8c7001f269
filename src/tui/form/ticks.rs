//! The blocks of a spray, ticked one by one: which of them were done. The ticks open under the
//! field that names the blocks and write into it; what is typed there moves the ticks.

use super::{Field, Form, Kind, names};
use crate::domain::season::{Block, Season};
use crate::tui::key::Key;
use crate::tui::model::Model;
use crate::tui::text;

/// The key of a ticked block's field; which block it is says its label.
pub(super) const TICK: &str = "tick";
/// Nothing is ticked: no block bears this name.
const NONE: &str = "-";

/// A field for each block, not shown until they are asked for.
pub(super) fn fields(blocks: &[&Block]) -> Vec<Field> {
    let options = || {
        Kind::Choice(vec![
            ("no".to_owned(), "[ ]".to_owned()),
            ("yes".to_owned(), "[x] done".to_owned()),
        ])
    };
    blocks
        .iter()
        .map(|b| {
            let trees = text::count(i64::from(b.trees), "tree", "trees");
            let help = format!("space ticks it: {}, {trees}", b.species.words());
            let mut field = Field::new(TICK, b.name.clone(), help, options(), "no");
            field.is_shown = false;
            field
        })
        .collect()
}

impl Form {
    /// Are the blocks ticked one by one?
    pub(super) fn is_ticking(&self) -> bool {
        self.fields.iter().any(|f| f.key == TICK && f.is_shown)
    }

    /// Opens the ticks with a blank on the field of the blocks; says whether it did.
    pub(super) fn opens_ticks(&mut self, key: Key) -> bool {
        let on_blocks = self
            .fields
            .get(self.focus)
            .is_some_and(|f| f.kind == Kind::Part && f.is_untouched());
        let first = self.fields.iter().position(|f| f.key == TICK);
        let (Some(first), true) = (first, on_blocks && key.typed() == Some(' ')) else {
            return false;
        };
        for field in self.fields.iter_mut().filter(|f| f.key == TICK) {
            field.is_shown = true;
            field.put("no");
        }
        self.write_ticks();
        self.focus = first;
        true
    }

    /// Is the cursor on a tick?
    pub(super) fn is_on_tick(&self) -> bool {
        self.fields.get(self.focus).is_some_and(|f| f.key == TICK)
    }

    /// Writes the names of the ticked blocks into the field above.
    pub(super) fn write_ticks(&mut self) {
        let ticked: Vec<String> = self
            .fields
            .iter()
            .filter(|f| f.key == TICK && f.chosen() == "yes")
            .map(|f| f.label.to_string())
            .collect();
        let text = if ticked.is_empty() {
            NONE.to_owned()
        } else {
            ticked.join(", ")
        };
        for field in self.fields.iter_mut().filter(|f| f.key == "blocks") {
            field.put(&text);
        }
    }

    /// Moves the ticks to the blocks that are typed.
    pub(super) fn read_ticks(&mut self, model: &Model) {
        let Ok(named) = names::blocks(&self.text("blocks"), &model.season) else {
            return;
        };
        let is_named = |season: &Season, name: &str| {
            let found = season.blocks.iter().find(|b| b.name == name);
            named.is_empty() || found.is_some_and(|b| named.contains(&b.id))
        };
        for field in self.fields.iter_mut().filter(|f| f.key == TICK) {
            let is_done = is_named(&model.season, &field.label);
            field.put(if is_done { "yes" } else { "no" });
        }
    }

    /// Nothing ticked is no part of a spray.
    pub(super) fn is_nothing_ticked(&self) -> bool {
        self.is_ticking() && self.text("blocks").trim() == NONE
    }
}
