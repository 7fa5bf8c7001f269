//! Reads parsed TOML and collects every problem instead of stopping at the first.
//!
//! A getter that finds nothing usable reports it and answers `None`; the parts
//! go on with a placeholder, which never leaves this room because a file with
//! problems is never used.

mod value;

use super::problem::{Lines, Problem, nearest};
use crate::domain::units::shown;
use std::cell::RefCell;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

pub(super) use value::day_in;

/// What a problem is about: some kinds make no sense beside a syntax error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum About {
    /// A value that is there and wrong.
    Value,
    /// Something missing, doubled or not found elsewhere in the file.
    Whole,
}

/// A problem with its place in the text.
pub(super) struct Found {
    pub(super) problem: Problem,
    pub(super) span: Range<usize>,
    pub(super) about: About,
}

/// What ids name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Kind {
    Block,
    Target,
    Material,
    Sprayer,
    Person,
    Task,
    Record,
}

impl Kind {
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Block => "block",
            Self::Target => "target",
            Self::Material => "material",
            Self::Sprayer => "sprayer",
            Self::Person => "person",
            Self::Task => "task",
            Self::Record => "record",
        }
    }
}

/// An id where it is given or used.
pub(super) struct Named {
    pub(super) kind: Kind,
    pub(super) id: String,
    pub(super) field: String,
    pub(super) span: Range<usize>,
    /// History: a name that stands for nothing any more is worth a note, no more.
    pub(super) past: bool,
}

/// One reading of one file.
pub(super) struct Reader<'t> {
    text: &'t str,
    file: &'t str,
    lines: Lines<'t>,
    found: RefCell<Vec<Found>>,
    notes: RefCell<Vec<Problem>>,
    given: RefCell<Vec<Named>>,
    used: RefCell<Vec<Named>>,
}

/// What a reading came to.
pub(super) struct Outcome {
    pub(super) found: Vec<Found>,
    pub(super) notes: Vec<Problem>,
}

impl<'t> Reader<'t> {
    pub(super) fn new(text: &'t str, file: &'t str) -> Self {
        Self {
            text,
            file,
            lines: Lines::new(text),
            found: RefCell::default(),
            notes: RefCell::default(),
            given: RefCell::default(),
            used: RefCell::default(),
        }
    }

    pub(super) fn problem(&self, at: usize, field: String, what: String, fix: String) -> Problem {
        let (line, column) = self.lines.at(at);
        Problem {
            file: self.file.to_owned(),
            line,
            column,
            field,
            what,
            fix,
        }
    }

    pub(super) fn complain(
        &self,
        about: About,
        span: Range<usize>,
        field: String,
        what: impl Into<String>,
        fix: impl Into<String>,
    ) {
        let problem = self.problem(span.start, field, what.into(), fix.into());
        self.found.borrow_mut().push(Found {
            problem,
            span,
            about,
        });
    }

    pub(super) fn note(&self, at: usize, field: String, what: String, fix: String) {
        let problem = self.problem(at, field, what, fix);
        self.notes.borrow_mut().push(problem);
    }

    pub(super) fn raw(&self, span: &Range<usize>) -> &'t str {
        self.text.get(span.clone()).unwrap_or_default()
    }

    /// The line a byte is on.
    pub(super) fn line(&self, byte: usize) -> usize {
        self.lines.at(byte).0
    }

    pub(super) fn given(&self) -> std::cell::Ref<'_, Vec<Named>> {
        self.given.borrow()
    }

    pub(super) fn used(&self) -> std::cell::Ref<'_, Vec<Named>> {
        self.used.borrow()
    }

    pub(super) fn outcome(self) -> Outcome {
        Outcome {
            found: self.found.into_inner(),
            notes: self.notes.into_inner(),
        }
    }
}

/// One table being read: remembers which keys were asked for, so that the rest
/// can be pointed out.
pub(super) struct Section<'r, 't> {
    pub(super) reader: &'r Reader<'t>,
    table: &'r DeTable<'t>,
    span: Range<usize>,
    path: String,
    past: bool,
    asked: RefCell<Vec<&'static str>>,
}

impl<'r, 't> Section<'r, 't> {
    pub(super) fn root(reader: &'r Reader<'t>, table: &'r DeTable<'t>) -> Self {
        Self::new(reader, table, 0..0, String::new())
    }

    fn new(
        reader: &'r Reader<'t>,
        table: &'r DeTable<'t>,
        span: Range<usize>,
        path: String,
    ) -> Self {
        Self {
            reader,
            table,
            span,
            path,
            past: false,
            asked: RefCell::default(),
        }
    }

    /// The same table, read as history: its names may stand for nothing any more.
    pub(super) fn into_history(self) -> Self {
        Self { past: true, ..self }
    }

    /// The path of a key, for messages.
    pub(super) fn field(&self, key: &str) -> String {
        match (self.path.is_empty(), key.is_empty()) {
            (true, _) => key.to_owned(),
            (false, true) => self.path.clone(),
            (false, false) => format!("{}.{key}", self.path),
        }
    }

    pub(super) fn value(&self, key: &'static str) -> Option<&'r Spanned<DeValue<'t>>> {
        let mut asked = self.asked.borrow_mut();
        if !asked.contains(&key) {
            asked.push(key);
        }
        self.table.get(key)
    }

    pub(super) fn has(&self, key: &'static str) -> bool {
        self.value(key).is_some()
    }

    /// Every key, whatever it is: for tables whose keys are the owner's words.
    pub(super) fn entries(&self) -> impl Iterator<Item = (&'r str, &'r Spanned<DeValue<'t>>)> {
        let table = self.table;
        table.iter().map(|(k, v)| (k.get_ref().as_ref(), v))
    }

    pub(super) fn complain(
        &self,
        key: &str,
        span: Range<usize>,
        what: impl Into<String>,
        fix: impl Into<String>,
    ) {
        self.reader
            .complain(About::Value, span, self.field(key), what, fix);
    }

    /// A problem with a key as a whole, at its value or else at the table.
    pub(super) fn complain_at(
        &self,
        key: &'static str,
        what: impl Into<String>,
        fix: impl Into<String>,
    ) {
        let span = self.value(key).map_or(self.span.clone(), Spanned::span);
        self.complain(key, span, what, fix);
    }

    pub(super) fn note_at(&self, key: &str, at: usize, what: String, fix: String) {
        self.reader.note(at, self.field(key), what, fix);
    }

    /// Reports a missing key and goes on with a placeholder.
    pub(super) fn need<T>(
        &self,
        key: &'static str,
        got: Option<T>,
        placeholder: T,
        example: &str,
    ) -> T {
        got.unwrap_or_else(|| {
            if !self.has(key) {
                self.reader.complain(
                    About::Whole,
                    self.span.clone(),
                    self.field(key),
                    "missing",
                    format!("write {key} = {example}"),
                );
            }
            placeholder
        })
    }

    /// A table under this one.
    pub(super) fn section(&self, key: &'static str) -> Option<Self> {
        let value = self.value(key)?;
        let DeValue::Table(table) = value.get_ref() else {
            self.wrong_type(key, value, &format!("a table, [{}]", self.field(key)));
            return None;
        };
        Some(Section::new(
            self.reader,
            table,
            value.span(),
            self.field(key),
        ))
    }

    /// The tables of a list; each is named by its place and id in messages.
    pub(super) fn sections(&self, key: &'static str) -> Vec<Self> {
        let Some(value) = self.value(key) else {
            return Vec::new();
        };
        let items = match value.get_ref() {
            DeValue::Array(items) => items,
            DeValue::Table(_) => {
                self.complain(
                    key,
                    value.span(),
                    "one table where a list belongs",
                    format!("write [[{}]] with double brackets", self.field(key)),
                );
                return Vec::new();
            }
            _ => {
                self.wrong_type(key, value, &format!("a list of tables, [[{key}]]"));
                return Vec::new();
            }
        };
        let mut sections = Vec::with_capacity(items.len());
        for (i, item) in items.iter().enumerate() {
            if let DeValue::Table(table) = item.get_ref() {
                let mut path = self.field(&format!("{key}[{}]", i + 1));
                if let Some(DeValue::String(id)) = table.get("id").map(Spanned::get_ref) {
                    path = format!("{path} \"{}\"", shown(id));
                }
                sections.push(Section::new(self.reader, table, item.span(), path));
            } else {
                self.wrong_type(key, item, "a table in braces, { … }");
            }
        }
        sections
    }

    pub(super) fn give(&self, kind: Kind, key: &'static str, id: &str) {
        let span = self.value(key).map_or(self.span.clone(), Spanned::span);
        self.reader.given.borrow_mut().push(Named {
            kind,
            id: id.to_owned(),
            field: self.field(key),
            span,
            past: false,
        });
    }

    pub(super) fn uses(&self, kind: Kind, key: &str, id: &str, span: Range<usize>) {
        self.reader.used.borrow_mut().push(Named {
            kind,
            id: id.to_owned(),
            field: self.field(key),
            span,
            past: self.past,
        });
    }

    /// Points out keys nobody asked for; they are kept as they are.
    pub(super) fn rest(&self) {
        let asked = self.asked.borrow();
        for (key, _) in self.table {
            let name = key.get_ref().as_ref();
            if asked.contains(&name) {
                continue;
            }
            let fix = nearest(name, asked.iter().copied())
                .map_or_else(String::new, |k| format!("did you mean '{k}'?"));
            self.note_at(
                &shown(name),
                key.span().start,
                "this key is not known here and is left as it is".to_owned(),
                fix,
            );
        }
    }
}
