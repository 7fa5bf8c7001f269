//! The ledger as text of eighty columns, CSV and JSON.

use super::wrap::wrapped;
use crate::domain::ledger::{self, CopperYears, Entry, Filter, SeasonSum, product_sums};
use crate::domain::season::{Season, every_named_block};
use crate::domain::units::{Amount, plain_number};
use chrono::NaiveDate;
use csv::{Terminator, WriterBuilder};
use serde_json::{Value, json};
use std::fmt::Write;

fn rounded(n: f64, places: i32) -> String {
    let by = 10f64.powi(places);
    plain_number((n * by).round() / by)
}

fn amount(a: Option<Amount>) -> String {
    a.map_or_else(
        || "amount not on record".to_owned(),
        |a| match a {
            Amount::Mass(m) => format!("{} {}", rounded(m.value, 3), unit_of(&m.to_string())),
            Amount::Volume(v) => format!("{} {}", rounded(v.value, 3), unit_of(&v.to_string())),
        },
    )
}

fn unit_of(text: &str) -> String {
    text.split_once(' ').map_or("", |(_, unit)| unit).to_owned()
}

/// The whole answer to a question: entries, copper by year where copper is asked for, the sums of
/// the seasons and the shed where nothing narrows them.
///
/// # Errors
/// Where no season knows the blocks that are named.
pub fn page(seasons: &[Season], filter: &Filter, today: NaiveDate) -> Result<String, String> {
    let seasons = &ledger::distinct(seasons);
    let Answer {
        entries,
        copper,
        sums,
        until,
    } = answer(seasons, filter, today)?;
    let mut out = text(&entries, &copper, &sums, (&asked(filter), until));
    if filter.blocks.is_none() && filter.who.is_none() {
        out.push_str(&shed(seasons, filter.active.as_deref()));
    }
    Ok(out)
}

/// What the ledger has on a question.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Each material of each record on each block.
    pub entries: Vec<Entry>,
    /// Metallic copper by year, of the blocks asked for.
    pub copper: Vec<CopperYears>,
    /// The sums of the seasons, where nothing narrows them.
    pub sums: Vec<SeasonSum>,
    /// The last day of the years counted.
    pub until: NaiveDate,
}

/// Looks a question up.
///
/// # Errors
/// Where no season knows the blocks that are named.
pub fn answer(seasons: &[Season], filter: &Filter, today: NaiveDate) -> Result<Answer, String> {
    let seasons = &ledger::distinct(seasons);
    let until = filter.to.unwrap_or(today);
    let entries = ledger::entries(seasons, filter)?;
    let about_copper = filter
        .active
        .as_ref()
        .is_none_or(|a| a.to_lowercase().contains("copper"));
    let mut copper = if about_copper {
        ledger::copper_years(seasons, until)
    } else {
        Vec::new()
    };
    if let (Some(text), Some(latest)) = (&filter.blocks, seasons.last()) {
        let ids = every_named_block(text, latest).unwrap_or_default();
        copper.retain(|c| ids.iter().any(|id| id.as_str() == c.block));
    }
    copper.retain(|c| filter.blocks.is_some() || c.seven_years > 0.0 || c.unknown_uses > 0);
    let is_whole = filter.blocks.is_none() && filter.active.is_none() && filter.who.is_none();
    let sums = if is_whole {
        ledger::season_sums(seasons)
    } else {
        Vec::new()
    };
    Ok(Answer {
        entries,
        copper,
        sums,
        until,
    })
}

/// The question in words.
fn asked(filter: &Filter) -> String {
    let day = |d: Option<NaiveDate>| d.map(|d| d.to_string());
    let words: Vec<String> = [
        ("block", filter.blocks.clone()),
        ("active", filter.active.clone()),
        ("who", filter.who.clone()),
        ("from", day(filter.from)),
        ("to", day(filter.to)),
    ]
    .into_iter()
    .filter_map(|(word, value)| Some(format!("{word} {}", value?)))
    .collect();
    if words.is_empty() {
        "everything on record".to_owned()
    } else {
        words.join(", ")
    }
}

/// What is on record, with the sums it comes to.
pub fn text(
    entries: &[Entry],
    copper: &[CopperYears],
    sums: &[SeasonSum],
    (asked, until): (&str, NaiveDate),
) -> String {
    let mut out = String::new();
    out.push_str(&wrapped(&format!("Ledger: {asked}"), 0));
    if entries.is_empty() {
        out.push_str("  nothing on record\n");
    }
    let mut season = "";
    for e in entries {
        if e.season != season {
            season = &e.season;
            let _ = writeln!(out, "\n{season}");
        }
        let mut line = format!(
            "{} {}, {}: {}",
            e.date,
            e.block_name,
            e.material,
            amount(e.product)
        );
        if let Some(rate) = &e.rate {
            let _ = write!(line, " at {rate}");
        }
        if e.is_copper {
            match (e.copper_kg_per_ha, e.copper_kg) {
                (Some(per), Some(kg)) => {
                    let _ = write!(
                        line,
                        "; metal {} kg/ha, {} kg",
                        rounded(per, 3),
                        rounded(kg, 3)
                    );
                }
                (Some(per), None) => {
                    let _ = write!(line, "; metal {} kg/ha", rounded(per, 3));
                }
                _ => line.push_str("; METAL NOT KNOWN"),
            }
        }
        let _ = write!(
            line,
            "; {}",
            e.who.as_deref().unwrap_or("who: not filled in")
        );
        if !e.clock.is_empty() {
            let _ = write!(line, " {}", e.clock);
        }
        if let Some(wind) = &e.wind {
            let _ = write!(line, ", wind {wind}");
        }
        let _ = write!(line, " ({})", e.record);
        out.push_str(&wrapped(&line, 2));
    }
    if !entries.is_empty() {
        out.push_str("\nTotal of these\n");
        for (active, kg, l, without) in product_sums(entries) {
            let mut parts = Vec::new();
            if kg > 0.0 {
                parts.push(format!("{} kg", rounded(kg, 3)));
            }
            if l > 0.0 {
                parts.push(format!("{} L", rounded(l, 3)));
            }
            if without > 0 {
                parts.push(format!("{without} without an amount"));
            }
            out.push_str(&wrapped(
                &format!("{active}: {} of product", parts.join(" and ")),
                2,
            ));
        }
        let metal: f64 = entries.iter().filter_map(|e| e.copper_kg).sum();
        if metal > 0.0 {
            out.push_str(&wrapped(
                &format!("metallic copper: {} kg", rounded(metal, 3)),
                2,
            ));
        }
    }
    if !copper.is_empty() {
        let _ = writeln!(out, "\nMetallic copper, kg/ha, up to {until}");
        for c in copper {
            copper_lines(&mut out, c);
        }
    }
    if !sums.is_empty() {
        out.push_str("\nSeasons\n");
        for s in sums {
            season_lines(&mut out, s);
        }
    }
    out
}

fn copper_lines(out: &mut String, c: &CopperYears) {
    let by = |list: Vec<String>| {
        if list.is_empty() {
            "none".to_owned()
        } else {
            list.join(", ")
        }
    };
    let seasons = by(c
        .by_season
        .iter()
        .map(|(s, kg)| format!("{s} {}", rounded(*kg, 3)))
        .collect());
    let years = by(c
        .by_year
        .iter()
        .map(|(y, kg)| format!("{y} {}", rounded(*kg, 3)))
        .collect());
    let mut line = format!(
        "{}: by season {seasons}; by calendar year {years}; seven years {}",
        c.name,
        rounded(c.seven_years, 3)
    );
    if c.stated > 0.0 {
        let _ = write!(
            line,
            ", {} of it from the block's own list of past years",
            rounded(c.stated, 3)
        );
    }
    if c.from_list > 0.0 {
        let _ = write!(
            line,
            ", {} of it from the orchard's list of past years, which is not by block",
            rounded(c.from_list, 3)
        );
    }
    if !c.unknown_years.is_empty() {
        let _ = write!(line, "; NOT KNOWN: {}", c.unknown_years.join(", "));
    }
    if c.unknown_uses > 0 {
        let _ = write!(line, "; {} uses whose metal is not known", c.unknown_uses);
    }
    out.push_str(&wrapped(&line, 2));
}

fn season_lines(out: &mut String, s: &SeasonSum) {
    let list = |list: &[(String, f64)]| {
        let each: Vec<String> = list
            .iter()
            .map(|(name, h)| format!("{name} {} h", rounded(*h, 1)))
            .collect();
        each.join(", ")
    };
    let mut line = format!(
        "{}: {} sprays, {} L of spray",
        s.season,
        s.sprays,
        rounded(s.water_l, 0)
    );
    if s.cost > 0.0 {
        let _ = write!(line, ", cost {:.2}", s.cost);
    }
    if s.without_cost > 0 {
        let _ = write!(line, " ({} uses without a price)", s.without_cost);
    }
    if s.hours > 0.0 {
        let _ = write!(
            line,
            "; {} h: {}; {}",
            rounded(s.hours, 1),
            list(&s.people),
            list(&s.sprayers)
        );
    }
    if s.without_hours > 0 {
        let _ = write!(line, "; {} records without start and end", s.without_hours);
    }
    if !s.leftovers.is_empty() {
        let _ = write!(line, "; left over: {}", s.leftovers.join("; "));
    }
    out.push_str(&wrapped(&line, 2));
}

/// Receipts and counts, with what differs, oldest first.
pub fn shed(seasons: &[Season], active: Option<&str>) -> String {
    let mut out = String::new();
    for season in seasons {
        for e in &season.shed {
            let material = season.material(&e.material);
            let name = material.map_or(e.material.as_str(), |m| m.name.as_str());
            let about = format!("{name} {}", material.map_or("", |m| m.active.as_str()));
            if active.is_some_and(|a| !about.to_lowercase().contains(&a.to_lowercase())) {
                continue;
            }
            let mut line = format!("{} {name}:", e.date);
            if let Some(a) = e.received {
                let _ = write!(line, " received {a}");
            }
            if let Some(a) = e.counted {
                let _ = write!(line, " counted {a}");
            }
            if let Some(difference) = e.difference() {
                let _ = write!(line, ", differs by {}", amount(Some(difference)));
            }
            for (word, text) in [("lot", &e.lot), ("note", &e.note)] {
                if let Some(text) = text {
                    let _ = write!(line, ", {word} {text}");
                }
            }
            if let Some(paid) = e.paid {
                let _ = write!(line, ", paid {paid:.2}");
            }
            out.push_str(&wrapped(&line, 2));
        }
    }
    if out.is_empty() {
        out
    } else {
        format!("\nShed: receipts and counts\n{out}")
    }
}

/// One row an entry (RFC 4180).
pub fn csv(entries: &[Entry]) -> csv::Result<String> {
    let mut out = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    out.write_record([
        "season",
        "record",
        "date",
        "time",
        "who",
        "block",
        "block_name",
        "material",
        "registration",
        "active",
        "rate",
        "product_kg",
        "product_l",
        "area_ha",
        "copper_kg",
        "copper_kg_per_ha",
        "cost",
        "wind",
        "targets",
    ])?;
    let number = |n: Option<f64>| n.map_or_else(String::new, |n| rounded(n, 6));
    for e in entries {
        let (kg, l) = match e.product {
            Some(Amount::Mass(m)) => (Some(m.kg()), None),
            Some(Amount::Volume(v)) => (None, Some(v.l())),
            None => (None, None),
        };
        let row = [
            e.season.clone(),
            e.record.clone(),
            e.date.to_string(),
            e.clock.clone(),
            e.who.clone().unwrap_or_default(),
            e.block.clone(),
            e.block_name.clone(),
            e.material.clone(),
            e.registration.clone().unwrap_or_default(),
            e.active.clone(),
            e.rate.clone().unwrap_or_default(),
            number(kg),
            number(l),
            number(e.area_ha),
            number(e.copper_kg),
            number(e.copper_kg_per_ha),
            number(e.cost),
            e.wind.clone().unwrap_or_default(),
            e.targets.join("; "),
        ];
        out.write_record(row.map(harmless))?;
    }
    let bytes = out.into_inner().map_err(|e| e.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A text that a spreadsheet would take for a formula gets an apostrophe in front.
fn harmless(text: String) -> String {
    let is_formula = text.starts_with(['=', '+', '@', '\t', '\r'])
        || (text.starts_with('-') && text.parse::<f64>().is_err());
    if is_formula { format!("'{text}") } else { text }
}

fn hours_of(list: &[(String, f64)]) -> Vec<Value> {
    let one = |(name, hours): &(String, f64)| json!({ "name": name, "hours": hours });
    list.iter().map(one).collect()
}

/// Everything as JSON.
///
/// # Errors
/// Never, for plain values.
pub fn json(answer: &Answer) -> serde_json::Result<String> {
    serde_json::to_string(&json!({
        "until": answer.until.to_string(),
        "entries": answer.entries.iter().map(|e| json!({
            "season": e.season, "record": e.record, "date": e.date.to_string(),
            "who": e.who, "block": e.block, "block_name": e.block_name,
            "material": e.material, "active": e.active,
            "product": e.product.map(|p| p.to_string()), "area_ha": e.area_ha,
            "copper_kg": e.copper_kg, "copper_kg_per_ha": e.copper_kg_per_ha,
            "cost": e.cost, "wind": e.wind, "targets": e.targets,
        })).collect::<Vec<_>>(),
        "copper": answer.copper.iter().map(|c| json!({
            "block": c.block, "block_name": c.name,
            "by_season": c.by_season.iter().map(|(season, kg)| json!({
                "season": season, "kg_per_ha": kg,
            })).collect::<Vec<_>>(),
            "by_year": c.by_year.iter().map(|(year, kg)| json!({
                "year": year, "kg_per_ha": kg,
            })).collect::<Vec<_>>(),
            "seven_years_kg_per_ha": c.seven_years, "from_block_kg_per_ha": c.stated, "from_list_kg_per_ha": c.from_list,
            "unknown_years": c.unknown_years, "unknown_uses": c.unknown_uses,
        })).collect::<Vec<_>>(),
        "seasons": answer.sums.iter().map(|s| json!({
            "season": s.season, "sprays": s.sprays, "cost": s.cost, "hours": s.hours,
            "people": hours_of(&s.people), "sprayers": hours_of(&s.sprayers),
            "water_l": s.water_l,
            "leftovers": s.leftovers,
        })).collect::<Vec<_>>(),
    }))
}
