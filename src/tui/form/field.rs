//! One field of a form: what may be written in it, and what it means.

use super::measure::Measure;
use super::quantity::Quantity;
use super::{label, names};
use crate::domain::season::{Calendar, read_day};
use crate::domain::units::{RainDepth, Temperature, Volume};
use crate::domain::zone::Zone;
use crate::tui::key::{Code, Key};
use crate::tui::line::{Line, Typed};
use crate::tui::model::Model;
use crate::tui::words;
use chrono::NaiveDate;
use std::borrow::Cow;

/// What may be written in a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// Some words.
    Required,
    /// Some words or none.
    Text,
    /// Many lines.
    Notes,
    /// A day; `+3` counts from the one given.
    Day(NaiveDate),
    /// A day or nothing.
    DayOrNone(NaiveDate),
    /// One of these: key and words.
    Choice(Vec<(String, String)>),
    /// Blocks by name; none means all.
    Blocks,
    /// The blocks of a spray that were done: what is typed takes the place of all of them.
    Part,
    /// Targets by name.
    Targets,
    /// Materials by name, each with a rate or without.
    Mix,
    /// A volume or nothing.
    Volume,
    /// A temperature.
    Temperature,
    /// A depth of rain.
    Rain,
    /// A number from nothing up.
    Number,
    /// A BBCH stage, by number or words.
    Stage,
    /// A place: a town, a pair of degrees, the link of a map.
    Place,
    /// A time zone by its name.
    Zone,
    /// Kinds of trees with their numbers.
    Trees,
    /// A measured value or nothing.
    Measured(Measure),
    /// Somebody's name; completed from those on record. May it be empty?
    Person(bool),
    /// A quantity or nothing.
    Quantity(Quantity),
    /// A field of a label, by its place among them.
    Label(usize),
}

/// One field.
#[derive(Debug, Clone)]
pub struct Field {
    /// Its name in code.
    pub key: &'static str,
    /// Its name on the screen.
    pub label: Cow<'static, str>,
    /// What to write, in one line.
    pub help: Cow<'static, str>,
    /// What may be written.
    pub kind: Kind,
    /// What is written.
    pub line: Line,
    /// Which choice is taken.
    pub at: usize,
    /// Fields that make no sense now are not shown.
    pub is_shown: bool,
    /// Nothing was typed yet: a day written here beforehand gives way to what is.
    is_fresh: bool,
}

impl Field {
    pub(super) fn new(
        key: &'static str,
        label: impl Into<Cow<'static, str>>,
        help: impl Into<Cow<'static, str>>,
        kind: Kind,
        text: &str,
    ) -> Self {
        let at = match &kind {
            Kind::Choice(options) => options.iter().position(|(k, _)| k == text).unwrap_or(0),
            _ => 0,
        };
        let line = match &kind {
            Kind::Notes => Line::many(text),
            Kind::Choice(_) => Line::default(),
            _ => Line::new(text),
        };
        Self {
            key,
            label: label.into(),
            help: help.into(),
            kind,
            line,
            at,
            is_shown: true,
            is_fresh: true,
        }
    }

    /// Has nobody typed here yet?
    pub(super) const fn is_fresh(&self) -> bool {
        self.is_fresh
    }

    /// Puts a value known better now in place of one that nobody typed.
    pub(super) fn propose(&mut self, text: &str) {
        if !self.is_fresh {
            return;
        }
        if let Kind::Choice(options) = &self.kind {
            self.at = options
                .iter()
                .position(|(key, _)| key == text)
                .unwrap_or(self.at);
        } else {
            self.line.set(text);
        }
    }

    /// Puts in what its user had written, or the choice of this key.
    pub(super) fn put(&mut self, text: &str) {
        if let Kind::Choice(options) = &self.kind {
            if let Some(at) = options.iter().position(|(key, _)| key == text) {
                self.at = at;
            }
        } else if self.text() != text {
            self.line.set(text);
            self.is_fresh = false;
        }
    }

    /// Was nothing typed in it yet?
    pub(super) fn is_untouched(&self) -> bool {
        self.is_fresh
    }

    /// Did its user write something else than stood in it when it opened?
    pub(super) fn was_typed(&self, opened: &Self) -> bool {
        !self.is_fresh && self.text() != opened.text()
    }

    /// What is written.
    pub fn text(&self) -> String {
        self.line.text()
    }

    /// The key of the choice taken.
    pub fn chosen(&self) -> String {
        match &self.kind {
            Kind::Choice(options) => options
                .get(self.at)
                .map(|(k, _)| k.clone())
                .unwrap_or_default(),
            _ => String::new(),
        }
    }

    /// What stands in the field, choices in words.
    pub fn shown(&self) -> String {
        match &self.kind {
            Kind::Choice(options) => options
                .get(self.at)
                .map(|(_, words)| words.clone())
                .unwrap_or_default(),
            _ => self.text(),
        }
    }

    /// Takes pasted text; choices do not.
    pub(super) fn paste(&mut self, text: &str) -> bool {
        let wanted = !matches!(self.kind, Kind::Choice(_));
        if wanted {
            self.give_way();
            self.line.insert(text);
        }
        wanted
    }

    /// A day or value written beforehand goes when something is typed.
    fn give_way(&mut self) {
        let day = matches!(
            self.kind,
            Kind::Day(_) | Kind::DayOrNone(_) | Kind::Measured(_) | Kind::Part
        );
        if std::mem::take(&mut self.is_fresh) && day {
            self.line.set("");
        }
    }

    /// Takes a key.
    pub(super) fn key(&mut self, key: Key) -> Typed {
        let Kind::Choice(options) = &self.kind else {
            if key.typed().is_some() {
                self.give_way();
            }
            self.is_fresh = false;
            return self.line.key(key);
        };
        let count = options.len().max(1);
        self.is_fresh = false;
        self.at = match (key.code, key.typed()) {
            (Code::Left, _) => (self.at + count - 1) % count,
            (Code::Right, _) | (_, Some(' ')) => (self.at + 1) % count,
            (Code::Home, _) => 0,
            (Code::End, _) => count - 1,
            (_, Some(c)) => {
                let wanted = c.to_lowercase().to_string();
                let found = (1..=count).map(|i| (self.at + i) % count).find(|i| {
                    options
                        .get(*i)
                        .is_some_and(|(_, words)| words.to_lowercase().starts_with(&wanted))
                });
                match found {
                    Some(at) => at,
                    None => return Typed::Moved,
                }
            }
            _ => return Typed::NotMine,
        };
        Typed::Changed
    }

    /// What the completion would add at the end.
    pub fn completion(&self, model: &Model) -> Option<String> {
        if !self.line.at_end() {
            return None;
        }
        names::completion(&self.kind, &self.line.text(), &model.season)
    }

    /// Takes the completion; says whether there was one.
    pub(super) fn complete(&mut self, model: &Model) -> bool {
        let rest = self.completion(model);
        if let Some(rest) = &rest {
            self.line.insert(rest);
        }
        rest.is_some()
    }

    /// The day written.
    pub(super) fn day(&self, model: &Model) -> Result<NaiveDate, String> {
        let (Kind::Day(from) | Kind::DayOrNone(from)) = &self.kind else {
            return Err("this is not a day".to_owned());
        };
        let calendar = Calendar {
            today: model.today,
            from: *from,
            starts: model.season.starts(),
        };
        read_day(&self.text(), &calendar).map_err(|fault| fault.to_string())
    }

    /// What is written, in full words, or what is wrong with it.
    pub fn check(&self, model: &Model) -> Result<String, String> {
        let text = self.text();
        let text = text.trim();
        match &self.kind {
            Kind::Required if text.is_empty() => Err("write a few words".to_owned()),
            Kind::Person(false) if text.is_empty() => Err("write a name".to_owned()),
            Kind::Measured(measure) => measure.check(text),
            Kind::Person(_) | Kind::Required | Kind::Text | Kind::Notes | Kind::Choice(_) => {
                Ok(String::new())
            }
            Kind::DayOrNone(_) if text.is_empty() => Ok("not yet".to_owned()),
            Kind::Day(_) | Kind::DayOrNone(_) => self.day(model).map(|day| {
                format!(
                    "{}, {}",
                    words::full_day(day),
                    words::away_long(day, model.today)
                )
            }),
            Kind::Blocks | Kind::Part => names::blocks(text, &model.season).map(|ids| {
                if ids.is_empty() {
                    "all blocks".to_owned()
                } else {
                    names::join(
                        ids.iter()
                            .filter_map(|id| model.season.block(id))
                            .map(|b| b.name.as_str()),
                    )
                }
            }),
            Kind::Targets => names::targets(text, &model.season, &[])
                .map(|ids| names::join(ids.iter().map(|id| names::target_name(id, &model.season)))),
            Kind::Mix => names::mix(text, &model.season).map(|parts| {
                let each = parts.iter().map(|part| {
                    let rate = match (&part.rate, model.season.material(&part.material)) {
                        (Some(rate), _) => rate.to_string(),
                        (None, Some(m)) => m
                            .label
                            .rate
                            .map_or("no rate yet".to_owned(), |r| format!("{r} (label)")),
                        (None, None) => String::new(),
                    };
                    format!("{} {rate}", part.material)
                });
                names::join(each)
            }),
            Kind::Volume if text.is_empty() => Ok("from the trees' size".to_owned()),
            Kind::Volume => text
                .parse::<Volume>()
                .map(|v| format!("{} L", crate::domain::units::plain_number(v.l().round())))
                .map_err(|fault| fault.to_string()),
            Kind::Temperature => text
                .parse::<Temperature>()
                .map(|t| format!("{:.1} C", t.c()))
                .map_err(|fault| fault.to_string()),
            Kind::Rain => text
                .parse::<RainDepth>()
                .map(|rain| format!("{:.1} mm", rain.mm()))
                .map_err(|fault| fault.to_string()),
            Kind::Number => names::number(text).map(|_| String::new()),
            Kind::Place => super::begin::check_place(text),
            Kind::Zone => Zone::of_place(text)
                .map(|zone| zone.name().to_owned())
                .ok_or_else(|| {
                    "no such zone: write its large city, as in America/New_York or Madrid"
                        .to_owned()
                }),
            Kind::Trees => super::begin::check_trees(text),
            Kind::Quantity(what) => what.said(text, model.season.orchard.units),
            Kind::Label(place) => label::read_field(*place, text, model),
            Kind::Stage => names::stage(text).map(|(bbch, words)| format!("BBCH {bbch}: {words}")),
        }
    }
}
