//! Records, and the materials used in them, as CSV (RFC 4180).
//!
//! Lines end in CR LF, the first line names the columns, quantities stand as
//! plain numbers in the unit their column names. A text that a spreadsheet
//! would take for a formula gets an apostrophe in front.

use crate::domain::records::{self, Law, blocks_of, copper_kg_per_ha};
use crate::domain::season::{Record, Season, TargetId};
use crate::domain::units::{Amount, plain_number};
use csv::{Terminator, Writer, WriterBuilder};
use std::fmt::Display;

/// Every record, corrected ones too: one line each.
pub fn records(season: &Season) -> csv::Result<String> {
    let mut out = writer();
    out.write_record([
        "record",
        "holds",
        "corrects",
        "correction",
        "noted",
        "task",
        "date",
        "started",
        "ended",
        "who",
        "licence",
        "supervisor",
        "site",
        "blocks",
        "crops",
        "area_ha",
        "trees",
        "bbch",
        "targets",
        "reason",
        "materials",
        "volume_l",
        "mixing",
        "sprayer",
        "setup",
        "wind_m_per_s",
        "wind_from",
        "temperature_c",
        "humidity_percent",
        "sky",
        "rain",
        "reentry_until",
        "reentry_until_dry",
        "reentry_ended",
        "reentry_seen_by",
        "gear",
        "notices",
        "leftover",
        "next_check",
        "notes",
        "lacks",
        "seal",
        "judged",
        "anyway",
        "temperature_by_hours_c",
    ])?;
    for r in &season.records {
        let holds = holds(season, r);
        let lacks: Vec<&str> = records::missing(r, &Law::of_place(&season.orchard))
            .iter()
            .map(|m| m.element)
            .collect();
        let judged: Vec<String> = r
            .judged
            .iter()
            .map(|j| format!("{}: {}", j.rule, j.reason))
            .collect();
        let row = [
            r.id.to_string(),
            yes(holds),
            maybe(r.corrects.as_ref()),
            maybe(r.correction.as_ref()),
            maybe(r.noted),
            maybe(r.task.as_ref()),
            r.date.to_string(),
            time(r.started),
            time(r.ended),
            maybe(r.who.as_ref()),
            maybe(r.licence.as_ref()),
            maybe(r.supervisor.as_ref()),
            maybe(r.site.as_ref()),
            joined(blocks_of(season, r).iter().map(|b| b.name.as_str())),
            joined(r.crops.iter().map(String::as_str)),
            r.area.map_or_else(String::new, |a| plain_number(a.ha())),
            maybe(r.trees),
            maybe(r.bbch),
            joined(r.targets.iter().map(TargetId::as_str)),
            maybe(r.reason.as_ref()),
            joined(r.materials.iter().map(|m| m.name.as_str())),
            r.volume.map_or_else(String::new, |v| plain_number(v.l())),
            maybe(r.mixing.as_ref()),
            maybe(r.sprayer.as_ref()),
            maybe(r.setup.as_ref()),
            r.wind.map_or_else(String::new, |w| plain_number(w.ms())),
            maybe(r.wind_from.as_ref()),
            r.temperature
                .map_or_else(String::new, |t| plain_number(t.c())),
            r.humidity_percent.map_or_else(String::new, plain_number),
            maybe(r.sky.as_ref()),
            maybe(r.rain.as_ref()),
            time(r.reentry_until),
            yes(r.reentry_until_dry),
            time(r.reentry_ended),
            maybe(r.reentry_seen_by.as_ref()),
            joined(r.gear.iter().map(String::as_str)),
            maybe(r.notices.as_ref()),
            maybe(r.leftover.as_ref()),
            maybe(r.next_check),
            maybe(r.notes.as_ref()),
            joined(lacks.into_iter()),
            maybe(r.seal.as_ref()),
            judged.join("; "),
            maybe(r.anyway.as_ref()),
            r.temperature_by_hours
                .map_or_else(String::new, |t| plain_number(t.c())),
        ];
        out.write_record(row.map(|cell| harmless(&cell)))?;
    }
    finished(out)
}

/// Every material of every record that holds: one line each.
pub fn materials_used(season: &Season) -> csv::Result<String> {
    let mut out = writer();
    out.write_record([
        "record",
        "date",
        "blocks",
        "crops",
        "material",
        "name",
        "active",
        "registration",
        "formulation",
        "active_percent",
        "metallic_copper_percent",
        "lot",
        "rate",
        "total",
        "total_kg",
        "total_l",
        "area_ha",
        "metallic_copper_kg_per_ha",
        "cost",
    ])?;
    for r in records::current(season) {
        for m in &r.materials {
            let (kg, l) = match m.total {
                Some(Amount::Mass(mass)) => (plain_number(mass.kg()), String::new()),
                Some(Amount::Volume(v)) => (String::new(), plain_number(v.l())),
                None => (String::new(), String::new()),
            };
            let percent = |p: crate::domain::units::Percent| plain_number(p.fraction() * 100.0);
            let row = [
                r.id.to_string(),
                r.date.to_string(),
                joined(blocks_of(season, r).iter().map(|b| b.name.as_str())),
                joined(r.crops.iter().map(String::as_str)),
                m.material.to_string(),
                m.name.clone(),
                m.active.clone(),
                maybe(m.registration.as_ref()),
                m.formulation
                    .map_or_else(String::new, |f| format!("{f:?}").to_uppercase()),
                m.active_share.map_or_else(String::new, percent),
                m.metallic_copper.map_or_else(String::new, percent),
                maybe(m.lot.as_ref()),
                maybe(m.rate),
                maybe(m.total),
                kg,
                l,
                r.area.map_or_else(String::new, |a| plain_number(a.ha())),
                copper_kg_per_ha(season, m, r.area).map_or_else(String::new, plain_number),
                m.cost.map_or_else(String::new, plain_number),
            ];
            out.write_record(row.map(|cell| harmless(&cell)))?;
        }
    }
    finished(out)
}

fn holds(season: &Season, record: &Record) -> bool {
    records::current(season).any(|r| std::ptr::eq(r, record))
}

fn writer() -> Writer<Vec<u8>> {
    WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new())
}

fn finished(out: Writer<Vec<u8>>) -> csv::Result<String> {
    let bytes = out
        .into_inner()
        .map_err(|e| csv::Error::from(e.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn maybe(value: Option<impl Display>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

fn time(value: Option<chrono::NaiveDateTime>) -> String {
    value.map_or_else(String::new, |t| t.format("%Y-%m-%dT%H:%M").to_string())
}

fn yes(value: bool) -> String {
    if value { "yes" } else { "no" }.to_owned()
}

fn joined<'a>(items: impl Iterator<Item = &'a str>) -> String {
    items.collect::<Vec<_>>().join("; ")
}

/// Keeps a spreadsheet from running a text: a cell that begins like a formula
/// and is not simply a number gets an apostrophe in front.
fn harmless(cell: &str) -> String {
    let bare = cell.trim_start();
    let starts_formula = bare.starts_with([
        '=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
    ]) || cell.starts_with(['\t', '\r', '\n']);
    if starts_formula && cell.parse::<f64>().is_err() {
        format!("'{cell}")
    } else {
        cell.to_owned()
    }
}
