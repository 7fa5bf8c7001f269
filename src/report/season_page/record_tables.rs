//! The application records and what was used, as tables.

use super::SeasonPage;
use super::tables::{note, table};
use crate::domain::records::{self, Flaw, Law};
use crate::domain::season::{Record, Season};

fn record_row(season: &Season, record: &Record) -> Vec<String> {
    let time = |t: Option<chrono::NaiveDateTime>| {
        t.map_or_else(|| "?".to_owned(), |t| t.format("%H:%M").to_string())
    };
    let materials: Vec<String> = record
        .materials
        .iter()
        .map(|m| {
            let mut words = m.name.clone();
            for part in [
                m.registration.clone().map(|r| format!("no. {r}")),
                m.total.map(|t| t.to_string()),
                m.by_sheet.map(|t| format!("{t} by the mix sheet")),
                m.rate.map(|r| format!("at {r}")),
                m.copper_kg_per_ha.map(|c| format!("{c:.2} kg/ha copper")),
            ]
            .into_iter()
            .flatten()
            {
                words.push_str(", ");
                words.push_str(&part);
            }
            words
        })
        .collect();
    let air: Vec<String> = [
        record.wind.map(|w| {
            let from = record.wind_from.as_deref().unwrap_or("?");
            format!("wind {w} from {from}")
        }),
        record.temperature.map(|t| t.to_string()),
        record
            .temperature_by_hours
            .map(|t| format!("{t} by the hours of weather")),
        record
            .humidity_percent
            .map(|h| format!("{h:.0} % humidity")),
    ]
    .into_iter()
    .flatten()
    .collect();
    let reentry = match (record.reentry_ended, record.reentry_until) {
        (Some(at), _) => format!(
            "ended {}, dry, seen by {}",
            at.format("%Y-%m-%d %H:%M"),
            record.reentry_seen_by.as_deref().unwrap_or("?")
        ),
        (None, Some(until)) => {
            let dry = if record.reentry_until_dry {
                " and until dry"
            } else {
                ""
            };
            format!("{}{dry}", until.format("%Y-%m-%d %H:%M"))
        }
        (None, None) => "until dry".to_owned(),
    };
    let blocks: Vec<&str> = records::blocks_of(season, record)
        .iter()
        .map(|b| b.name.as_str())
        .collect();
    let who = match (&record.who, &record.licence) {
        (Some(who), Some(licence)) => format!("{who} ({licence})"),
        (Some(who), None) => who.clone(),
        _ => String::new(),
    };
    let lacks: Vec<&str> = records::missing(record, &Law::of_place(&season.orchard))
        .iter()
        .map(|m| m.element)
        .collect();
    let id = match &record.corrects {
        Some(old) => format!("{}, corrects {old}", record.id),
        None => record.id.to_string(),
    };
    vec![
        id,
        format!(
            "{} {}-{}",
            record.date,
            time(record.started),
            time(record.ended)
        ),
        who,
        blocks.join(", "),
        materials.join("; "),
        air.join(", "),
        reentry,
        lacks.join(", "),
    ]
}

/// What stood against the applications, and why they were done anyway: none without a stop.
fn against(season: &Season) -> String {
    let rows: Vec<Vec<String>> = records::current(season)
        .filter(|r| !r.judged.is_empty() || r.anyway.is_some())
        .map(|r| {
            let judged: Vec<String> = r
                .judged
                .iter()
                .map(|j| format!("{}: {}", j.level, j.reason))
                .collect();
            vec![
                r.id.to_string(),
                judged.join("; "),
                r.anyway.clone().unwrap_or_default(),
            ]
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    table(&["record", "against it", "done anyway"], &[], &rows)
}

pub(super) fn records(page: &SeasonPage<'_>) -> String {
    let season = page.season;
    if season.records.is_empty() {
        return note("No records.");
    }
    let rows: Vec<Vec<String>> = records::current(season)
        .map(|r| record_row(season, r))
        .collect();
    let against = against(season);
    let heads = [
        "record",
        "when",
        "who",
        "blocks",
        "materials",
        "air",
        "re-entry",
        "lacks",
    ];
    let mut out = table(&heads, &[], &rows);
    out.push_str(&against);
    let old: Vec<&str> = season
        .records
        .iter()
        .filter(|r| !records::current(season).any(|c| std::ptr::eq(c, *r)))
        .map(|r| r.id.as_str())
        .collect();
    if !old.is_empty() {
        out.push_str(&note(&format!(
            "Corrected since, kept in the season file: {}.",
            old.join(", ")
        )));
    }
    for flaw in records::integrity(season, &[]) {
        out.push_str(&note(&format!("Flaw: {}.", Flaw::words(&flaw))));
    }
    if let Some(head) = &season.records_head {
        out.push_str(&note(&format!(
            "{} sealed; last seal {}. Kept on paper, it shows later whether records were cut from the end.",
            head.count, head.seal
        )));
    }
    out
}

pub(super) fn totals(page: &SeasonPage<'_>) -> String {
    let season = page.season;
    let all = records::totals(season).orchard;
    if all.is_empty() {
        return note("Nothing on record.");
    }
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|t| {
            let mut amounts: Vec<String> = Vec::new();
            amounts.extend(
                t.product_mass
                    .map(|m| format!("{:.3} {}", m.value, m.unit.label())),
            );
            amounts.extend(
                t.product_volume
                    .map(|v| format!("{:.3} {}", v.value, v.unit.label())),
            );
            if t.uses_without_amount > 0 {
                amounts.push(format!(
                    "{} use(s) without an amount",
                    t.uses_without_amount
                ));
            }
            vec![t.active.clone(), t.uses.to_string(), amounts.join(", ")]
        })
        .collect();
    let mut out = table(&["active", "uses", "product"], &[1], &rows);
    let copper: Vec<Vec<String>> = records::copper(season)
        .iter()
        .filter(|c| c.season_kg_per_ha > 0.0 || c.unknown_uses > 0)
        .map(|c| {
            let name = season.block(&c.block).map_or(c.block.as_str(), |b| &b.name);
            vec![
                name.to_owned(),
                format!("{:.2}", c.season_kg_per_ha),
                format!(
                    "{:.2} ({} past years)",
                    c.seven_years_kg_per_ha, c.past_years
                ),
                c.limit_kg_per_ha.map_or_else(
                    || "see label".to_owned(),
                    |(kg, s)| format!("{kg} [{}]", s.line()),
                ),
                c.unknown_uses.to_string(),
            ]
        })
        .collect();
    if !copper.is_empty() {
        let heads = [
            "metallic copper",
            "this season, kg/ha",
            "over seven years, kg/ha",
            "limit over seven years",
            "uses not reckoned",
        ];
        out.push_str(&table(&heads, &[1, 4], &copper));
    }
    out
}
