//! The application records as text and JSON: what they hold, what they lack.

use crate::domain::records::{self, Flaw, Law, Missing};
use crate::domain::season::{Record, RecordsHead, Season};
use chrono::NaiveDateTime;
use serde_json::json;
use std::fmt::Write;

/// Every record, with what it lacks and how re-entry stands; then what was
/// used, the copper, and what is wrong with the records.
pub fn text(season: &Season, noted: &[RecordsHead], laws: &[Law], now: NaiveDateTime) -> String {
    let mut out = String::new();
    let standings = records::reentries(season, now);
    for record in &season.records {
        out.push_str(&wrap(&head_line(season, record), 0));
        let Some(current) = records::current(season).find(|r| std::ptr::eq(*r, record)) else {
            continue;
        };
        for used in &current.materials {
            out.push_str(&wrap(&material_line(used), 4));
        }
        if let Some(state) = standings.iter().find(|s| s.record == current.id) {
            out.push_str(&wrap(&format!("re-entry: {}", state.standing.words()), 4));
        }
        for m in records::missing(current, laws) {
            out.push_str(&wrap(&missing_line(&m), 4));
        }
    }
    if season.records.is_empty() {
        out.push_str("No records.\n");
    }
    out.push_str(&totals(season));
    out.push_str(&check(season, noted));
    out
}

/// What is wrong with the records, one line each, and the last seal.
pub fn check(season: &Season, noted: &[RecordsHead]) -> String {
    let mut out = String::new();
    for flaw in records::integrity(season, noted) {
        out.push_str(&wrap(&format!("FLAW: {}", flaw.words()), 0));
    }
    for task in records::done_without_record(season) {
        let line = format!("{} ({}) is done and has no record", task.title, task.day());
        out.push_str(&wrap(&line, 0));
    }
    if let Some(head) = &season.records_head {
        let _ = writeln!(out, "{} sealed, last seal {}", head.count, head.seal);
    }
    out
}

fn wrap(text: &str, indent: usize) -> String {
    super::wrap::wrapped(text, indent)
}

fn head_line(season: &Season, record: &Record) -> String {
    let blocks: Vec<&str> = records::blocks_of(season, record)
        .iter()
        .map(|b| b.name.as_str())
        .collect();
    let title = record
        .task
        .as_ref()
        .and_then(|id| season.task(id))
        .map_or("no task", |t| t.title.as_str());
    let mut line = format!(
        "{} {} {title} on {}",
        record.id,
        record.date,
        blocks.join(", ")
    );
    if let Some(old) = &record.corrects {
        let why = record.correction.as_deref().unwrap_or("no reason given");
        let _ = write!(line, "; corrects {old} ({why})");
    }
    if let Some(by) = season
        .records
        .iter()
        .rev()
        .find(|r| r.corrects.as_ref() == Some(&record.id))
    {
        let _ = write!(line, "; corrected by {}", by.id);
    }
    line
}

fn material_line(used: &crate::domain::season::RecordedMaterial) -> String {
    let mut line = used.name.clone();
    if let Some(total) = used.total {
        let _ = write!(line, ", {total}");
    }
    if let Some(rate) = used.rate {
        let _ = write!(line, " at {rate}");
    }
    if let Some(copper) = used.copper_kg_per_ha {
        let _ = write!(line, ", {copper:.2} kg/ha of metallic copper");
    }
    line
}

fn missing_line(missing: &Missing) -> String {
    let sure = if missing
        .asked_by
        .iter()
        .any(|l| l.source().line().contains("from memory"))
    {
        ", in part from memory"
    } else {
        ""
    };
    format!(
        "lacks {}: {} [{}{sure}]",
        missing.element,
        missing.words,
        missing.regulation()
    )
}

fn totals(season: &Season) -> String {
    let mut out = String::new();
    for total in records::totals(season).orchard {
        let mut amounts = Vec::new();
        amounts.extend(
            total
                .product_mass
                .map(|m| format!("{:.3} {}", m.value, m.unit.label())),
        );
        amounts.extend(
            total
                .product_volume
                .map(|v| format!("{:.3} {}", v.value, v.unit.label())),
        );
        if total.uses_without_amount > 0 {
            amounts.push(format!(
                "{} use(s) without an amount",
                total.uses_without_amount
            ));
        }
        out.push_str(&wrap(
            &format!(
                "{}: {} use(s), {}",
                total.active,
                total.uses,
                amounts.join(", ")
            ),
            0,
        ));
    }
    for c in records::copper(season) {
        if c.season_kg_per_ha <= 0.0 && c.unknown_uses == 0 {
            continue;
        }
        let name = season.block(&c.block).map_or(c.block.as_str(), |b| &b.name);
        let limit = c.limit_kg_per_ha.map_or_else(String::new, |(kg, source)| {
            format!(" of {kg} [{}]", source.line())
        });
        let unknown = match c.unknown_uses {
            0 => String::new(),
            n => format!("; {n} use(s) could not be reckoned, so it is more"),
        };
        out.push_str(&wrap(
            &format!(
                "copper on {name}: {:.2} kg/ha this season, {:.2} with {} past year(s){limit}{unknown}",
                c.season_kg_per_ha, c.seven_years_kg_per_ha, c.past_years
            ),
            0,
        ));
    }
    out
}

/// `{"records":[…],"flaws":[…]}`: each record as in the file, with `holds` and `lacks`.
pub fn json(season: &Season, noted: &[RecordsHead], laws: &[Law]) -> serde_json::Result<String> {
    let rows: Vec<_> = season
        .records
        .iter()
        .map(|record| {
            let holds = records::current(season).any(|r| std::ptr::eq(r, record));
            let lacks: Vec<_> = records::missing(record, laws)
                .iter()
                .map(|m| {
                    let sources: Vec<String> = m.asked_by.iter().map(|l| l.source().line()).collect();
                    json!({ "element": m.element, "words": m.words, "regulation": m.regulation(), "sources": sources })
                })
                .collect();
            json!({ "record": record, "holds": holds, "lacks": lacks })
        })
        .collect();
    let flaws: Vec<String> = records::integrity(season, noted)
        .iter()
        .map(Flaw::words)
        .collect();
    serde_json::to_string_pretty(
        &json!({ "records": rows, "head": season.records_head, "flaws": flaws }),
    )
}
