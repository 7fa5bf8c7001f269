//! Forms on all that is marked on the board, and on the words that narrow its lists.

use super::measure;
use super::{Field, Form, Kind, Purpose};
use crate::domain::ledger::Filter;
use crate::domain::season::SprayerId;
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::screen::board::{self, farm, marks};
use crate::tui::screen::ledger;
use crate::tui::text;
use chrono::Timelike as _;

impl Form {
    /// Moves all that is marked, or gives it to a sprayer.
    pub fn move_marked(model: &Model, many: usize) -> Self {
        let mut sprayers = vec![(String::new(), "each its own".to_owned())];
        let known = model.season.sprayers.iter();
        sprayers.extend(known.map(|s| (s.id.to_string(), s.name.clone())));
        let fields = vec![
            Field::new(
                "date",
                "To",
                "+3, sat, 14 feb, 2027-02-14; empty: each stays on its day",
                Kind::DayOrNone(model.today),
                "",
            ),
            Field::new(
                "hour",
                "Begin",
                "an hour of the day, 09:00; may stay empty",
                Kind::Text,
                "",
            ),
            Field::new(
                "sprayer",
                "Sprayer",
                "left and right change it",
                Kind::Choice(sprayers),
                "",
            ),
        ];
        Self::new(
            format!("Move what is marked ({many})"),
            Purpose::MoveMarked,
            fields,
        )
    }

    pub(super) fn apply_move_marked(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let day = match self.optional("date") {
            Some(_) => Some(self.day("date", model)?),
            None => None,
        };
        let hour = match self.optional("hour") {
            Some(text) => Some(measure::clock(&text)?.hour()),
            None => None,
        };
        let sprayer = self.choice("sprayer");
        let sprayer = (!sprayer.is_empty()).then(|| SprayerId::from(sprayer.as_str()));
        if day.is_none() && hour.is_none() && sprayer.is_none() {
            return Err("write a day, an hour, or choose a sprayer".to_owned());
        }
        marks::move_all(model, day, hour, sprayer.as_ref())
    }

    /// Finishes all that is marked.
    pub fn finish_marked(model: &Model, many: usize) -> Self {
        let fields = vec![
            Field::new(
                "date",
                "When",
                "today, yesterday, -2, sat, 14 feb",
                Kind::Day(model.today),
                "today",
            ),
            Field::new(
                "who",
                "Who",
                "who sprayed, for the records; may stay empty",
                Kind::Person(true),
                "",
            ),
            super::against::field(""),
        ];
        Self::new(
            format!("Done: what is marked ({many})"),
            Purpose::FinishMarked,
            fields,
        )
    }

    pub(super) fn apply_finish_marked(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let day = self.past_day(model)?;
        let who = self.optional("who");
        marks::finish_all(
            model,
            day,
            who.as_deref(),
            self.optional(super::against::ANYWAY),
        )
    }

    /// Asks for the words that narrow the lists of the board.
    pub fn narrow(model: &Model) -> Self {
        let field = Field::new(
            "words",
            "Words",
            "peach copper open; closing; tue; a sprayer; empty shows everything",
            Kind::Text,
            &model.board.words,
        );
        Self::new(
            "Show only what these words fit",
            Purpose::Narrow,
            vec![field],
        )
    }

    pub(super) fn apply_narrow(&self, model: &mut Model) -> Vec<Effect> {
        model.board.words = self.text("words").trim().to_lowercase();
        model.board.table = farm::Table::default();
        farm::refresh(model);
        board::to_shown(model);
        if model.board.words.is_empty() {
            model.say("Everything is shown.");
        } else {
            let n = model.board.table.rows.len() as i64;
            let blocks = text::count(n, "block", "blocks");
            let words = format!("{blocks} fit '{}'", model.board.words);
            model.say(words);
        }
        Vec::new()
    }

    /// Asks what the ledger is narrowed to.
    pub fn ledger(model: &Model) -> Self {
        let filter = &model.ledger.filter;
        let text = |t: &Option<String>| t.clone().unwrap_or_default();
        let day = |d: Option<chrono::NaiveDate>| d.map_or_else(String::new, |d| d.to_string());
        let field = |key, label: &'static str, help: &'static str, kind, text: String| {
            Field::new(key, label, help, kind, &text)
        };
        let days = Kind::DayOrNone(model.today);
        let fields = vec![
            field(
                "block",
                "Blocks",
                "7, 1-10, peaches; empty means all",
                Kind::Text,
                text(&filter.blocks),
            ),
            field(
                "active",
                "Active",
                "copper, oil, or a material; empty means all",
                Kind::Text,
                text(&filter.active),
            ),
            field(
                "who",
                "Who",
                "who sprayed; empty means all",
                Kind::Person(true),
                text(&filter.who),
            ),
            field(
                "from",
                "From",
                "the first day, 2024-11-01; may stay empty",
                days.clone(),
                day(filter.from),
            ),
            field(
                "to",
                "To",
                "the last day; may stay empty",
                days,
                day(filter.to),
            ),
        ];
        Self::new("Narrow the ledger", Purpose::Ledger, fields)
    }

    pub(super) fn apply_ledger(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let day = |key| match self.optional(key) {
            Some(_) => self.day(key, model).map(Some),
            None => Ok(None),
        };
        let filter = Filter {
            blocks: self.optional("block"),
            active: self.optional("active"),
            who: self.optional("who"),
            from: day("from")?,
            to: day("to")?,
        };
        ledger::ask(model, filter)?;
        Ok(Vec::new())
    }
}
