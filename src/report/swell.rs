//! The estimate of a stage for every block, as text and JSON.

pub mod pictures;

use crate::domain::outlook::{Estimates, ToCome};
use crate::domain::phenology::distribution::FEW_TO_HALF_DAYS;
use crate::domain::phenology::stage::Stage;
use crate::domain::season::{BlockId, HowMany, Reading, Season};
use crate::domain::sources;
use chrono::{Days, NaiveDate};
use serde_json::json;
use std::fmt::Write;

/// One block's estimate, ready to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The block's id.
    pub block: String,
    /// Its name.
    pub name: String,
    /// Its kind of tree.
    pub species: &'static str,
    /// The stage.
    pub stage: Stage,
    /// One time in ten reached by this day.
    pub p10: NaiveDate,
    /// As likely before as after.
    pub p50: NaiveDate,
    /// Nine times in ten reached by this day.
    pub p90: NaiveDate,
    /// The last safe day for the orchard's tolerance and the block's guard days.
    pub last_safe: NaiveDate,
    /// Chance that the stage has been reached by today.
    pub chance_by_today: f64,
    /// Which model.
    pub model: String,
    /// How many weather traces.
    pub members: usize,
    /// The last day with an observed temperature.
    pub data_through: Option<NaiveDate>,
    /// What a reader should know.
    pub notes: Vec<String>,
    /// This season's looks at its buds, oldest first: day, BBCH stage, how many of the buds.
    pub looks: Vec<(NaiveDate, u8, HowMany)>,
}

/// The rows of a stage, for all blocks or only those named.
pub fn rows(
    season: &Season,
    estimates: &Estimates,
    today: NaiveDate,
    stage: Stage,
    only: &[String],
) -> Vec<Row> {
    let tolerance = season.orchard.tolerance.fraction();
    season
        .blocks
        .iter()
        .filter(|b| only.is_empty() || only.iter().any(|id| id == b.id.as_str()))
        .filter_map(|block| {
            let estimate = estimates.answer(&block.id, stage)?;
            let date = &estimate.date;
            Some(Row {
                block: block.id.to_string(),
                name: block.name.clone(),
                species: block.species.words(),
                stage,
                p10: date.p10(),
                p50: date.p50(),
                p90: date.p90(),
                last_safe: date.last_safe(
                    tolerance,
                    block.guard_days.unwrap_or(season.orchard.guard_days),
                ),
                chance_by_today: date.chance_by(today),
                model: estimate.model.clone(),
                members: estimate.members,
                data_through: estimate.data_through,
                notes: estimate.notes.clone(),
                looks: looks(season, &block.id, today),
            })
        })
        .collect()
}

/// A block of a kind of which no date is published and of which its owner has told none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// The block's id.
    pub block: String,
    /// Its name.
    pub name: String,
    /// Its kind.
    pub species: &'static str,
}

/// The blocks without an estimate, of all or only of those named.
pub fn unknown(season: &Season, estimates: &Estimates, only: &[String]) -> Vec<Unknown> {
    season
        .blocks
        .iter()
        .filter(|b| only.is_empty() || only.iter().any(|id| id == b.id.as_str()))
        .filter(|b| estimates.of(&b.id).is_none() && !b.species.has_estimate())
        .map(|b| Unknown {
            block: b.id.to_string(),
            name: b.name.clone(),
            species: b.species.words(),
        })
        .collect()
}

/// The same as text: the buds decide, and dates of one's own would help.
pub fn unknown_text(unknown: &[Unknown]) -> String {
    let mut out = String::new();
    for u in unknown {
        let line = format!(
            "{} ({}): no estimate for this kind: look at the buds. Dates of your own make one: note when they swelled, with read buds or in the block's past.",
            u.name, u.species
        );
        out.push_str(&super::wrap::wrapped(&line, 0));
    }
    out
}

fn looks(season: &Season, block: &BlockId, today: NaiveDate) -> Vec<(NaiveDate, u8, HowMany)> {
    let mut looks: Vec<_> = season
        .readings
        .iter()
        .filter(|r| r.is_for(block) && r.date() <= today)
        .filter_map(|r| match r {
            Reading::Buds {
                date,
                bbch,
                how_many,
                ..
            } => Some((*date, *bbch, *how_many)),
            Reading::DegreeDays { .. } | Reading::Rain { .. } => None,
        })
        .collect();
    looks.sort();
    looks
}

/// A look in words; of the first few buds, what follows from it.
pub fn look_words((date, bbch, how_many): (NaiveDate, u8, HowMany)) -> String {
    match how_many {
        HowMany::All => format!("seen: BBCH {bbch} on {date}"),
        HowMany::Most => format!("seen: BBCH {bbch} on {date}, most buds"),
        HowMany::FirstFew => format!(
            "seen: BBCH {bbch} on {date}, the first few buds: half of them, which makes the stage, may follow any day from then on and by {} do [{}; {}]",
            date.checked_add_days(Days::new(FEW_TO_HALF_DAYS.unsigned_abs()))
                .unwrap_or(date),
            sources::BBCH_HALF.line(),
            sources::FIRST_FEW.line()
        ),
    }
}

/// `{"on","blocks":[…],"no_estimate":[…],"to_come":[…]}`. Stable.
pub fn json(
    on: NaiveDate,
    rows: &[Row],
    unknown: &[Unknown],
    to_come: &[ToCome],
) -> serde_json::Result<String> {
    let blocks: Vec<_> = rows
        .iter()
        .map(|r| {
            json!({
                "block": r.block,
                "species": r.species,
                "stage": r.stage.key(),
                "bbch": r.stage.bbch(),
                "p10": r.p10.to_string(),
                "p50": r.p50.to_string(),
                "p90": r.p90.to_string(),
                "last_safe": r.last_safe.to_string(),
                "model": r.model,
                "members": r.members,
                "data_through": r.data_through.map(|d| d.to_string()),
                "notes": r.notes,
                "looks": r.looks.iter().map(|(date, bbch, how_many)| json!({
                    "date": date.to_string(), "bbch": bbch, "how_many": how_many.words(),
                })).collect::<Vec<_>>(),
            })
        })
        .collect();
    let to_come: Vec<_> = to_come
        .iter()
        .map(|t| {
            json!({
                "about": t.about,
                "blocks": t.blocks,
                "words": t.words,
                "source": t.source,
            })
        })
        .collect();
    let unknown: Vec<_> = unknown
        .iter()
        .map(|u| json!({ "block": u.block, "species": u.species }))
        .collect();
    serde_json::to_string_pretty(&json!({
        "on": on.to_string(), "blocks": blocks, "no_estimate": unknown, "to_come": to_come,
    }))
}

/// What published models say is still to come, quietly below the dates.
pub fn to_come_text(lines: &[ToCome]) -> String {
    let mut out = String::new();
    for line in lines {
        let words = format!(
            "By a model, no promise: {} [{}]",
            line.words,
            line.source.line()
        );
        out.push_str(&super::wrap::wrapped(&words, 2));
    }
    out
}

/// The same as text.
pub fn text(on: NaiveDate, rows: &[Row]) -> String {
    let mut out = String::new();
    for r in rows {
        let _ = writeln!(
            out,
            "{} ({}): {} {}",
            r.name,
            r.species,
            r.stage.words(),
            r.p50
        );
        let _ = writeln!(
            out,
            "    80 % between {} and {}; by {on}: {:.0} %",
            r.p10,
            r.p90,
            r.chance_by_today * 100.0
        );
        let _ = writeln!(
            out,
            "    last safe day for what must be over before {}: {}",
            r.stage.words(),
            r.last_safe
        );
        let through = r.data_through.map_or_else(
            || "no temperatures".to_owned(),
            |d| format!("temperatures through {d}"),
        );
        out.push_str(&super::wrap::wrapped(
            &format!(
                "model: {}; {} weather traces; {through}",
                r.model, r.members
            ),
            4,
        ));
        for look in &r.looks {
            out.push_str(&super::wrap::wrapped(&look_words(*look), 4));
        }
        for note in &r.notes {
            out.push_str(&super::wrap::wrapped(note, 4));
        }
    }
    out
}
