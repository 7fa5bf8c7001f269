//! Headings and cells.

use super::RowProblem;
use crate::domain::season::{UnitSystem, WorkTime};
use crate::domain::units::{Area, Length, Speed, Volume};
use chrono::NaiveDate;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// What a table lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Blocks.
    Block,
    /// Sprayers.
    Sprayer,
    /// People.
    Person,
}

/// Headings that mean the same.
const ALIKE: [(&str, &[&str]); 25] = [
    ("kind", &["species", "tree", "crop", "fruit"]),
    ("cultivar", &["variety"]),
    ("trees", &["count", "number of trees", "no of trees"]),
    ("area", &["ground", "size"]),
    ("row spacing", &["rows", "between rows"]),
    ("tree spacing", &["spacing", "between trees", "in row"]),
    ("height", &["tree height"]),
    ("spread", &["width", "crown width"]),
    ("volume", &["measured volume", "spray volume"]),
    ("canopy", &[]),
    ("organic", &[]),
    ("guard days", &["guard"]),
    ("site", &["place", "notes", "note"]),
    ("past copper", &["copper past", "copper of past years"]),
    ("type", &[]),
    ("tank", &["tank size"]),
    ("refill min", &["refill", "refill minutes"]),
    ("way min", &["way", "way minutes"]),
    ("speed", &[]),
    ("hours", &["work hours"]),
    ("days", &["work days"]),
    ("output per min", &["output", "l/min", "gal/min"]),
    ("volume per area", &["per area", "l/ha", "gal/acre", "gpa"]),
    ("calibrated", &["calibrated on"]),
    ("sprayers", &[]),
];

/// The headings of a table.
#[derive(Debug, Clone)]
pub struct Heads {
    /// What it lists.
    pub what: What,
    /// The name and the unit of each column.
    columns: Vec<(String, Option<String>)>,
}

impl Heads {
    /// Reads a row of headings; `None` where it is none.
    pub fn of(row: &[String]) -> Option<Self> {
        let first = row.first()?.trim().to_lowercase();
        let first = first.trim_start_matches('\u{feff}');
        let what = match first {
            "block" | "blocks" | "block name" => What::Block,
            "name" if row.len() > 1 => What::Block,
            "sprayer" | "sprayers" => What::Sprayer,
            "person" | "people" | "driver" => What::Person,
            _ => return None,
        };
        Some(Self {
            what,
            columns: row.iter().map(|cell| heading(cell)).collect(),
        })
    }

    /// The first heading.
    pub fn first(&self) -> &'static str {
        match self.what {
            What::Block => "block",
            What::Sprayer => "sprayer",
            What::Person => "person",
        }
    }

    /// Headings that mean nothing here.
    pub fn unknown(&self) -> Vec<String> {
        let known = |name: &str| {
            name.is_empty() || name == "licence" || ALIKE.iter().any(|(head, _)| *head == name)
        };
        self.columns
            .iter()
            .skip(1)
            .map(|c| c.0.clone())
            .filter(|name| !known(name))
            .collect()
    }
}

/// `Area (ha)`, `area ha`, `Row spacing [ft]` as name and unit.
fn heading(cell: &str) -> (String, Option<String>) {
    let text = cell.trim().to_lowercase().replace(['_', '-'], " ");
    let text = text.replace(['(', '[', ')', ']'], " ");
    let words: Vec<&str> = text.split_whitespace().collect();
    let whole = words.join(" ");
    if let Some(name) = canonical(&whole) {
        // A heading that is itself a rate says its unit.
        let unit = whole
            .contains('/')
            .then(|| whole.trim_end_matches("/min").to_owned());
        return (name.to_owned(), unit);
    }
    if let Some((unit, name)) = words.split_last() {
        let name = name.join(" ");
        if let Some(name) = canonical(&name) {
            return (name.to_owned(), Some((*unit).to_owned()));
        }
    }
    (whole, None)
}

fn canonical(text: &str) -> Option<&'static str> {
    ALIKE
        .iter()
        .find(|(head, others)| *head == text || others.contains(&text))
        .map(|(head, _)| *head)
}

/// The cells of one row.
pub struct Cells<'a> {
    heads: &'a Heads,
    row: &'a [String],
    number: usize,
    units: UnitSystem,
    /// What is wrong with them.
    pub problems: Vec<RowProblem>,
}

impl<'a> Cells<'a> {
    /// A row under its headings.
    pub fn new(heads: &'a Heads, row: &'a [String], number: usize, units: UnitSystem) -> Self {
        let mut cells = Self {
            heads,
            row,
            number,
            units,
            problems: Vec::new(),
        };
        let more = row.iter().skip(heads.columns.len());
        if more.clone().any(|c| !c.trim().is_empty()) {
            cells.wrong(
                "",
                format!(
                    "{} cells under {} headings: put cells with a comma in quotes",
                    row.len(),
                    heads.columns.len()
                ),
            );
        }
        cells
    }

    /// The first cell.
    pub fn name(&self) -> Option<String> {
        let name = self.row.first()?.trim();
        (!name.is_empty()).then(|| name.to_owned())
    }

    /// Notes what is wrong.
    pub fn wrong(&mut self, column: &str, what: String) {
        self.problems.push(RowProblem {
            row: self.number,
            column: column.to_owned(),
            what,
        });
    }

    /// Is something wrong with this column?
    pub fn has_problem(&self, column: &str) -> bool {
        self.problems.iter().any(|p| p.column == column)
    }

    fn cell(&self, column: &str) -> Option<(&'a str, Option<&'a str>)> {
        let heads: &'a Heads = self.heads;
        let at = heads.columns.iter().position(|c| c.0 == column)?;
        let text = self.row.get(at)?.trim();
        let unit = heads.columns.get(at).and_then(|c| c.1.as_deref());
        (!text.is_empty()).then_some((text, unit))
    }

    /// Words.
    pub fn text(&self, column: &str) -> Option<String> {
        self.cell(column).map(|c| c.0.to_owned())
    }

    /// Anything that is read from text.
    pub fn read<T>(&mut self, column: &str, read: impl Fn(&str) -> Result<T, String>) -> Option<T> {
        let (text, _) = self.cell(column)?;
        match read(text) {
            Ok(value) => Some(value),
            Err(what) => {
                self.wrong(column, what);
                None
            }
        }
    }

    /// A whole number; a spreadsheet may write 30 as 30.0.
    pub fn whole(&mut self, column: &str, within: RangeInclusive<u32>) -> Option<u32> {
        self.read(column, |text| {
            let plain = text
                .strip_suffix(".0")
                .unwrap_or(text)
                .replace([' ', '\''], "");
            plain
                .parse()
                .ok()
                .filter(|n| within.contains(n))
                .ok_or_else(|| {
                    format!(
                        "'{text}' is no whole number from {} to {}",
                        within.start(),
                        within.end()
                    )
                })
        })
    }

    /// A number from nothing up.
    pub fn number(&mut self, column: &str) -> Option<f64> {
        self.read(column, |text| {
            decimal(text)
                .filter(|n| (0.0..=100_000.0).contains(n))
                .ok_or_else(|| format!("'{text}' is no number from 0 up"))
        })
    }

    /// A quantity: with its own unit, else the heading's, else the season's.
    fn quantity<T: FromStr>(&mut self, column: &str, usual: [&str; 2]) -> Option<T>
    where
        T::Err: std::fmt::Display,
    {
        let (text, unit) = self.cell(column)?;
        let unit = unit.unwrap_or(match self.units {
            UnitSystem::Metric => usual[0],
            UnitSystem::Us => usual[1],
        });
        let whole = match decimal(text) {
            Some(n) => format!("{n} {unit}"),
            None => text.to_owned(),
        };
        self.read(column, |_| {
            whole
                .parse::<T>()
                .map_err(|fault| format!("'{text}': {fault}"))
        })
    }

    /// An area.
    pub fn area(&mut self, column: &str) -> Option<Area> {
        let area: Area = self.quantity(column, ["ha", "acre"])?;
        self.positive(column, area, area.ha())
    }

    /// A length.
    pub fn length(&mut self, column: &str) -> Option<Length> {
        let length: Length = self.quantity(column, ["m", "ft"])?;
        self.positive(column, length, length.m())
    }

    /// A volume.
    pub fn volume(&mut self, column: &str) -> Option<Volume> {
        let volume: Volume = self.quantity(column, ["L", "gal"])?;
        self.positive(column, volume, volume.l())
    }

    /// A speed.
    pub fn speed(&mut self, column: &str) -> Option<Speed> {
        let speed: Speed = self.quantity(column, ["km/h", "mph"])?;
        self.positive(column, speed, speed.ms())
    }

    fn positive<T>(&mut self, column: &str, value: T, si: f64) -> Option<T> {
        if si > 0.0 {
            return Some(value);
        }
        self.wrong(
            column,
            "it must be more than nothing; leave it empty where it is not known".to_owned(),
        );
        None
    }

    /// Litres a hectare: `900 L/ha`, `100 gal/acre`.
    pub fn per_area(&mut self, column: &str) -> Option<f64> {
        let (_, unit) = self.cell(column)?;
        let units = self.units;
        let unit = unit.map(str::to_owned);
        self.read(column, |text| {
            let lower = text.to_lowercase();
            let digits: String = lower
                .chars()
                .take_while(|c| c.is_ascii_digit() || matches!(c, '.' | ','))
                .collect();
            let rest = lower.get(digits.len()..).unwrap_or("").trim().to_owned();
            let unit = if rest.is_empty() {
                unit.clone()
            } else {
                Some(rest)
            };
            let per_acre = match unit.as_deref() {
                Some("l/ha") => false,
                Some("gal/acre" | "gpa" | "gal/ac") => true,
                None => units == UnitSystem::Us,
                Some(other) => {
                    return Err(format!(
                        "'{other}' is no volume per area; write L/ha or gal/acre"
                    ));
                }
            };
            let n = decimal(&digits)
                .filter(|n| *n > 0.0)
                .ok_or_else(|| format!("'{text}' is no number from 0 up"))?;
            Ok(if per_acre {
                n * crate::domain::mix::volume::L_PER_HA_OF_GPA
            } else {
                n
            })
        })
    }

    /// A day.
    pub fn day(&mut self, column: &str) -> Option<NaiveDate> {
        self.read(column, |text| {
            let day = text.split(['T', ' ']).next().unwrap_or(text);
            day.parse()
                .map_err(|_| format!("'{text}' is no day; write it as 2027-01-15"))
        })
    }

    /// Hours `7-17` and days `mon-fri` or `mon, wed`.
    pub fn work_time(&mut self, time: &mut WorkTime) {
        let hours = self.read("hours", |text| {
            let clock = |t: &str| -> Option<u32> {
                let t = t.trim();
                t.strip_suffix(":00")
                    .unwrap_or(t)
                    .parse()
                    .ok()
                    .filter(|h| *h <= 24)
            };
            let both = text.split_once(['-', '\u{2013}']);
            let read = both.and_then(|(from, to)| Some([clock(from)?, clock(to)?]));
            read.filter(|[from, to]| from < to)
                .ok_or_else(|| format!("'{text}' are no hours of the day; write for instance 7-17"))
        });
        time.hours = hours.or(time.hours);
        let days = self.read("days", |text| {
            const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
            let day = |t: &str| {
                let short: String = t.trim().to_lowercase().chars().take(3).collect();
                DAYS.iter().position(|d| *d == short)
            };
            let fault = || format!("'{text}' are no days of the week; write mon-fri, or mon, wed");
            let mut found: Vec<&str> = Vec::new();
            for piece in text.split([',', ';']).filter(|p| !p.trim().is_empty()) {
                let (from, to) = piece.split_once('-').unwrap_or((piece, piece));
                let (Some(from), Some(to)) = (day(from), day(to)) else {
                    return Err(fault());
                };
                let length = (to + 7 - from) % 7;
                found.extend((0..=length).filter_map(|n| DAYS.get((from + n) % 7).copied()));
            }
            Ok(found.into_iter().map(str::to_owned).collect::<Vec<_>>())
        });
        if let Some(days) = days {
            time.days = if days.len() == 7 { Vec::new() } else { days };
        }
    }
}

/// A plain number, with a decimal point or comma.
pub(super) fn decimal(text: &str) -> Option<f64> {
    let plain = text.trim().replace(',', ".");
    let n: f64 = plain.parse().ok()?;
    n.is_finite().then_some(n)
}
