//! The shapes of the JSON answers, as JSON Schemas (draft 2020-12). An answer names its own under
//! `$schema`; the number at its end rises when a key goes or changes its meaning, not when one is
//! added.

use serde_json::{Map, Value};
use std::io::{self, Write};

/// The shape of one answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Schema {
    /// Its name: that of the command, for most.
    pub name: &'static str,
    /// What gives the answer.
    pub of: &'static str,
    /// The schema itself.
    pub text: &'static str,
}

macro_rules! schemas {
    ($($konst:ident, $name:literal, $of:literal;)*) => {
        $(
            #[doc = concat!("The shape of `", $of, "`.")]
            pub const $konst: Schema = Schema {
                name: $name,
                of: $of,
                text: include_str!(concat!("schemas/", $name, ".schema.json")),
            };
        )*
        /// All of them but the outlook's, which stands beside its answer.
        const FROM_FILES: &[Schema] = &[$($konst),*];
    };
}

schemas! {
    DUE, "due", "due --json";
    CHECK, "check", "check --json";
    SWELL, "swell", "swell --json";
    PLAN, "plan", "plan --json";
    HOURS, "hours", "hours TASK --json";
    MIX, "mix", "mix TASK --json";
    BUY, "buy", "buy --json";
    COVERAGE, "coverage", "coverage --json";
    LEDGER, "ledger", "ledger --json";
    RUN_SHEET, "run-sheet", "run-sheet --json";
    REVIEW, "review", "review --json";
    HISTORY, "history", "history --json";
    RECORDS, "records", "check --records --json";
    WEATHER, "weather", "weather show --sums SUM --json";
    WEATHER_FILE, "weather-file", "weather show FILE --json";
}

/// The shape of `export json`.
pub const OUTLOOK: Schema = Schema {
    name: "outlook",
    of: "export json",
    text: super::outlook_json::SCHEMA,
};

/// Every schema.
pub fn all() -> impl Iterator<Item = Schema> {
    FROM_FILES.iter().copied().chain([OUTLOOK])
}

impl Schema {
    /// The name under which an answer names it.
    pub fn urn(&self) -> String {
        format!("urn:barewood:{}:1", self.name)
    }

    /// An answer that names its schema first.
    ///
    /// # Errors
    /// Where the answer is no JSON, which a test forbids.
    pub fn named(&self, answer: &str) -> serde_json::Result<String> {
        let mut all = Map::new();
        all.insert("$schema".to_owned(), Value::String(self.urn()));
        all.extend(serde_json::from_str::<Map<String, Value>>(answer)?);
        serde_json::to_string_pretty(&all)
    }

    /// Writes an answer that names its schema first.
    ///
    /// # Errors
    /// Where it cannot be written.
    pub fn write(&self, answer: &str, out: &mut dyn Write) -> io::Result<()> {
        writeln!(out, "{}", self.named(answer)?)
    }
}
