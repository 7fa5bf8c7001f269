//! Seasons side by side, as text and JSON.

use crate::domain::history::{BlockYear, NotedEstimate, SeasonRow};
use chrono::NaiveDate;
use serde_json::json;
use std::fmt::Write;

/// The seasons side by side as text.
pub fn text(rows: &[SeasonRow]) -> String {
    let mut out = String::new();
    for row in rows {
        let (drop, seen) = row.leaf_drop;
        let seen = if seen { "seen" } else { "expected" };
        let _ = writeln!(out, "{}  leaves down {drop} ({seen})", row.season);
        let unknown = match row.copper_unknown_uses {
            0 => String::new(),
            n => format!(", {n} use(s) not reckoned"),
        };
        let _ = writeln!(
            out,
            "    {} planned, {} done, {} left out, {} moves; {} records; copper {:.2} kg/ha{unknown}",
            row.planned, row.done, row.skipped, row.moves, row.records, row.copper_kg_per_ha
        );
        for block in &row.blocks {
            out.push_str(&super::wrap::wrapped(
                &format!("{}: {}", block.name, swelled(block)),
                4,
            ));
            for noted in &block.noted {
                out.push_str(&super::wrap::wrapped(&estimate(noted), 8));
            }
        }
    }
    if rows.is_empty() {
        out.push_str("No seasons.\n");
    }
    out
}

fn swelled(block: &BlockYear) -> String {
    let swell = match (block.swell_seen, block.swollen_by) {
        (Some(day), _) => format!("swelled {day}"),
        (None, Some(day)) => format!("swollen by {day}, the day not noted"),
        (None, None) => "swell not noted".to_owned(),
    };
    match block.bloom_seen {
        Some(day) => format!("{swell}, bloom {day}"),
        None => swell,
    }
}

fn estimate(noted: &NotedEstimate) -> String {
    let said = format!(
        "{}: estimated {} ({} to {})",
        noted.date, noted.range.p50, noted.range.p10, noted.range.p90
    );
    let (Some(lead), Some(error), Some(inside)) =
        (noted.lead_days, noted.error_days, noted.is_inside)
    else {
        return said;
    };
    let off = match error {
        0 => "on the day".to_owned(),
        d if d > 0 => format!("{d} d late"),
        d => format!("{} d early", -d),
    };
    let when = if lead >= 0 {
        format!("{lead} d before")
    } else {
        format!("{} d after", -lead)
    };
    let inside = if inside { "within" } else { "OUTSIDE" };
    format!("{said}: {when}, {off}, {inside} its range")
}

/// `{"seasons":[…]}`. Stable.
pub fn json(rows: &[SeasonRow]) -> serde_json::Result<String> {
    let day = |d: Option<NaiveDate>| d.map(|d| d.to_string());
    let noted = |n: &NotedEstimate| {
        json!({
            "date": n.date.to_string(), "p10": n.range.p10.to_string(),
            "p50": n.range.p50.to_string(), "p90": n.range.p90.to_string(),
            "lead_days": n.lead_days, "error_days": n.error_days, "inside": n.is_inside,
        })
    };
    let seasons: Vec<_> = rows
        .iter()
        .map(|r| {
            json!({
                "season": r.season,
                "leaf_drop": r.leaf_drop.0.to_string(),
                "leaf_drop_seen": r.leaf_drop.1,
                "planned": r.planned, "done": r.done, "skipped": r.skipped, "moves": r.moves,
                "records": r.records,
                "copper_kg_per_ha": r.copper_kg_per_ha,
                "copper_unknown_uses": r.copper_unknown_uses,
                "blocks": r.blocks.iter().map(|b| json!({
                    "block": b.block.as_str(), "name": b.name,
                    "swell_seen": day(b.swell_seen), "swollen_by": day(b.swollen_by),
                    "bloom_seen": day(b.bloom_seen),
                    "noted": b.noted.iter().map(noted).collect::<Vec<_>>(),
                })).collect::<Vec<_>>(),
            })
        })
        .collect();
    serde_json::to_string_pretty(&json!({ "seasons": seasons }))
}
