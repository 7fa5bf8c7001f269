//! A form that was still open when the board ended without its owner's word: kept as plain words,
//! and opened again with them at the next start.

use super::{Form, Kind, Purpose};
use crate::domain::season::{BlockId, MaterialId, RecordId, SprayerId, TaskId};
use crate::tui::host::Draft;
use crate::tui::model::Model;

impl Form {
    /// The form in words that outlive the program; `None` where nothing of its user's stands in
    /// it, or where it means nothing later.
    pub fn draft(&self, model: &Model) -> Option<Draft> {
        let (purpose, subject) = named(&self.purpose)?;
        let draft = Draft {
            purpose: purpose.to_owned(),
            subject,
            title: self.title.clone(),
            fields: self
                .fields
                .iter()
                // The ticks stand in the field of the blocks.
                .filter(|f| f.key != super::ticks::TICK)
                .map(|f| match f.kind {
                    Kind::Choice(_) => (f.key.to_owned(), f.chosen()),
                    _ => (f.key.to_owned(), f.text()),
                })
                .collect(),
            focus: self.focus,
            ..Draft::here(model)
        };
        // The form as it opens, written into nowhere, is nothing to keep.
        let mut aside = model.clone();
        let fresh = Self::opened(&mut aside, &draft)?;
        let written = self
            .fields
            .iter()
            .zip(&fresh.fields)
            .any(|(now, then)| now.chosen() != then.chosen() || now.was_typed(then));
        written.then_some(draft)
    }

    /// Opens the form of a draft again with what was written; `None` where what it was about is
    /// gone.
    pub fn from_draft(model: &mut Model, draft: &Draft) -> Option<Self> {
        let mut form = Self::opened(model, draft)?;
        form.title.clone_from(&draft.title);
        form.came_back = true;
        for (key, text) in &draft.fields {
            if let Some(field) = form.fields.iter_mut().find(|f| f.key == key) {
                field.put(text);
            }
        }
        form.touched();
        form.go_to(draft.focus);
        Some(form)
    }

    fn opened(model: &mut Model, draft: &Draft) -> Option<Self> {
        let subject = draft.subject.as_str();
        let task = model.season.task(&TaskId::from(subject)).cloned();
        match draft.purpose.as_str() {
            "add" => Some(Self::add(model)),
            "edit" => task.map(|t| Self::edit(model, &t)),
            "finish" => task.and_then(|t| Self::finish(model, &t)),
            "move" => task.and_then(|t| Self::move_to(model, &t)),
            "notes" => task.and_then(|t| Self::notes(&t)),
            "quieten" => task.and_then(|t| Self::quieten(model, &t)),
            "leaf-drop" => Some(Self::leaf_drop(model)),
            "total" => Some(Self::total(model)),
            "buds" => Some(Self::buds(model)),
            "rain" => Some(Self::rain(model)),
            "begin" => Some(Self::begin(model)),
            "correct" => {
                let id = RecordId::from(subject);
                let record = model.season.records.iter().find(|r| r.id == id)?;
                Some(Self::correct(model, record))
            }
            "seen" => {
                let block = model.season.block(&BlockId::from(subject))?;
                Some(Self::seen_on(model, block, None))
            }
            "label" => {
                let material = model.season.material(&MaterialId::from(subject))?;
                Some(Self::label(material))
            }
            "add-material" => Some(Self::add_material(model)),
            "stock" => {
                let material = model.season.material(&MaterialId::from(subject))?;
                Some(Self::stock(material))
            }
            "calibrate" => {
                let id = SprayerId::from(subject);
                let sprayer = model.season.sprayers.iter().find(|s| s.id == id)?;
                Some(Self::calibrate(model, sprayer))
            }
            _ => None,
        }
    }
}

/// A purpose by a name and what it is about. Where to write a file, and what to do about a
/// failed save, are questions of the moment.
fn named(purpose: &Purpose) -> Option<(&'static str, String)> {
    Some(match purpose {
        Purpose::Add => ("add", String::new()),
        Purpose::Edit(id) => ("edit", id.to_string()),
        Purpose::Finish(id) | Purpose::Spray(id) => ("finish", id.to_string()),
        Purpose::MoveTo(id) => ("move", id.to_string()),
        Purpose::Notes(id) => ("notes", id.to_string()),
        Purpose::Quieten(id) => ("quieten", id.to_string()),
        Purpose::LeafDrop => ("leaf-drop", String::new()),
        Purpose::Total => ("total", String::new()),
        Purpose::Buds => ("buds", String::new()),
        Purpose::Rain => ("rain", String::new()),
        Purpose::Begin => ("begin", String::new()),
        Purpose::Correct(id) => ("correct", id.to_string()),
        Purpose::Seen(id) => ("seen", id.to_string()),
        Purpose::Label(id) => ("label", id.to_string()),
        Purpose::AddMaterial => ("add-material", String::new()),
        Purpose::Stock(id) => ("stock", id.to_string()),
        Purpose::Calibrate(id) => ("calibrate", id.to_string()),
        Purpose::LabelRead
        | Purpose::SetUp(_)
        | Purpose::MoveMarked
        | Purpose::FinishMarked
        | Purpose::Skip(_)
        | Purpose::Narrow
        | Purpose::Ledger
        | Purpose::Keep
        | Purpose::NotSaved
        | Purpose::KeptWork(_)
        | Purpose::Versions(_)
        | Purpose::EndReentry(_)
        | Purpose::QuietenHere(_)
        | Purpose::Weather(_)
        | Purpose::Sheet => return None,
    })
}
