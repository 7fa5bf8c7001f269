//! The buy list as text and JSON.

use super::mix_sheet::answer::Amount;
use crate::domain::mix::buy::BuyList;
use crate::domain::mix::measure::Measured;
use serde::Serialize;
use std::fmt::Write;

/// The list as JSON: types of its own, so that its keys stand still.
#[derive(Serialize)]
struct Answer<'a> {
    rows: Vec<Row<'a>>,
    cost: f64,
    cost_is_partial: bool,
}

#[derive(Serialize)]
struct Row<'a> {
    material: &'a str,
    name: &'a str,
    need: Option<Amount>,
    stock: Option<String>,
    short: Option<Amount>,
    packs: Option<u32>,
    cost: Option<f64>,
    tasks: Vec<&'a str>,
    first_needed: String,
    unknown: &'a [String],
}

/// The list as JSON.
///
/// # Errors
/// None is expected: the list holds only text and numbers.
pub fn json(list: &BuyList) -> Result<String, serde_json::Error> {
    let rows = list.rows.iter().map(|row| Row {
        material: row.material.as_str(),
        name: &row.name,
        need: row.need.as_ref().map(Amount::from),
        stock: row.stock.as_ref().map(ToString::to_string),
        short: row.short.as_ref().map(Amount::from),
        packs: row.packs,
        cost: row.cost,
        tasks: row.tasks.iter().map(|t| t.as_str()).collect(),
        first_needed: row.first_needed.to_string(),
        unknown: &row.unknown,
    });
    serde_json::to_string_pretty(&Answer {
        rows: rows.collect(),
        cost: list.cost,
        cost_is_partial: list.cost_is_partial,
    })
}

/// One line a material that is short, then those that suffice.
pub fn text(list: &BuyList) -> String {
    let mut out = String::new();
    let shown = |m: &Option<Measured>| {
        m.as_ref()
            .map_or_else(|| "not known".to_owned(), |m| m.amount.to_string())
    };
    for row in &list.rows {
        let stock = row
            .stock
            .map_or_else(|| "not counted".to_owned(), |s| s.to_string());
        let buy = match (&row.short, row.packs, row.cost) {
            (Some(short), Some(packs), Some(cost)) => {
                format!("BUY {} ({packs} packs, {cost:.2})", short.amount)
            }
            (Some(short), Some(packs), None) => format!("BUY {} ({packs} packs)", short.amount),
            (Some(short), None, _) => format!("BUY {}", short.amount),
            (None, ..) if row.need.is_some() && row.stock.is_some() => "enough".to_owned(),
            _ => "look".to_owned(),
        };
        let line = format!(
            "{}: need {}, in the shed {stock}; first needed {}: {buy}",
            row.name,
            shown(&row.need),
            row.first_needed
        );
        out.push_str(&super::wrap::wrapped(&line, 0));
        for unknown in &row.unknown {
            out.push_str(&super::wrap::wrapped(unknown, 4));
        }
    }
    if list.rows.is_empty() {
        out.push_str("No open spray needs anything.\n");
    } else if list.cost > 0.0 {
        let partial = if list.cost_is_partial {
            ", not all prices known"
        } else {
            ""
        };
        let _ = writeln!(out, "To spend: {:.2}{partial}", list.cost);
    }
    out
}
