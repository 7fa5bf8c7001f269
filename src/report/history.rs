//! Seasons side by side, and what the own dates do for the estimate, as text and JSON.

mod own;
mod side;

pub use own::own_lines;
pub use side::side_by_side;

use crate::domain::history::{JudgedDate, NotedEstimate, OwnDates, SeasonRow};
use crate::domain::review::Range;
use chrono::NaiveDate;
use serde_json::{Value, json};
use std::fmt::Write;

/// The seasons side by side as text, then how good the estimate has been.
pub fn text(rows: &[SeasonRow], own: &[OwnDates]) -> String {
    let mut out = String::new();
    if rows.is_empty() {
        out.push_str("No seasons.\n");
    }
    for line in side_by_side(rows, super::wrap::WIDTH) {
        let _ = writeln!(out, "{}", line.trim_end());
    }
    let estimates = estimate_lines(rows);
    if !estimates.is_empty() {
        out.push_str("\nSwell as it was estimated at each review, and what came\n");
    }
    for line in estimates {
        out.push_str(&super::wrap::wrapped(&line, 2));
    }
    out.push_str("\nYour own dates and the estimate\n");
    for line in own_lines(own) {
        out.push_str(&super::wrap::wrapped(&line, 2));
    }
    out
}

/// Every estimate noted at a review, judged by what came.
pub fn estimate_lines(rows: &[SeasonRow]) -> Vec<String> {
    rows.iter()
        .flat_map(|row| row.blocks.iter())
        .flat_map(|block| {
            block
                .noted
                .iter()
                .map(|noted| format!("{}, {}", block.name, estimate(noted)))
        })
        .collect()
}

fn day(date: NaiveDate) -> String {
    date.format("%-d %b").to_string()
}

fn full_day(date: NaiveDate) -> String {
    date.format("%-d %b %Y").to_string()
}

fn range(range: Range) -> String {
    format!("{} ({}-{})", day(range.p50), day(range.p10), day(range.p90))
}

/// `3 d late`, `2 d early`, `on the day`.
fn off(days: i64) -> String {
    match days {
        0 => "on the day".to_owned(),
        d if d > 0 => format!("{d} d late"),
        d => format!("{} d early", -d),
    }
}

fn estimate(noted: &NotedEstimate) -> String {
    let said = format!("{}: {}", full_day(noted.date), range(noted.range));
    let (Some(lead), Some(error), Some(inside)) =
        (noted.lead_days, noted.error_days, noted.is_inside)
    else {
        return format!("{said}; swell not noted yet");
    };
    let when = if lead >= 0 {
        format!("{lead} d before")
    } else {
        format!("{} d after", -lead)
    };
    let inside = if inside { "within" } else { "OUTSIDE" };
    format!("{said}; {when}, {}, {inside} its range", off(error))
}

/// `{"seasons":[…],"own_dates":[…]}`. Stable.
pub fn json(rows: &[SeasonRow], own: &[OwnDates]) -> serde_json::Result<String> {
    let seasons: Vec<Value> = rows.iter().map(season_json).collect();
    let own: Vec<Value> = own.iter().map(own_json).collect();
    serde_json::to_string_pretty(&json!({ "seasons": seasons, "own_dates": own }))
}

fn season_json(row: &SeasonRow) -> Value {
    let day = |d: Option<NaiveDate>| d.map(|d| d.to_string());
    let noted = |n: &NotedEstimate| {
        json!({
            "date": n.date.to_string(), "p10": n.range.p10.to_string(),
            "p50": n.range.p50.to_string(), "p90": n.range.p90.to_string(),
            "lead_days": n.lead_days, "error_days": n.error_days, "inside": n.is_inside,
        })
    };
    json!({
        "season": row.season,
        "leaf_drop": row.leaf_drop.0.to_string(),
        "leaf_drop_seen": row.leaf_drop.1,
        "planned": row.planned, "done": row.done, "skipped": row.skipped, "moves": row.moves,
        "records": row.records,
        "copper_kg_per_ha": row.copper_kg_per_ha,
        "copper_unknown_uses": row.copper_unknown_uses,
        "blocks": row.blocks.iter().map(|b| json!({
            "block": b.block.as_str(), "name": b.name,
            "swell_seen": day(b.swell_seen), "swollen_by": day(b.swollen_by),
            "bloom_seen": day(b.bloom_seen),
            "noted": b.noted.iter().map(noted).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}

fn own_json(own: &OwnDates) -> Value {
    let answer = |j: &JudgedDate, r: Range| {
        json!({
            "p10": r.p10.to_string(), "p50": r.p50.to_string(), "p90": r.p90.to_string(),
            "error_days": j.error_days(r), "inside": j.is_inside(r),
        })
    };
    let errors = own.errors().map(|(before, after)| {
        json!({
            "rmse_days_before": before.rmse_days, "rmse_days_after": after.rmse_days,
            "inside_before": before.inside, "inside_after": after.inside,
        })
    });
    json!({
        "block": own.block.as_str(), "name": own.name, "springs": own.springs,
        "without_weather": own.without_weather.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "errors": errors,
        "dates": own.judged.iter().map(|j| json!({
            "stage": j.stage.to_string(), "seen": j.seen.to_string(),
            "asked_on": j.asked_on.to_string(),
            "before": answer(j, j.before), "after": answer(j, j.after),
        })).collect::<Vec<_>>(),
    })
}
