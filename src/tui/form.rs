//! Forms: a few fields, checked while one types, kept or dropped as a whole.
//!
//! A form knows its fields and its purpose; what each purpose asks and does
//! stands in `tasks`, `readings` and `season`.

mod against;
mod begin;
mod calibrate;
mod coverage;
mod draft;
mod field;
mod label;
mod many;
pub mod measure;
mod names;
mod place;
mod quantity;
mod readings;
mod records;
mod season;
mod set_up;
mod spray;
mod tasks;
mod ticks;
mod versions;
mod weather;

pub use field::{Field, Kind};
pub use names::stage_words;
pub use quantity::Quantity;
pub use set_up::SetUp;

use super::action::{Command, Effect};
use super::host::{Earlier, TableAsk};
use super::key::{Code, Key};
use super::keymap::Scope;
use super::line::Typed;
use super::model::Model;
use crate::domain::season::{BlockId, MaterialId, RecordId, SprayerId, TaskId};

/// What a form is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// Add a task.
    Add,
    /// Edit a task.
    Edit(TaskId),
    /// Finish a task.
    Finish(TaskId),
    /// Move a task to a date.
    MoveTo(TaskId),
    /// Write notes on a task.
    Notes(TaskId),
    /// Quieten a rule for a task.
    Quieten(TaskId),
    /// Enter that a label was read.
    LabelRead,
    /// Enter when the leaves were down.
    LeafDrop,
    /// Keep a practice season.
    Keep,
    /// Decide what to do with a season that could not be saved.
    NotSaved,
    /// Decide what to do with work of an earlier session.
    KeptWork(String),
    /// Go back to an earlier version.
    Versions(Vec<Earlier>),
    /// Enter a degree-day total.
    Total,
    /// Enter a look at the buds.
    Buds,
    /// Enter the rain of a day.
    Rain,
    /// Begin a season of one's own.
    Begin,
    /// Finish a spray with its record.
    Spray(TaskId),
    /// Correct a record.
    Correct(RecordId),
    /// End the re-entry of a record.
    EndReentry(RecordId),
    /// Note what was seen on a block.
    Seen(BlockId),
    /// Quieten a warning of a block that no task answers for.
    QuietenHere(BlockId),
    /// Write the mix sheet in view to a place.
    Sheet,
    /// Go through the label of a material.
    Label(MaterialId),
    /// Add a material.
    AddMaterial,
    /// Count the stock of a material.
    Stock(MaterialId),
    /// Measure a sprayer.
    Calibrate(SprayerId),
    /// Bring in a weather file; with what was looked at, where it can be brought in.
    Weather(Option<Box<TableAsk>>),
    /// Add or change a block, a sprayer or a person.
    SetUp(SetUp),
    /// Move all that is marked.
    MoveMarked,
    /// Finish all that is marked.
    FinishMarked,
    /// Skip tasks, or some blocks of them.
    Skip(Vec<(TaskId, Vec<BlockId>)>),
    /// Narrow the lists of the board by words.
    Narrow,
    /// Narrow the ledger.
    Ledger,
}

/// A form being filled in.
#[derive(Debug, Clone)]
pub struct Form {
    /// Its title.
    pub title: String,
    /// What it is for.
    pub purpose: Purpose,
    /// Lines above its fields: what it is about.
    pub about: Vec<String>,
    /// Its fields.
    pub fields: Vec<Field>,
    /// Which field has the cursor; one past the last is "keep".
    pub focus: usize,
    /// Was it open when the board last ended, and comes back now?
    pub came_back: bool,
    /// What stopped it from being kept.
    pub fault: Option<String>,
    /// Does it ask why something was done against a stop?
    pub asks: bool,
    /// The air temperature of the hours written, by the hours of weather.
    pub air_by_hours: Option<crate::domain::units::Temperature>,
}

/// What a key did to a form.
#[derive(Debug)]
pub enum Outcome {
    /// It stays open.
    Open,
    /// It is dropped.
    Drop,
    /// It is kept, and this is wished for.
    Done(Vec<Effect>),
    /// It stays open, and this is wished for.
    Ask(Vec<Effect>),
}

impl Form {
    fn new(title: impl Into<String>, purpose: Purpose, fields: Vec<Field>) -> Self {
        Self {
            title: title.into(),
            purpose,
            about: Vec::new(),
            fields,
            focus: 0,
            came_back: false,
            fault: None,
            asks: false,
            air_by_hours: None,
        }
    }

    /// Puts the cursor into a field.
    pub fn go_to(&mut self, field: usize) {
        self.focus = field.min(self.fields.len());
    }

    /// The field with this key.
    fn field(&self, key: &str) -> Option<&Field> {
        self.fields.iter().find(|f| f.key == key)
    }

    fn text(&self, key: &str) -> String {
        self.field(key).map(Field::text).unwrap_or_default()
    }

    /// The text of a field that may stay empty.
    fn optional(&self, key: &str) -> Option<String> {
        Some(self.text(key).trim().to_owned()).filter(|t| !t.is_empty())
    }

    fn choice(&self, key: &str) -> String {
        self.field(key).map(Field::chosen).unwrap_or_default()
    }

    fn day(&self, key: &str, model: &Model) -> Result<chrono::NaiveDate, String> {
        match self.field(key) {
            Some(field) => field.day(model),
            None => Err(format!("there is no field '{key}'")),
        }
    }

    /// What is written in a field, in full words, or what is wrong with it. A target is looked for
    /// on the blocks that are written beside it.
    pub fn check(&self, place: usize, model: &Model) -> Result<String, String> {
        let Some(field) = self.fields.get(place) else {
            return Ok(String::new());
        };
        if field.kind == Kind::Part && self.is_nothing_ticked() {
            return Err("tick the blocks that were done".to_owned());
        }
        if field.kind != Kind::Targets {
            return field.check(model);
        }
        let season = &model.season;
        let blocks = match &self.purpose {
            Purpose::Seen(block) => vec![block.clone()],
            _ => names::blocks(&self.text("blocks"), season).unwrap_or_default(),
        };
        names::targets(&field.text(), season, &blocks)
            .map(|ids| names::join(ids.iter().map(|id| names::target_name(id, season))))
    }

    /// Takes pasted text; says whether a field wanted it.
    pub fn paste(&mut self, text: &str) -> bool {
        let Some(field) = self.fields.get_mut(self.focus) else {
            return false;
        };
        let wanted = field.paste(text);
        self.touched();
        wanted
    }

    /// Fields that hang on others follow them.
    fn touched(&mut self) {
        self.fault = None;
        match self.purpose {
            Purpose::Add | Purpose::Edit(_) => self.follow_kind(),
            Purpose::NotSaved => self.follow_not_saved(),
            Purpose::Versions(_) => self.follow_version(),
            Purpose::Calibrate(_) => self.follow_method(),
            Purpose::Begin => self.follow_place(),
            Purpose::SetUp(SetUp::Place) => self.follow_new_place(),
            _ => {}
        }
    }

    /// Takes a key.
    pub fn key(&mut self, model: &mut Model, key: Key) -> Outcome {
        if self.opens_ticks(key) {
            return Outcome::Ask(self.follow_spray(model));
        }
        let asking = self.is_asking();
        let field = self.fields.get_mut(self.focus);
        let many = field.as_ref().is_some_and(|f| f.kind == Kind::Notes);
        let of_text = key.typed().is_some()
            || (many && matches!(key.code, Code::Enter | Code::Up | Code::Down | Code::Right));
        let command = model.keymap.command(&[Scope::Form], key);
        if !of_text {
            match command {
                Some(Command::FieldNext) => {
                    self.step(true);
                    return Outcome::Open;
                }
                Some(Command::FieldPrevious) => {
                    self.step(false);
                    return Outcome::Open;
                }
                Some(Command::Accept) => return self.accept(model),
                Some(Command::Back) if asking => {
                    self.stop_asking(model);
                    return Outcome::Open;
                }
                Some(Command::Back) => return Outcome::Drop,
                _ if key == Key::ctrl('c') => return Outcome::Drop,
                _ => {}
            }
        }
        let Some(field) = field else {
            return Outcome::Open;
        };
        let change = match command {
            Some(Command::Complete) if !of_text && field.complete(model) => Typed::Changed,
            _ => field.key(key),
        };
        match change {
            Typed::Changed => {
                self.touched();
                let wishes = self.follow_spray(model);
                if !wishes.is_empty() {
                    return Outcome::Ask(wishes);
                }
            }
            Typed::Moved => {}
            Typed::NotMine => {
                let keep = model.keymap.first(Command::Accept);
                let drop = model.keymap.first(Command::Back);
                model.say(format!("{keep} keeps what is written, {drop} drops it"));
            }
        }
        Outcome::Open
    }

    /// Keeps the form if every field is right; else goes to the first that is not.
    fn accept(&mut self, model: &mut Model) -> Outcome {
        let faulty = self
            .fields
            .iter()
            .enumerate()
            .position(|(place, f)| f.is_shown && self.check(place, model).is_err());
        if let Some(place) = faulty {
            self.focus = place;
            self.fault = self.check(place, model).err();
            return Outcome::Open;
        }
        let stops = self.stops(model);
        if self.asks_why(&stops) {
            return Outcome::Open;
        }
        let done = match self.purpose.clone() {
            Purpose::Add => self.apply_task(model, None),
            Purpose::Edit(id) => self.apply_task(model, Some(&id)),
            Purpose::Finish(id) => self.apply_finish(model, &id),
            Purpose::MoveTo(id) => self.apply_move(model, &id),
            Purpose::Notes(id) => self.apply_notes(model, &id),
            Purpose::Quieten(id) => self.apply_quieten(model, &id),
            Purpose::LabelRead => self.apply_label_read(model),
            Purpose::LeafDrop => self.apply_leaf_drop(model),
            Purpose::Keep => Ok(vec![Effect::KeepAt(self.text("place"))]),
            Purpose::NotSaved => Ok(self.apply_not_saved(model)),
            Purpose::KeptWork(id) => self.apply_kept_work(model, &id),
            Purpose::Versions(versions) => self.apply_version(&versions),
            Purpose::Total => self.apply_total(model),
            Purpose::Buds => self.apply_buds(model),
            Purpose::Rain => self.apply_rain(model),
            Purpose::Begin => {
                if self.asks_about_the_clock() {
                    return Outcome::Open;
                }
                // What was written is not lost where the season cannot be begun.
                model.begun = Some(Box::new(self.clone()));
                Ok(self.answers())
            }
            Purpose::Spray(id) => self.apply_spray(model, &id),
            Purpose::Correct(id) => self.apply_correct(model, &id),
            Purpose::EndReentry(id) => self.apply_end_reentry(model, &id),
            Purpose::Seen(id) => self.apply_seen(model, &id),
            Purpose::QuietenHere(id) => self.apply_quieten_here(model, &id),
            Purpose::Sheet => self.apply_sheet(model),
            Purpose::Label(id) => self.apply_label(model, &id),
            Purpose::AddMaterial => self.apply_add_material(model),
            Purpose::Stock(id) => self.apply_stock(model, &id),
            Purpose::Calibrate(id) => self.apply_calibrate(model, &id),
            // It stays open until the file was looked at or brought in.
            Purpose::Weather(seen) => return Outcome::Ask(self.ask_weather(seen.as_deref())),
            Purpose::SetUp(SetUp::Place) if self.asks_about_the_clock() => return Outcome::Open,
            Purpose::SetUp(what) => self.apply_set_up(model, &what),
            Purpose::MoveMarked => self.apply_move_marked(model),
            Purpose::FinishMarked => self.apply_finish_marked(model),
            Purpose::Skip(what) => self.apply_skip(model, &what),
            Purpose::Narrow => Ok(self.apply_narrow(model)),
            Purpose::Ledger => self.apply_ledger(model),
        };
        match done {
            Ok(effects) => Outcome::Done(effects),
            Err(fault) => {
                self.fault = Some(fault);
                Outcome::Open
            }
        }
    }

    /// A clock that does not fit the place is told once; whoever keeps it has a reason.
    fn asks_about_the_clock(&mut self) -> bool {
        let Some(doubt) = self.clock_doubt() else {
            return false;
        };
        let told = format!("{doubt}; enter once more keeps it");
        if self.fault.as_ref() == Some(&told) {
            return false;
        }
        let zone = self.fields.iter().position(|f| f.key == "zone");
        self.focus = zone.unwrap_or(0);
        self.fault = Some(told);
        true
    }

    /// The next place shown, one way or the other; "keep" always is.
    fn step(&mut self, forward: bool) {
        let places = self.fields.len() + 1;
        for _ in 0..places {
            self.focus = (self.focus + if forward { 1 } else { places - 1 }) % places;
            if self.fields.get(self.focus).is_none_or(|f| f.is_shown) {
                return;
            }
        }
    }
}
