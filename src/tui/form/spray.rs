//! The record of a spray as a form: filled in as far as anything is known.

mod fields;

use fields::PARTS;
pub(super) use fields::fields_of;

use super::{Field, Form, Kind, Purpose, against, measure, names, ticks};
use crate::domain::records::{self, Conditions, Missing};
use crate::domain::season::{Block, Record, SprayerId, Task, TaskId, TaskState, edit};
use crate::domain::units::plain_number;
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::words;
use chrono::{NaiveDate, NaiveDateTime};

/// Fields that go with the blocks, beside the amounts of each material.
const OF_BLOCKS: [&str; 6] = ["volume", "crops", "area", "trees", "mixing", "stage"];

/// Fields that only ask how and when.
const OF_ALL: [&str; 2] = ["how", "date"];

impl Form {
    /// Finishes a spray: the record is filled in from task, mix sheet and weather.
    pub(super) fn spray(model: &Model, task: &Task) -> Self {
        let (day, done) = match task.state {
            TaskState::Done(day) => (day, true),
            _ => (model.today, false),
        };
        let record = prefilled(model, task, day);
        let choice = |key: &str, words: &str| (key.to_owned(), words.to_owned());
        let mut how = vec![choice("done", "done, with its record")];
        if !done {
            how.push(choice("skipped", "skipped: left out on purpose"));
            how.push(choice("bare", "done, the record comes later"));
        }
        let date = if done {
            day.to_string()
        } else {
            "today".to_owned()
        };
        let mut fields = vec![
            Field::new(
                "how",
                "How",
                "left and right change it; enter keeps all as it stands",
                Kind::Choice(how),
                "done",
            ),
            Field::new(
                "date",
                "When",
                "today, yesterday, -2, sat, 14 feb",
                Kind::Day(model.today),
                &date,
            ),
        ];
        let mut asked = fields_of(&model.season, &record);
        if record.blocks.len() > 1
            && let Some(place) = asked.iter().position(|f| f.key == "blocks")
        {
            // A large spray is done in parts: which blocks is asked before all that hangs on them.
            let mut blocks = asked.remove(place);
            blocks.kind = Kind::Part;
            blocks.help =
                "those done: 1-5, peaches, all but 7; space ticks them; the rest stays to do"
                    .into();
            fields.push(blocks);
            let open = record.blocks.iter();
            let open: Vec<&Block> = open.filter_map(|id| model.season.block(id)).collect();
            fields.extend(ticks::fields(&open));
        }
        fields.extend(asked);
        let mut why = against::why_skipped();
        why.is_shown = false;
        fields.push(why);
        fields.push(against::field(task.why.as_deref().unwrap_or_default()));
        let title = format!("Finish: {}", task.title);
        Self::new(title, Purpose::Spray(task.id.clone()), fields)
    }

    /// The day and hours of the spray, where they are known.
    fn span(&self, model: &Model) -> Option<(NaiveDateTime, NaiveDateTime)> {
        let day = self.day("date", model).ok()?;
        let at = |key| {
            measure::clock(&self.text(key))
                .ok()
                .map(|t| day.and_time(t))
        };
        let (started, ended) = (at("started"), at("ended"));
        let from = started.or(ended)?;
        Some((from, ended.unwrap_or(from).max(from)))
    }

    /// Asks for the air of the hours written, and lets go of an end that was
    /// only "now" once another day is written.
    pub(super) fn follow_spray(&mut self, model: &Model) -> Vec<Effect> {
        if !matches!(self.purpose, Purpose::Spray(_)) {
            return Vec::new();
        }
        let how = self.choice("how");
        let spray = how == "done";
        let ticking = self.is_ticking();
        for field in &mut self.fields {
            field.is_shown = match field.key {
                ticks::TICK => spray && ticking && !self.asks,
                against::ANYWAY => self.asks,
                "why" => !spray && how == "skipped",
                key => !self.asks && (spray || OF_ALL.contains(&key)),
            };
        }
        let on_blocks = self
            .fields
            .get(self.focus)
            .is_some_and(|f| f.key == "blocks");
        if self.is_on_tick() {
            self.write_ticks();
        } else if on_blocks {
            self.read_ticks(model);
        }
        if self.is_on_tick() || on_blocks {
            self.follow_blocks(model);
        }
        let touched = self
            .fields
            .get(self.focus)
            .is_some_and(|f| ["date", "started", "ended"].contains(&f.key));
        if !touched {
            return Vec::new();
        }
        if let Ok(day) = self.day("date", model) {
            let now = if day == model.today {
                measure::clock_text(model.now)
            } else {
                String::new()
            };
            for field in self.fields.iter_mut().filter(|f| f.key == "ended") {
                field.propose(&now);
            }
        }
        self.wants_air(model)
    }

    /// What a form on a spray wants to know from the weather.
    pub fn wants_air(&self, model: &Model) -> Vec<Effect> {
        match (&self.purpose, self.span(model)) {
            (Purpose::Spray(_), Some((from, to))) => vec![Effect::Air(from, to)],
            _ => Vec::new(),
        }
    }

    /// The air of those hours: put where nothing was typed.
    pub fn take_air(&mut self, air: &Conditions, said: Option<&str>) {
        if !matches!(self.purpose, Purpose::Spray(_)) {
            return;
        }
        self.air_by_hours = air.temperature;
        let text = |v: Option<String>| v.unwrap_or_default();
        let known = [
            ("wind", text(air.wind.map(|w| w.to_string()))),
            ("wind-from", text(air.wind_from.clone())),
            ("temperature", text(air.temperature.map(|t| t.to_string()))),
            ("humidity", text(air.humidity_percent.map(plain_number))),
            ("sky", text(air.sky.clone())),
            ("rain", text(air.rain.clone())),
            ("notes", said.unwrap_or_default().to_owned()),
        ];
        for (key, text) in known {
            for field in self.fields.iter_mut().filter(|f| f.key == key) {
                field.propose(&text);
            }
        }
    }

    /// What the record would lack as it stands; `None` where there is no record.
    pub fn missing(&self, model: &Model) -> Option<Vec<Missing>> {
        let record = match &self.purpose {
            Purpose::Spray(id) if self.choice("how") == "done" => {
                let task = self.part(model, model.season.task(id)?).ok()?;
                let day = self.day("date", model).ok()?;
                self.fill(model, prefilled(model, &task, day)).ok()?
            }
            Purpose::Correct(id) => {
                let old = model.season.records.iter().find(|r| &r.id == id)?;
                self.fill(model, old.clone()).ok()?
            }
            _ => return None,
        };
        Some(records::missing(
            &record,
            &records::Law::of_place(&model.season.orchard),
        ))
    }

    /// The same in words: listed, never in the way.
    pub fn lacks(&self, model: &Model) -> Option<String> {
        let missing = self.missing(model)?;
        if missing.is_empty() {
            return Some("nothing is missing; enter keeps the record".to_owned());
        }
        let names: Vec<String> = missing
            .iter()
            .map(|m| format!("{} ({})", m.element, m.regulation()))
            .collect();
        Some(format!(
            "enter keeps it as it is; not filled in: {}",
            names.join(", ")
        ))
    }

    pub(super) fn apply_spray(
        &self,
        model: &mut Model,
        id: &TaskId,
    ) -> Result<Vec<Effect>, String> {
        let how = self.choice("how");
        if how != "done" {
            return self.apply_state(model, id, how == "skipped");
        }
        let date = self.past_day(model)?;
        let mut record = self.record_of_spray(model, id)?;
        let stops = against::stops_of(model, &record);
        record.anyway = self.anyway(&stops);
        record.judged = records::judgements(&stops);
        let task = model.season.task(id).ok_or("the task is gone")?;
        let title = task.title.clone();
        let kept =
            records::finish(&model.season, record, model.today).map_err(|e| e.to_string())?;
        let rest = kept
            .season
            .task(id)
            .map(|t| kept.season.open_blocks(t).len())
            .filter(|n| *n > 0);
        let rest = rest.map_or_else(String::new, |n| format!(" on a part, {n} still to do"));
        Ok(keep(
            model,
            kept,
            &format!("done {}{rest}: {title}", words::weekday_day(date)),
        ))
    }

    /// The record as it is written in the form.
    pub(super) fn record_of_spray(&self, model: &Model, id: &TaskId) -> Result<Record, String> {
        let date = self.past_day(model)?;
        let task = model.season.task(id).ok_or("the task is gone")?;
        let task = self.part(model, task)?;
        let mut record = self.fill(model, prefilled(model, &task, date))?;
        // Counted again from the labels: the end may have been changed here.
        (record.reentry_until, record.reentry_until_dry) = (None, false);
        let amounts = records::amounts(&model.season, &task, model.estimates.as_ref(), model.today);
        records::note_reckoned(&mut record, &amounts, self.air_by_hours);
        Ok(record)
    }

    /// The spray on the blocks written in the form.
    fn part(&self, model: &Model, task: &Task) -> Result<Task, String> {
        let blocks = names::blocks(&self.text("blocks"), &model.season)?;
        records::part(&model.season, task, &blocks).map_err(|fault| fault.to_string())
    }

    /// Ground, trees, crops and amounts go with the blocks, where nothing else was typed.
    fn follow_blocks(&mut self, model: &Model) {
        let Purpose::Spray(id) = &self.purpose else {
            return;
        };
        let Some(task) = model.season.task(id) else {
            return;
        };
        let (Ok(task), Ok(day)) = (self.part(model, task), self.day("date", model)) else {
            return;
        };
        let record = prefilled(model, &task, day);
        for known in fields_of(&model.season, &record) {
            let follows = OF_BLOCKS.contains(&known.key)
                || PARTS.iter().any(|[amount, ..]| *amount == known.key);
            if !follows {
                continue;
            }
            for field in self.fields.iter_mut().filter(|f| f.key == known.key) {
                field.propose(&known.text());
            }
        }
    }

    /// A day that has come.
    pub(super) fn past_day(&self, model: &Model) -> Result<NaiveDate, String> {
        let date = self.day("date", model)?;
        if date > model.today {
            return Err(format!("{} has not come yet", words::full_day(date)));
        }
        Ok(date)
    }

    /// Done or skipped, without a record.
    pub(super) fn apply_state(
        &self,
        model: &mut Model,
        id: &TaskId,
        skipped: bool,
    ) -> Result<Vec<Effect>, String> {
        let date = self.past_day(model)?;
        let (state, why) = if skipped {
            (TaskState::Skipped(date), self.optional("why"))
        } else {
            let stops = self.stops(model);
            (TaskState::Done(date), self.anyway(&stops))
        };
        let words = words::state(&state);
        let after = edit::set_state_because(&model.season, id, state, why.as_deref())
            .map_err(|f| f.to_string())?;
        let title = after.task(id).map(|t| t.title.clone()).unwrap_or_default();
        Ok(model.edit(after, &format!("{words}: {title}")))
    }

    /// A record with what is written in the fields.
    pub(super) fn fill(&self, model: &Model, mut record: Record) -> Result<Record, String> {
        let season = &model.season;
        record.date = self.day("date", model)?;
        let clock = |key: &str| -> Result<Option<NaiveDateTime>, String> {
            match self.optional(key) {
                Some(text) => measure::clock(&text).map(|t| Some(record.date.and_time(t))),
                None => Ok(None),
            }
        };
        (record.started, record.ended) = (clock("started")?, clock("ended")?);
        record.who = self.optional("who");
        record.licence = self.optional("licence");
        record.supervisor = self.optional("supervisor");
        record.site = self.optional("site");
        // Nothing written means what was filled in: all of the spray that is still to do.
        let named = names::blocks(&self.text("blocks"), season)?;
        if !named.is_empty() {
            record.blocks = named;
        }
        record.crops = list(&self.text("crops"));
        record.area = measure::known(&self.text("area"))?;
        record.trees = measure::known(&self.text("trees"))?;
        record.bbch = measure::stage(&self.text("stage"))?;
        record.targets = names::targets(&self.text("targets"), season, &record.blocks)?;
        record.reason = self.optional("reason");
        record.volume = measure::known(&self.text("volume"))?;
        record.mixing = self.optional("mixing");
        let sprayer = self.choice("sprayer");
        record.sprayer = (!sprayer.is_empty()).then(|| SprayerId::from(sprayer.as_str()));
        record.setup = self.optional("setup");
        record.wind = measure::known(&self.text("wind"))?;
        record.wind_from = self.optional("wind-from");
        record.temperature = measure::known(&self.text("temperature"))?;
        record.humidity_percent = measure::percent(&self.text("humidity"))?;
        record.sky = self.optional("sky");
        record.rain = self.optional("rain");
        record.gear = list(&self.text("gear"));
        record.notices = self.optional("notices");
        record.leftover = self.optional("leftover");
        record.next_check = match self.optional("check") {
            Some(_) => Some(self.day("check", model)?),
            None => None,
        };
        record.notes = self.optional("notes");
        let area = record.area;
        for (used, [amount, registration, lot]) in record.materials.iter_mut().zip(PARTS) {
            let total = measure::known(&self.text(amount))?;
            if total != used.total {
                used.total = total;
                used.copper_kg_per_ha = None;
                used.cost = records::cost_of(season, &used.material, total);
            }
            if used.copper_kg_per_ha.is_none() {
                used.copper_kg_per_ha = records::copper_kg_per_ha(season, used, area);
            }
            used.registration = self.optional(registration);
            used.lot = self.optional(lot);
        }
        Ok(record)
    }
}

/// Takes a season with a record more, and says what the record lacks.
pub(super) fn keep(model: &mut Model, kept: records::Kept, words: &str) -> Vec<Effect> {
    let laws = records::Law::of_place(&kept.season.orchard);
    let lacks: Vec<&str> = kept
        .season
        .records
        .iter()
        .filter(|r| r.id == kept.record)
        .flat_map(|r| records::missing(r, &laws))
        .filter(Missing::is_law)
        .map(|m| m.element)
        .collect();
    // The title stands on the card: the line is for what is not seen there.
    let short = words.split(": ").next().unwrap_or(words);
    let mut rest = kept.notes;
    if !lacks.is_empty() {
        rest.push(format!("missing: {}", lacks.join(", ")));
    }
    let effects = model.edit(kept.season, words);
    // What stays in the plan comes before what is missing: the line may be cut at its end.
    model.say_change(&format!("record {} kept, {short}", kept.record));
    if let Some(notice) = model.notice.as_mut().filter(|_| !rest.is_empty()) {
        notice.text = format!("{} {}", notice.text, rest.join("; "));
    }
    effects
}

fn prefilled(model: &Model, task: &Task, day: NaiveDate) -> Record {
    let amounts = records::amounts(&model.season, task, model.estimates.as_ref(), model.today);
    let record = records::prefill(
        &model.season,
        task,
        day,
        model.now,
        &amounts,
        &Conditions::default(),
    );
    // Offered in fields that their user sees and keeps, or clears.
    let offer = records::offer(&model.season, task, day, model.now, &amounts);
    Record {
        ended: offer.ended,
        gear: offer.gear,
        ..record
    }
}

fn list(text: &str) -> Vec<String> {
    text.split([',', ';'])
        .map(|t| t.trim().to_owned())
        .filter(|t| !t.is_empty())
        .collect()
}
