//! What stands against a spray that is said to be done: asked about once, with the reason and what
//! to do; what is answered is kept with the record. And why a task is skipped.

use super::{Field, Form, Kind, Purpose};
use crate::domain::outlook::Estimates;
use crate::domain::records;
use crate::domain::rules::Warning;
use crate::domain::season::{BlockId, Record, TaskId};
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::screen::board::marks;
use crate::tui::text;

/// The field that asks why.
pub(super) const ANYWAY: &str = "anyway";
/// Columns of what is told above the field.
const COLUMNS: usize = 70;
/// Lines of it at most: the field and the keys must stay in view on 24 rows.
const MOST_LINES: usize = 12;

/// The field that asks why it was done anyway; not shown before something stands against it.
pub(super) fn field(text: &str) -> Field {
    let mut field = Field::new(
        ANYWAY,
        "Why anyway",
        "why it was done all the same; kept in the record with what is told above",
        Kind::Text,
        text,
    );
    field.is_shown = false;
    field
}

/// Every stop against a record that is to be kept.
pub(super) fn stops_of(model: &Model, record: &Record) -> Vec<Warning> {
    let none = Estimates::default();
    let estimates = model.estimates.as_ref().unwrap_or(&none);
    records::stops(&model.season, estimates, model.fits.as_ref(), record)
}

/// What is told: each stop and what to do.
fn lines(stops: &[Warning]) -> Vec<String> {
    let mut lines = Vec::new();
    let mut untold = 0;
    for stop in stops {
        let mut told = text::wrap(&format!("!! stop: {}", stop.message), COLUMNS);
        told.extend(text::wrap(&format!("Do: {}", stop.todo), COLUMNS));
        if lines.len() + told.len() > MOST_LINES && !lines.is_empty() {
            untold += 1;
        } else {
            lines.extend(told);
        }
    }
    if untold > 0 {
        lines.push(format!("and {} more", text::count(untold, "stop", "stops")));
    }
    lines
}

impl Form {
    /// Is it asking why something was done against a stop?
    pub(super) fn is_asking(&self) -> bool {
        self.asks
    }

    /// Leaves the question; the fields are there again.
    pub(super) fn stop_asking(&mut self, model: &Model) {
        self.asks = false;
        self.about.clear();
        self.fault = None;
        for field in &mut self.fields {
            field.is_shown = field.key != ANYWAY;
        }
        self.focus = 0;
        let _ = self.follow_spray(model);
    }

    /// Asks once; says whether the answer is still to come. Other stops than those told are told
    /// anew.
    pub(super) fn asks_why(&mut self, stops: &[Warning]) -> bool {
        if stops.is_empty() {
            return false;
        }
        let told = lines(stops);
        let is_told = self.asks && self.about == told;
        let answered = self.optional(ANYWAY).is_some();
        if is_told && answered {
            return false;
        }
        self.about = told;
        self.asks = true;
        for field in &mut self.fields {
            field.is_shown = field.key == ANYWAY;
        }
        self.focus = self
            .fields
            .iter()
            .position(|f| f.key == ANYWAY)
            .unwrap_or(0);
        self.fault = is_told.then(|| "write why it was done all the same".to_owned());
        true
    }

    /// The reason written, where something stood against it.
    pub(super) fn anyway(&self, stops: &[Warning]) -> Option<String> {
        self.optional(ANYWAY).filter(|_| !stops.is_empty())
    }

    /// What stands against what the form is about to keep.
    pub(super) fn stops(&self, model: &Model) -> Vec<Warning> {
        let found = match &self.purpose {
            Purpose::Spray(id) => match self.choice("how").as_str() {
                "done" => self.record_of_spray(model, id).map(|r| stops_of(model, &r)),
                "bare" => self.bare_record(model, id).map(|r| stops_of(model, &r)),
                _ => Ok(Vec::new()),
            },
            Purpose::Correct(id) => Ok(self.stops_of_correction(model, id)),
            Purpose::FinishMarked => self.past_day(model).map(|day| marks::stops(model, day)),
            _ => Ok(Vec::new()),
        };
        // What cannot be read yet is told by the form itself.
        found.unwrap_or_default()
    }

    fn bare_record(&self, model: &Model, id: &TaskId) -> Result<Record, String> {
        let day = self.past_day(model)?;
        let task = model.season.task(id).ok_or("the task is gone")?;
        Ok(records::bare(&model.season, task, day, model.now))
    }

    /// Asks why a task is skipped, or some of its blocks, or all that is marked.
    pub fn skip(model: &Model, title: &str, what: Vec<(TaskId, Vec<BlockId>)>) -> Self {
        let day = Field::new(
            "date",
            "Decided on",
            "today, yesterday, -2, sat, 14 feb",
            Kind::Day(model.today),
            "today",
        );
        let mut form = Self::new(
            format!("Skip: {title}"),
            Purpose::Skip(what),
            vec![why_skipped(), day],
        );
        form.about = vec!["The plan of next season remembers why.".to_owned()];
        form
    }

    pub(super) fn apply_skip(
        &self,
        model: &mut Model,
        what: &[(TaskId, Vec<BlockId>)],
    ) -> Result<Vec<Effect>, String> {
        let day = self.past_day(model)?;
        marks::skip_all(model, what, day, self.optional("why").as_deref())
    }
}

/// The field that asks why a task is skipped.
pub(super) fn why_skipped() -> Field {
    Field::new(
        "why",
        "Why skipped",
        "nothing seen, its window has closed, rain; may stay empty",
        Kind::Text,
        "",
    )
}
