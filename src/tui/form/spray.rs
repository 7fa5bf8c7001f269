//! The record of a spray as a form: filled in as far as anything is known.

use super::measure::{self, Measure};
use super::{Field, Form, Kind, Purpose, names};
use crate::domain::records::{self, Conditions};
use crate::domain::season::{Record, Season, SprayerId, Task, TaskId, TaskState, edit};
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::words;
use chrono::{NaiveDate, NaiveDateTime};

/// Materials with fields of their own; more are kept as they were filled in.
const PARTS: [[&str; 3]; 6] = [
    ["used-1", "registration-1", "lot-1"],
    ["used-2", "registration-2", "lot-2"],
    ["used-3", "registration-3", "lot-3"],
    ["used-4", "registration-4", "lot-4"],
    ["used-5", "registration-5", "lot-5"],
    ["used-6", "registration-6", "lot-6"],
];

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
        fields.extend(fields_of(&model.season, &record));
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
        let spray = self.choice("how") == "done";
        for field in &mut self.fields {
            field.is_shown = spray || OF_ALL.contains(&field.key);
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
        let text = |v: Option<String>| v.unwrap_or_default();
        let known = [
            ("wind", text(air.wind.map(|w| w.to_string()))),
            ("wind-from", text(air.wind_from.clone())),
            ("temperature", text(air.temperature.map(|t| t.to_string()))),
            ("humidity", text(air.humidity_percent.map(number))),
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

    /// What the law asks for and the record would lack, in words; listed, never in the way.
    pub fn lacks(&self, model: &Model) -> Option<String> {
        let record = match &self.purpose {
            Purpose::Spray(id) if self.choice("how") == "done" => {
                let task = model.season.task(id)?;
                let day = self.day("date", model).ok()?;
                self.fill(model, prefilled(model, task, day)).ok()?
            }
            Purpose::Correct(id) => {
                let old = model.season.records.iter().find(|r| &r.id == id)?;
                self.fill(model, old.clone()).ok()?
            }
            _ => return None,
        };
        let missing = records::missing(&record, &records::Law::ALL);
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
        let task = model.season.task(id).ok_or("the task is gone")?;
        let mut record = self.fill(model, prefilled(model, task, date))?;
        // Reckoned again from the labels: the end may have been changed here.
        (record.reentry_until, record.reentry_until_dry) = (None, false);
        let title = task.title.clone();
        let kept =
            records::finish(&model.season, record, model.today).map_err(|e| e.to_string())?;
        Ok(keep(
            model,
            kept,
            &format!("done {}: {title}", words::weekday_day(date)),
        ))
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
        let state = if skipped {
            TaskState::Skipped(date)
        } else {
            TaskState::Done(date)
        };
        let words = words::state(&state);
        let after = edit::set_state(&model.season, id, state).map_err(|f| f.to_string())?;
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
        record.blocks = names::blocks(&self.text("blocks"), season)?;
        if record.blocks.is_empty() {
            record.blocks = season.blocks.iter().map(|b| b.id.clone()).collect();
        }
        record.crops = list(&self.text("crops"));
        record.area = measure::known(&self.text("area"))?;
        record.trees = measure::known(&self.text("trees"))?;
        record.bbch = measure::stage(&self.text("stage"))?;
        record.targets = names::targets(&self.text("targets"), season)?;
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
    let lacks: Vec<&str> = kept
        .season
        .records
        .iter()
        .filter(|r| r.id == kept.record)
        .flat_map(|r| records::missing(r, &records::Law::ALL))
        .filter(records::Missing::is_law)
        .map(|m| m.element)
        .collect();
    let mut said = vec![format!("{words} (record {})", kept.record)];
    said.extend(kept.notes);
    if !lacks.is_empty() {
        said.push(format!("it lacks {}", lacks.join(", ")));
    }
    let effects = model.edit(kept.season, words);
    model.say(said.join("; "));
    effects
}

fn prefilled(model: &Model, task: &Task, day: NaiveDate) -> Record {
    let amounts = records::amounts(&model.season, task, model.estimates.as_ref(), model.today);
    records::prefill(
        &model.season,
        task,
        day,
        model.now,
        &amounts,
        &Conditions::default(),
    )
}

fn number(value: f64) -> String {
    crate::domain::units::plain_number(value)
}

fn list(text: &str) -> Vec<String> {
    text.split([',', ';'])
        .map(|t| t.trim().to_owned())
        .filter(|t| !t.is_empty())
        .collect()
}

/// The fields of a record, in the order one tells them.
pub(super) fn fields_of(season: &Season, r: &Record) -> Vec<Field> {
    use Kind::{Measured, Text};
    let text = |v: Option<String>| v.unwrap_or_default();
    let f = |key, label: &'static str, help, kind, text: String| {
        Field::new(key, label, help, kind, &text)
    };
    let blocks = names::join(
        r.blocks
            .iter()
            .map(|id| season.block(id).map_or(id.as_str(), |b| b.name.as_str())),
    );
    let targets = names::join(r.targets.iter().map(|id| names::target_name(id, season)));
    let mut sprayers = vec![(String::new(), "not chosen".to_owned())];
    sprayers.extend(
        season
            .sprayers
            .iter()
            .map(|s| (s.id.to_string(), s.name.clone())),
    );
    let sprayer = r.sprayer.as_ref().map(ToString::to_string);
    let mut fields = vec![
        f(
            "started",
            "Started",
            "time of day: 9:30",
            Measured(Measure::Clock),
            text(r.started.map(measure::clock_text)),
        ),
        f(
            "ended",
            "Ended",
            "time of day: 11:40; re-entry counts from here",
            Measured(Measure::Clock),
            text(r.ended.map(measure::clock_text)),
        ),
        f(
            "who",
            "Who sprayed",
            "a name; right completes one on record",
            Kind::Person(true),
            text(r.who.clone()),
        ),
        f(
            "licence",
            "Certificate",
            "certificate or licence number, where one is needed",
            Text,
            text(r.licence.clone()),
        ),
    ];
    for (used, [amount, registration, lot]) in r.materials.iter().zip(PARTS) {
        fields.push(Field::new(
            amount,
            format!("Used: {}", used.name),
            format!("{}: product used in all, 3.2 lb or 1.5 kg", used.name),
            Measured(Measure::Amount),
            &text(used.total.map(|t| t.to_string())),
        ));
        fields.push(f(
            registration,
            "  registration",
            "the number on its label",
            Text,
            text(used.registration.clone()),
        ));
        fields.push(f(
            lot,
            "  lot",
            "lot number on the pack, if you keep it",
            Text,
            text(used.lot.clone()),
        ));
    }
    fields.extend([
        f(
            "volume",
            "Spray used",
            "finished spray in all: 40 gal, 150 L",
            Measured(Measure::Spray),
            text(r.volume.map(|v| v.to_string())),
        ),
        f(
            "wind",
            "Wind",
            "speed: 4 mph, 2 m/s",
            Measured(Measure::Wind),
            text(r.wind.map(|v| v.to_string())),
        ),
        f(
            "wind-from",
            "Wind from",
            "NW, or in words",
            Text,
            text(r.wind_from.clone()),
        ),
        f(
            "temperature",
            "Temperature",
            "air: 46 F, 8 C",
            Measured(Measure::Air),
            text(r.temperature.map(|v| v.to_string())),
        ),
        f(
            "humidity",
            "Humidity",
            "percent, 0 to 100",
            Measured(Measure::Percent),
            text(r.humidity_percent.map(number)),
        ),
        f(
            "sky",
            "Sky",
            "cloud, and whether the air stood still",
            Text,
            text(r.sky.clone()),
        ),
        f(
            "rain",
            "Rain",
            "before and after",
            Text,
            text(r.rain.clone()),
        ),
        f(
            "stage",
            "Stage seen",
            "BBCH number or words; 0 is tight, 97 leaves down",
            Measured(Measure::Stage),
            text(r.bbch.map(|b| b.to_string())),
        ),
        f(
            "targets",
            "Against",
            "names with commas between; right completes",
            Kind::Targets,
            targets,
        ),
        f(
            "reason",
            "Why",
            "what scouting found",
            Text,
            text(r.reason.clone()),
        ),
        f(
            "blocks",
            "Blocks",
            "names with commas between; right completes",
            Kind::Blocks,
            blocks,
        ),
        f(
            "site",
            "Where",
            "words or a map reference that find it again",
            Text,
            text(r.site.clone()),
        ),
        f(
            "crops",
            "Crop",
            "names with commas between",
            Text,
            r.crops.join(", "),
        ),
        f(
            "area",
            "Ground",
            "treated: 0.35 acre, 0.2 ha",
            Measured(Measure::Area),
            text(r.area.map(|v| v.to_string())),
        ),
        f(
            "trees",
            "Trees",
            "how many were treated",
            Measured(Measure::Count),
            text(r.trees.map(|v| v.to_string())),
        ),
        f(
            "mixing",
            "Mixing",
            "tanks, and the order things went in",
            Text,
            text(r.mixing.clone()),
        ),
        f(
            "sprayer",
            "Sprayer",
            "left and right change it",
            Kind::Choice(sprayers),
            text(sprayer),
        ),
        f(
            "setup",
            "Set-up",
            "nozzles, pressure, speed",
            Text,
            text(r.setup.clone()),
        ),
        f(
            "gear",
            "Gear worn",
            "names with commas between",
            Text,
            r.gear.join(", "),
        ),
        f(
            "notices",
            "Notices",
            "who was told; signs up and down",
            Text,
            text(r.notices.clone()),
        ),
        f(
            "leftover",
            "Left over",
            "what became of the rest and the rinse water",
            Text,
            text(r.leftover.clone()),
        ),
        f(
            "supervisor",
            "Supervisor",
            "a name, where somebody supervised",
            Kind::Person(true),
            text(r.supervisor.clone()),
        ),
        f(
            "check",
            "Look again",
            "the day to see whether it held; may stay empty",
            Kind::DayOrNone(r.date),
            text(r.next_check.map(|d| d.to_string())),
        ),
        f(
            "notes",
            "Remarks",
            "anything else",
            Text,
            text(r.notes.clone()),
        ),
    ]);
    fields
}
