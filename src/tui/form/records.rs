//! Forms on records that are there: correct one, end a re-entry.

use super::measure::{self, Measure};
use super::spray::{fields_of, keep};
use super::{Field, Form, Kind, Purpose, against};
use crate::domain::records;
use crate::domain::rules::Warning;
use crate::domain::season::{Record, RecordId};
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::words;

impl Form {
    /// Corrects a record: what is kept is a new one that names it.
    pub fn correct(model: &Model, record: &Record) -> Self {
        let mut fields = vec![
            Field::new(
                "why",
                "Why",
                "what was wrong; the old record stays and is named",
                Kind::Required,
                "",
            ),
            Field::new(
                "date",
                "When",
                "the day it was sprayed: 14 feb, -2",
                Kind::Day(model.today),
                &record.date.to_string(),
            ),
        ];
        fields.extend(fields_of(&model.season, record));
        fields.push(against::field(record.anyway.as_deref().unwrap_or_default()));
        let title = format!("Correct record {}", record.id);
        Self::new(title, Purpose::Correct(record.id.clone()), fields)
    }

    pub(super) fn apply_correct(
        &self,
        model: &mut Model,
        id: &RecordId,
    ) -> Result<Vec<Effect>, String> {
        let date = self.past_day(model)?;
        let old = model
            .season
            .records
            .iter()
            .find(|r| &r.id == id)
            .ok_or("the record is gone")?;
        let mut record = self.fill(model, old.clone())?;
        if record == *old {
            return Err("nothing is different from the old record".to_owned());
        }
        let changed = judged_anew(old, &record);
        if changed {
            let stops = against::stops_of(model, &record);
            record.anyway = self.anyway(&stops);
            record.judged = records::judgements(&stops);
        }
        let why = self.text("why");
        let kept = records::correct(&model.season, id, record, &why, model.today)
            .map_err(|e| e.to_string())?;
        let words = format!("record {id} of {} corrected", words::weekday_day(date));
        Ok(keep(model, kept, &words))
    }

    /// What stands against a record as it is corrected; a slip in a name is not judged anew.
    pub(super) fn stops_of_correction(&self, model: &Model, id: &RecordId) -> Vec<Warning> {
        let old = model.season.records.iter().find(|r| &r.id == id);
        let new = old.and_then(|old| self.fill(model, old.clone()).ok());
        match (old, new) {
            (Some(old), Some(new)) if judged_anew(old, &new) => against::stops_of(model, &new)
                .into_iter()
                .filter(|w| old.judged.iter().all(|j| j.rule != w.rule))
                .collect(),
            _ => Vec::new(),
        }
    }

    /// Ends a re-entry: somebody saw that it was dry.
    pub fn end_reentry(model: &Model, record: &Record) -> Self {
        let fields = vec![
            Field::new(
                "who",
                "Seen by",
                "who saw that it was dry; right completes a name on record",
                Kind::Person(false),
                "",
            ),
            Field::new(
                "date",
                "On",
                "today, yesterday, -2",
                Kind::Day(model.today),
                "today",
            ),
            Field::new(
                "at",
                "At",
                "time of day: 14:30; not before the label's hours are over",
                Kind::Measured(Measure::Clock),
                &measure::clock_text(model.now),
            ),
        ];
        let title = format!("Dry: end re-entry after record {}", record.id);
        Self::new(title, Purpose::EndReentry(record.id.clone()), fields)
    }

    pub(super) fn apply_end_reentry(
        &self,
        model: &mut Model,
        id: &RecordId,
    ) -> Result<Vec<Effect>, String> {
        let day = self.past_day(model)?;
        let at = day.and_time(measure::clock(&self.text("at"))?);
        let who = self.text("who");
        let kept = records::end_reentry(&model.season, id, at, &who, model.now)
            .map_err(|e| e.to_string())?;
        let new = kept.record.clone();
        let words = format!(
            "re-entry ended {} {}, dry, seen by {}",
            words::weekday_day(day),
            measure::clock_text(at),
            who.trim()
        );
        let effects = model.edit(kept.season, &words);
        model.say(format!("{words} (record {new})"));
        Ok(effects)
    }
}

/// Did a correction change what a spray is judged by?
fn judged_anew(old: &Record, new: &Record) -> bool {
    let of = |r: &Record| {
        let used: Vec<_> = r
            .materials
            .iter()
            .map(|m| (m.material.clone(), m.total))
            .collect();
        (
            r.date,
            r.started,
            r.blocks.clone(),
            r.volume,
            r.area,
            r.temperature,
            used,
        )
    };
    of(old) != of(new)
}
