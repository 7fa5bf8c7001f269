//! The words of the sheets in one language: a table that a contributor can fill in.

use chrono::{Datelike as _, NaiveDate, NaiveDateTime};
use std::collections::BTreeMap;
use std::sync::LazyLock;
use thiserror::Error;
use toml::{Table, Value};

const ENGLISH: &str = include_str!("words/en.toml");
const SPANISH: &str = include_str!("words/es.toml");

/// The titles of the program's own first plan, each with its key.
static OWN_WORK: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| {
    // It is read by a test.
    let said = Words::read_alone(ENGLISH).map_or_else(|_| BTreeMap::new(), |w| w.said);
    let own = said.into_iter().filter(|(key, _)| key.starts_with("work."));
    own.map(|(key, title)| (title, key)).collect()
});

/// A table of words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    said: BTreeMap<String, String>,
    days: Vec<String>,
    months: Vec<String>,
}

/// Why a table cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum WordsError {
    /// It is no TOML.
    #[error("not a table of words: {0}")]
    Unread(String),
    /// Words are missing.
    #[error("words are missing: {0}; print the whole table with: barewood sheet words")]
    Missing(String),
    /// What the program fills in is not the same as in English.
    #[error("{key}: keep {{{name}}} in it, which the program fills in")]
    Blank {
        /// Which words.
        key: String,
        /// What is to be filled in.
        name: String,
    },
}

impl Words {
    /// The words that came with the program, by the code of their language.
    pub fn of(code: &str) -> Option<Self> {
        let text = match code {
            "en" => ENGLISH,
            "es" => SPANISH,
            _ => return None,
        };
        // Both are read by a test.
        Self::read(text).ok()
    }

    /// The table to fill in for another language.
    pub fn to_fill_in() -> &'static str {
        ENGLISH
    }

    /// Reads a table; it must have all that the English one has.
    ///
    /// # Errors
    /// Where something is missing or cannot be read.
    pub fn read(text: &str) -> Result<Self, WordsError> {
        let words = Self::read_alone(text)?;
        let english = Self::read_alone(ENGLISH)?;
        let missing: Vec<&str> = english
            .said
            .keys()
            .filter(|key| words.said.get(*key).is_none_or(|w| w.trim().is_empty()))
            .map(String::as_str)
            .take(10)
            .collect();
        if !missing.is_empty() {
            return Err(WordsError::Missing(missing.join(", ")));
        }
        for (key, own) in &english.said {
            for name in blanks(own) {
                let kept = words
                    .said
                    .get(key)
                    .is_some_and(|w| blanks(w).contains(&name));
                if !kept {
                    return Err(WordsError::Blank {
                        key: key.clone(),
                        name: name.to_owned(),
                    });
                }
            }
        }
        if words.days.len() != 7 || words.months.len() != 12 {
            return Err(WordsError::Missing("days (7), months (12)".to_owned()));
        }
        Ok(words)
    }

    fn read_alone(text: &str) -> Result<Self, WordsError> {
        let table: Table =
            toml::from_str(text).map_err(|e| WordsError::Unread(e.message().to_owned()))?;
        let mut said = BTreeMap::new();
        let (mut days, mut months) = (Vec::new(), Vec::new());
        for (key, value) in &table {
            match value {
                Value::String(words) => {
                    said.insert(key.clone(), words.clone());
                }
                Value::Table(part) => {
                    for (name, value) in part {
                        if let Value::String(words) = value {
                            said.insert(format!("{key}.{name}"), words.clone());
                        }
                    }
                }
                Value::Array(list) => {
                    let list = list.iter().filter_map(Value::as_str).map(str::to_owned);
                    let numbered = (0..).zip(list.clone());
                    said.extend(numbered.map(|(i, word)| (format!("{key}.{i}"), word)));
                    match key.as_str() {
                        "days" => days = list.collect(),
                        "months" => months = list.collect(),
                        _ => {}
                    }
                }
                _ => {}
            }
        }
        Ok(Self { said, days, months })
    }

    /// The language's short code, for whoever reads the page aloud.
    pub fn code(&self) -> &str {
        self.say("code")
    }

    /// The words behind a key; the key itself where there are none, which a test forbids.
    pub fn say<'a>(&'a self, key: &'a str) -> &'a str {
        self.known(key).unwrap_or(key)
    }

    /// The words behind a key that need not be there.
    pub fn known(&self, key: &str) -> Option<&str> {
        self.said.get(key).map(String::as_str)
    }

    /// The name of a task: those of the program's own first plan in this language, all others as
    /// the grower wrote them.
    pub fn work<'a>(&'a self, title: &'a str) -> &'a str {
        let key = OWN_WORK.get(title);
        key.and_then(|key| self.known(key)).unwrap_or(title)
    }

    /// A kind of tree, by its English name.
    pub fn kind<'a>(&'a self, kind: &'a str) -> &'a str {
        let known = self.known(&format!("species.{}", kind.replace(' ', "-")));
        known.unwrap_or(kind)
    }

    /// The name of a block: one that is only called by its kind is called so in this language.
    pub fn block<'a>(&'a self, name: &'a str, kind: &'a str) -> &'a str {
        if name == kind { self.kind(kind) } else { name }
    }

    /// The words behind a key, filled in.
    pub fn fill(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        let mut out = String::new();
        let mut rest = self.say(key);
        // What is filled in is not looked at again: it may hold braces of its own.
        while let Some((before, after)) = rest.split_once('{') {
            out.push_str(before);
            let Some((name, after)) = after.split_once('}') else {
                out.push('{');
                rest = after;
                continue;
            };
            if let Some((_, value)) = blanks.iter().find(|(blank, _)| *blank == name) {
                out.push_str(value);
            }
            rest = after;
        }
        out.push_str(rest);
        out
    }

    /// A day in words.
    pub fn day(&self, day: NaiveDate) -> String {
        let word = |list: &[String], i: u32| list.get(i as usize).cloned().unwrap_or_default();
        self.fill(
            "date.day",
            &[
                (
                    "weekday",
                    &word(&self.days, day.weekday().num_days_from_monday()),
                ),
                ("day", &day.day().to_string()),
                ("month", &word(&self.months, day.month0())),
                ("year", &day.year().to_string()),
            ],
        )
    }

    /// A day and a time of it in words.
    pub fn moment(&self, at: NaiveDateTime) -> String {
        self.fill(
            "date.time",
            &[
                ("date", &self.day(at.date())),
                ("time", &at.format("%H:%M").to_string()),
            ],
        )
    }

    /// All keys with their words.
    pub fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.said.iter().map(|(k, w)| (k.as_str(), w.as_str()))
    }
}

/// The names in braces.
fn blanks(text: &str) -> Vec<&str> {
    text.split('{')
        .skip(1)
        .filter_map(|part| part.split_once('}').map(|(name, _)| name))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_that_come_along_are_whole() {
        for text in [ENGLISH, SPANISH] {
            Words::read(text).unwrap();
        }
        let (en, es) = (Words::of("en").unwrap(), Words::of("es").unwrap());
        let keys = |w: &Words| w.said.keys().cloned().collect::<Vec<_>>();
        assert_eq!(keys(&en), keys(&es));
        for (key, english) in en.all() {
            for blank in blanks(es.say(key)) {
                assert!(blanks(english).contains(&blank), "{key}: {{{blank}}}");
            }
        }
    }

    #[test]
    fn a_table_that_lacks_something_says_what() {
        let cut = ENGLISH.replace("title = \"MIX SHEET\"\n", "");
        let problem = Words::read(&cut).unwrap_err().to_string();
        assert!(problem.contains("mix.title"), "{problem}");
        let cut = ENGLISH.replace("Planned: {date}", "Planned");
        let problem = Words::read(&cut).unwrap_err().to_string();
        assert!(
            problem.contains("mix.planned") && problem.contains("{date}"),
            "{problem}"
        );
        assert!(Words::read("days = [").is_err());
    }

    #[test]
    fn what_is_filled_in_is_not_filled_in_again() {
        let words = Words::of("en").unwrap();
        assert_eq!(
            words.fill("common.orchard", &[("name", "{name} {x} }")]),
            "Orchard: {name} {x} }"
        );
    }

    #[test]
    fn days_are_said_as_the_language_says_them() {
        let day = NaiveDate::from_ymd_opt(2027, 2, 13).unwrap();
        assert_eq!(Words::of("en").unwrap().day(day), "Sat 13 Feb 2027");
        assert_eq!(Words::of("es").unwrap().day(day), "sáb 13 feb 2027");
    }
}
