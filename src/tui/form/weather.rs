//! Brings in a weather file: first its name, then what was understood of it with its first rows,
//! what is still open, and then in it goes.

use super::{Field, Form, Kind, Purpose};
use crate::tui::action::Effect;
use crate::tui::host::{TableAsk, TableSeen};

/// Columns of the form that its lines may fill.
const WIDTH: usize = 72;
/// Rows shown of the file.
const ROWS: usize = 2;

/// Fields that choose a column.
const COLUMNS: [(&str, &str, &str); 5] = [
    ("day", "Day is in", "the column with the day"),
    (
        "low",
        "Minimum is in",
        "the column with the lowest temperature of the day",
    ),
    (
        "high",
        "Maximum is in",
        "the column with the highest temperature of the day",
    ),
    (
        "temp",
        "Temperature in",
        "for a table of hours: the column with the temperature",
    ),
    (
        "time",
        "Time is in",
        "for a table of hours: the column with the time, if it stands alone",
    ),
];

fn choices(list: &[(&str, &str)]) -> Vec<(String, String)> {
    list.iter()
        .map(|(k, w)| ((*k).to_owned(), (*w).to_owned()))
        .collect()
}

impl Form {
    /// Asks for a weather file, or shows what was understood of one.
    pub fn weather(seen: Option<&TableSeen>) -> Self {
        let said = |key: &str| {
            seen.and_then(|s| s.ask.said.iter().find(|(k, _)| *k == key))
                .map_or("", |(_, v)| v.as_str())
        };
        let file = seen.map_or("", |s| s.ask.file.as_str());
        let mut fields = vec![Field::new(
            "file",
            "File",
            "its path: CSV, .gz, a workbook, an archive's own form, a saved forecast",
            Kind::Required,
            file,
        )];
        if let Some(seen) = seen {
            fields.push(Field::new(
                "unit",
                "Unit",
                "left and right change it",
                Kind::Choice(choices(&[
                    ("", "as the file says"),
                    ("C", "°C"),
                    ("F", "°F"),
                    ("tenths", "whole tenths of °C"),
                ])),
                said("unit"),
            ));
            fields.push(Field::new(
                "dates",
                "Days",
                "left and right change it",
                Kind::Choice(choices(&[
                    ("", "as the file says"),
                    ("dmy", "day, month, year"),
                    ("mdy", "month, day, year"),
                    ("ymd", "year, month, day"),
                ])),
                said("dates"),
            ));
            if !seen.columns.is_empty() {
                let mut columns = choices(&[("", "as understood")]);
                columns.extend(
                    seen.columns
                        .iter()
                        .enumerate()
                        .map(|(i, name)| ((i + 1).to_string(), format!("{}: {name}", i + 1))),
                );
                for (key, label, help) in COLUMNS {
                    let kind = Kind::Choice(columns.clone());
                    fields.push(Field::new(key, label, help, kind, said(key)));
                }
            }
            fields.push(Field::new(
                "zone",
                "Clock",
                "empty: as the file says; local, standard, utc, -05:00, America/New_York",
                Kind::Text,
                said("zone"),
            ));
            if seen.against.is_some() || seen.ask.anyway {
                fields.push(Field::new(
                    "anyway",
                    "Take it",
                    "left and right change it",
                    Kind::Choice(choices(&[
                        ("no", "no: it may be of elsewhere"),
                        ("yes", "yes, it is meant"),
                    ])),
                    if seen.ask.anyway { "yes" } else { "no" },
                ));
            }
        }
        let ready = seen
            .filter(|s| s.asks.is_empty() && s.against.is_none())
            .map(|s| Box::new(s.ask.clone()));
        let title = match (seen, &ready) {
            (None, _) => "Bring in a weather file (it is looked at first)",
            (Some(_), Some(_)) => "Understood so: enter brings it in",
            (Some(_), None) => "Not brought in yet: what is open?",
        };
        let mut form = Self::new(title, Purpose::Weather(ready), fields);
        if let Some(seen) = seen {
            form.about = about(seen);
            form.focus = form.fields.len();
            form.fault = seen.asks.first().or(seen.against.as_ref()).cloned();
        }
        form
    }

    /// What is wished for: a look at the file, or, where what stands in the form was looked at
    /// already, to bring it in.
    pub(super) fn ask_weather(&self, seen: Option<&TableAsk>) -> Vec<Effect> {
        let keys = ["unit", "dates", "day", "low", "high", "temp", "time"];
        let mut said: Vec<(&'static str, String)> = keys
            .into_iter()
            .map(|key| (key, self.choice(key)))
            .filter(|(_, v)| !v.is_empty())
            .collect();
        said.extend(self.optional("zone").map(|z| ("zone", z)));
        let mut ask = TableAsk {
            file: self.text("file").trim().to_owned(),
            said,
            anyway: self.choice("anyway") == "yes",
            bring: false,
        };
        ask.bring = seen.is_some_and(|seen| *seen == ask);
        vec![Effect::Table(Box::new(ask))]
    }
}

/// Lines above the fields: the first rows, then what was understood. What is asked about most
/// comes first, for windows without room for all of it.
fn about(seen: &TableSeen) -> Vec<String> {
    let mut lines = Vec::new();
    let cut = |text: &str| text.chars().take(WIDTH).collect::<String>();
    if !seen.columns.is_empty() {
        lines.push(cut(&seen.columns.join(" | ")));
    }
    for row in seen.rows.iter().take(ROWS) {
        lines.push(cut(&row.join(" | ")));
    }
    let first = ["unit:", "days:"];
    let is_first = |l: &&String| first.iter().any(|f| l.starts_with(f));
    let understood = seen.lines.iter().filter(is_first);
    let rest = seen.lines.iter().filter(|l| !is_first(l));
    for line in understood.chain(rest).take(8) {
        lines.extend(crate::tui::text::wrap(line.trim(), WIDTH));
    }
    lines
}
