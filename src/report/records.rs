//! The application records as text and JSON: what they hold, what they lack.

use crate::domain::records::{self, Flaw, Law, Missing};
use crate::domain::season::{Judgement, Record, RecordsHead, Season};
use crate::domain::targets;
use crate::domain::units::plain_number;
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
        if let (Some(read), Some(hours)) = (current.temperature, current.temperature_by_hours) {
            let line = format!("air: {read} by thermometer ({hours} by the hours of weather)");
            out.push_str(&wrap(&line, 4));
        }
        for judged in &current.judged {
            out.push_str(&wrap(&format!("judged {}", judged_line(judged)), 4));
        }
        if let Some(why) = &current.anyway {
            out.push_str(&wrap(&format!("done anyway: {why}"), 4));
        }
        for m in records::missing(current, laws) {
            out.push_str(&wrap(&missing_line(&m), 4));
        }
    }
    if season.records.is_empty() {
        out.push_str("No records.\n");
    }
    for line in totals(season) {
        out.push_str(&wrap(&line, 0));
    }
    // What may be missing, and by whose word: also that a rule has ended.
    for law in laws.iter().filter(|law| **law != Law::Practice) {
        let line = format!(
            "Asked of records here: {} [{}]",
            law.words(),
            law.source().line()
        );
        out.push_str(&wrap(&line, 0));
    }
    out.push_str(&check(season, noted));
    out
}

/// What is wrong with the records, one line each, and the last seal.
pub fn check(season: &Season, noted: &[RecordsHead]) -> String {
    let mut out = String::new();
    for flaw in records::integrity(season, noted) {
        out.push_str(&wrap(&format!("FLAW: {}", flaw.words()), 0));
    }
    for over in records::over_label(season) {
        let line = format!("STOP {}: over the label: {}", over.record, over.words);
        out.push_str(&wrap(&line, 0));
    }
    for task in records::done_without_record(season) {
        let line = format!("{} ({}) is done and has no record", task.title, task.day());
        out.push_str(&wrap(&line, 0));
    }
    for (record, first) in records::doubles(season) {
        let line = format!(
            "{} tells the same spray as {}: both stay on record and it is counted once; take the one back that is wrong",
            record.id, first.id
        );
        out.push_str(&wrap(&line, 0));
    }
    if let Some(head) = records::head_of(season) {
        let line = format!("note elsewhere, to prove the records later: {head}");
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
    for words in links(season, record) {
        let _ = write!(line, "; {words}");
    }
    line
}

/// What a record corrects or takes back, and by which one it was corrected itself.
fn links(season: &Season, record: &Record) -> Vec<String> {
    let mut links = Vec::new();
    if let Some(old) = &record.corrects {
        let why = record.correction.as_deref().unwrap_or("no reason given");
        let does = if record.taken_back {
            "takes back"
        } else {
            "corrects"
        };
        links.push(format!("{does} {old} ({why})"));
    }
    let by = season
        .records
        .iter()
        .rev()
        .find(|r| r.corrects.as_ref() == Some(&record.id));
    if let Some(by) = by {
        let was = if by.taken_back {
            "taken back"
        } else {
            "corrected"
        };
        links.push(format!("{was} by {}", by.id));
    }
    links
}

/// What a record says, as names and words; what is not known is left out.
pub fn facts(season: &Season, record: &Record) -> Vec<(&'static str, String)> {
    let r = record;
    let mut facts = Vec::new();
    let mut put = |name, words: Option<String>| {
        facts.extend(words.filter(|w| !w.is_empty()).map(|w| (name, w)));
    };
    put("note", Some(links(season, r).join("; ")));
    let clock = |at: NaiveDateTime| at.format("%H:%M").to_string();
    let hours = match (r.started, r.ended) {
        (Some(from), Some(to)) => format!(", {} to {}", clock(from), clock(to)),
        (Some(from), None) => format!(", from {}", clock(from)),
        (None, Some(to)) => format!(", ended {}", clock(to)),
        (None, None) => String::new(),
    };
    put(
        "when",
        Some(format!("{}{hours}", r.date.format("%a %-d %b %Y"))),
    );
    let licence = r.licence.as_ref().map(|l| format!(" ({l})"));
    put(
        "who",
        r.who
            .as_ref()
            .map(|who| format!("{who}{}", licence.unwrap_or_default())),
    );
    put("supervisor", r.supervisor.clone());
    let blocks: Vec<&str> = records::blocks_of(season, r)
        .iter()
        .map(|b| b.name.as_str())
        .collect();
    let size = [
        r.trees.map(|n| format!("{n} trees")),
        r.area.map(|a| a.to_string()),
        r.site.clone(),
    ];
    let mut place = blocks.join(", ");
    for more in size.into_iter().flatten() {
        let _ = write!(place, "; {more}");
    }
    put("where", Some(place));
    put("crop", Some(r.crops.join(", ")));
    let targets: Vec<String> = r
        .targets
        .iter()
        .map(|id| targets::find(season, id).map_or_else(|| id.to_string(), |v| v.name().to_owned()))
        .collect();
    put("against", Some(targets.join(", ")));
    put("why", r.reason.clone());
    for used in &r.materials {
        put("used", Some(material_line(used)));
    }
    let sprayer = r.sprayer.as_ref().map(|id| {
        season
            .sprayer(id)
            .map_or_else(|| id.to_string(), |s| s.name.clone())
    });
    let spray = [
        r.volume.map(|v| v.to_string()),
        sprayer,
        r.setup.clone(),
        r.mixing.clone(),
    ];
    put("spray", Some(joined(spray)));
    let wind = r.wind.map(|w| {
        format!(
            "wind {w}{}",
            r.wind_from
                .as_ref()
                .map_or_else(String::new, |f| format!(" from {f}"))
        )
    });
    let air = [
        wind,
        r.temperature.map(|t| match r.temperature_by_hours {
            Some(hours) => format!("{t} by thermometer ({hours} by the hours of weather)"),
            None => t.to_string(),
        }),
        r.humidity_percent.map(|h| format!("{h} % humidity")),
        r.sky.clone(),
        r.rain.clone(),
        r.bbch.map(|b| format!("BBCH {b}")),
    ];
    put("air", Some(joined(air)));
    put("gear", Some(r.gear.join(", ")));
    put("notices", r.notices.clone());
    put("left over", r.leftover.clone());
    put(
        "look again",
        r.next_check.map(|d| d.format("%a %-d %b %Y").to_string()),
    );
    for judged in &r.judged {
        put("judged", Some(judged_line(judged)));
    }
    put("done anyway", r.anyway.clone());
    put("remarks", r.notes.clone());
    facts
}

/// What stood against it, as it was judged then.
fn judged_line(judged: &Judgement) -> String {
    format!("{}: {} [{}]", judged.level, judged.reason, judged.rule)
}

fn joined<const N: usize>(parts: [Option<String>; N]) -> String {
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn material_line(used: &crate::domain::season::RecordedMaterial) -> String {
    let mut line = used.name.clone();
    if let Some(total) = used.total {
        let _ = write!(line, ", {total}");
    }
    if let Some(sheet) = used.by_sheet {
        let _ = write!(line, " used ({sheet} by the mix sheet)");
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
    format!("lacks {}", lack(missing))
}

/// What is missing, who asks for it, and how sure that is.
fn lack(missing: &Missing) -> String {
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
        "{}: {} [{}{sure}]",
        missing.element,
        missing.words,
        missing.regulation()
    )
}

/// What was used of each active, and of metallic copper block by block.
pub fn totals(season: &Season) -> Vec<String> {
    let mut out = Vec::new();
    for total in records::totals(season).orchard {
        let mut amounts = Vec::new();
        amounts.extend(total.product_mass.map(|m| {
            format!(
                "{} {}",
                plain_number((m.value * 1e3).round() / 1e3),
                m.unit.label()
            )
        }));
        amounts.extend(total.product_volume.map(|v| {
            format!(
                "{} {}",
                plain_number((v.value * 1e3).round() / 1e3),
                v.unit.label()
            )
        }));
        if total.uses_without_amount > 0 {
            amounts.push(format!(
                "{} without an amount",
                uses(total.uses_without_amount)
            ));
        }
        out.push(format!(
            "{}: {}, {}",
            total.active,
            uses(total.uses),
            amounts.join(", ")
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
            n => format!("; {} could not be reckoned, so it is more", uses(n)),
        };
        let past = match c.past_years {
            0 => "no past year on record".to_owned(),
            n => format!(
                "{:.2} with {n} past year{}",
                c.seven_years_kg_per_ha,
                if n == 1 { "" } else { "s" }
            ),
        };
        out.push(format!(
            "metallic copper on {name}: {:.2} kg/ha this season, {past}{limit}{unknown}",
            c.season_kg_per_ha
        ));
    }
    out
}

fn uses(n: u32) -> String {
    format!("{n} {}", if n == 1 { "use" } else { "uses" })
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
    let over: Vec<_> = records::over_label(season)
        .iter()
        .map(|o| json!({ "record": o.record.as_str(), "words": o.words }))
        .collect();
    serde_json::to_string_pretty(
        &json!({ "records": rows, "head": season.records_head, "flaws": flaws, "over_label": over }),
    )
}
