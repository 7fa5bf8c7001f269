//! The mix sheet as lines: what speaks against it first, then what to do.

use crate::domain::mix::measure::Measured;
use crate::domain::mix::products::Product;
use crate::domain::mix::{MixSheet, Verdict};
use crate::domain::rules::Level;
use crate::report::mix_sheet::{area, copper, off, spray, verdict};
use crate::tui::details::{Row, tone};
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;

/// From this width on the amounts stand in columns.
const TABLE: usize = 76;

/// The sheet in lines for so many columns.
pub fn rows(sheet: &MixSheet, columns: usize) -> Vec<Row> {
    let mut rows = Vec::new();
    top(sheet, &mut rows);
    blocks(sheet, &mut rows);
    rows.extend([Row::gap(), Row::head("Products, in the order they go in")]);
    if sheet.products.is_empty() {
        rows.push(Row::text("No material is chosen."));
    } else if columns >= TABLE {
        table(sheet, &mut rows);
    } else {
        for product in &sheet.products {
            stacked(sheet, product, &mut rows);
        }
    }
    if !sheet.steps.is_empty() {
        rows.extend([Row::gap(), Row::head("At the tank")]);
        for (n, step) in sheet.steps.iter().enumerate() {
            rows.push(Row::signed(
                &format!("{:>2}. ", n + 1),
                Tone::Plain,
                step.words.as_str(),
            ));
        }
    }
    people(sheet, &mut rows);
    why(sheet, &mut rows);
    rows
}

/// The verdict, what refuses it, what stands across it, every warning.
fn top(sheet: &MixSheet, rows: &mut Vec<Row>) {
    let (sign, look) = match sheet.verdict {
        Verdict::Fine => ("ok ", Tone::Good),
        Verdict::CannotTell => ("? ", Tone::Caution),
        Verdict::Caution => ("! ", Tone::Caution),
        Verdict::NotAsPlanned | Verdict::Refused => ("!! ", Tone::Stop),
    };
    rows.push(Row {
        sign: sign.to_owned(),
        tone: look,
        text: verdict(sheet).to_owned(),
        head: true,
    });
    for line in &sheet.refusals {
        rows.push(Row::signed("xx ", Tone::Stop, line.as_str()));
    }
    for line in &sheet.banner {
        rows.push(Row::signed("!! ", Tone::Stop, line.as_str()));
    }
    let open = sheet
        .warnings
        .iter()
        .filter(|w| w.level >= Level::Caution && !sheet.refusals.contains(&w.message));
    for w in open {
        rows.push(Row::signed(
            &format!("{} ", words::level_sign(w.level)),
            tone(w.level),
            format!("{}: {}", w.level.words(), w.message),
        ));
    }
}

fn blocks(sheet: &MixSheet, rows: &mut Vec<Row>) {
    rows.extend([Row::gap(), Row::head("Blocks and spray")]);
    for b in &sheet.blocks {
        let ground = b
            .area_ha
            .map_or_else(|| "ground not known".to_owned(), |a| area(a, sheet.units));
        let volume = b.litres.zip(b.how).map_or_else(
            || "spray not known".to_owned(),
            |(l, how)| format!("{} ({})", spray(l, sheet.units), how.words()),
        );
        let swell = b
            .swell
            .as_ref()
            .map_or_else(String::new, |s| format!("; first swell {s}"));
        rows.push(Row::signed(
            "- ",
            Tone::Plain,
            format!(
                "{}: {}, {}, {ground}, {volume}{swell}",
                b.name,
                text::count(i64::from(b.trees), "tree", "trees"),
                b.species
            ),
        ));
    }
    let total = sheet
        .total_l
        .map_or_else(|| "not known".to_owned(), |l| spray(l, sheet.units));
    let sprayer = sheet.sprayer.as_deref().unwrap_or("no sprayer chosen");
    let mut tanks = Vec::new();
    if let (Some(t), Some(tank)) = (sheet.tanks.filter(|t| t.full > 0), &sheet.tank) {
        tanks.push(format!("{} full of {}", t.full, tank.amount));
    }
    if let Some(last) = &sheet.last_tank {
        tanks.push(format!("1 part tank of {}", last.amount));
    }
    let tanks = if tanks.is_empty() {
        String::new()
    } else {
        format!(" Tanks: {}.", tanks.join(", then "))
    };
    rows.push(Row::text(format!(
        "Spray in all: {total}. Sprayer: {sprayer}.{tanks}"
    )));
}

fn shown(m: Option<&Measured>) -> String {
    m.map_or_else(|| "-".to_owned(), |m| m.amount.to_string())
}

/// The worst rounding of the three amounts.
fn rounding(product: &Product) -> String {
    [&product.full_tank, &product.last_tank, &product.total]
        .into_iter()
        .flatten()
        .map(|m| m.off_percent)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))
        .map_or_else(String::new, off)
}

fn table(sheet: &MixSheet, rows: &mut Vec<Row>) {
    // A sign keeps its blanks, so that the columns stand under each other.
    let line = |[name, full, last, all, rounded]: [&str; 5]| {
        let name = text::cut(name, 26);
        let pad = " ".repeat(26_usize.saturating_sub(text::width(&name)));
        let sign = format!("{name}{pad}{full:>12}{last:>12}{all:>12}{rounded:>12}");
        Row::signed(&sign, Tone::Plain, "")
    };
    let full = sheet.tanks.is_some_and(|t| t.full > 0);
    let last = sheet.last_tank.is_some();
    let title = |is_there: bool, words: &'static str| if is_there { words } else { "" };
    rows.push(line([
        "",
        title(full, "full tank"),
        title(last, "last tank"),
        "in all",
        "rounded",
    ]));
    for p in &sheet.products {
        let cell = |is_there: bool, m: &Option<Measured>| {
            if is_there {
                shown(m.as_ref())
            } else {
                String::new()
            }
        };
        rows.push(line([
            &p.name,
            &cell(full, &p.full_tank),
            &cell(last, &p.last_tank),
            &shown(p.total.as_ref()),
            &rounding(p),
        ]));
        rate_and_notes(sheet, p, rows);
    }
}

/// The same where there is no room for columns.
fn stacked(sheet: &MixSheet, product: &Product, rows: &mut Vec<Row>) {
    rows.push(Row::head(product.name.as_str()));
    let mut amounts = Vec::new();
    if sheet.tanks.is_some_and(|t| t.full > 0) {
        amounts.push(format!("full tank {}", shown(product.full_tank.as_ref())));
    }
    if sheet.last_tank.is_some() {
        amounts.push(format!("last tank {}", shown(product.last_tank.as_ref())));
    }
    amounts.push(format!("in all {}", shown(product.total.as_ref())));
    let off = rounding(product);
    if !off.is_empty() {
        amounts.push(format!("rounded {off}"));
    }
    rows.push(Row::signed("  ", Tone::Plain, amounts.join(", ")));
    rate_and_notes(sheet, product, rows);
}

fn rate_and_notes(sheet: &MixSheet, product: &Product, rows: &mut Vec<Row>) {
    let rate = product
        .rate
        .map_or_else(|| "no rate".to_owned(), |r| r.to_string());
    let metal = product.copper_kg_per_ha.map_or_else(String::new, |kg| {
        format!("; metallic copper {}", copper(kg, sheet.units))
    });
    rows.push(Row::signed(
        "  ",
        Tone::Plain,
        format!("{} at {rate}{metal}", product.active),
    ));
    for note in &product.notes {
        rows.push(Row::signed("  ", Tone::Plain, note.as_str()));
    }
}

fn people(sheet: &MixSheet, rows: &mut Vec<Row>) {
    rows.extend([
        Row::gap(),
        Row::head("Gear and re-entry (the strictest label rules)"),
    ]);
    let gear = if sheet.gear.is_empty() {
        "not entered".to_owned()
    } else {
        sheet.gear.join(", ")
    };
    rows.push(Row::signed("Wear: ", Tone::Head, gear));
    if !sheet.gear_unknown.is_empty() {
        rows.push(Row::text(format!(
            "Not entered for {}: wear what its label says, and at least gloves, goggles, long sleeves, long trousers, boots (common practice).",
            sheet.gear_unknown.join(", ")
        )));
    }
    rows.push(Row::signed("Keep out: ", Tone::Head, sheet.reentry.words()));
    rows.extend([Row::gap(), Row::head("Cautions")]);
    rows.extend(
        sheet
            .cautions
            .iter()
            .map(|c| Row::signed("- ", Tone::Plain, c.as_str())),
    );
}

/// Each warning once more, with its numbers, what to do and the source.
fn why(sheet: &MixSheet, rows: &mut Vec<Row>) {
    if !sheet.warnings.is_empty() {
        rows.extend([Row::gap(), Row::head("Why")]);
    }
    for w in &sheet.warnings {
        rows.push(Row::signed(
            &format!("{} ", words::level_sign(w.level)),
            tone(w.level),
            format!("{}: {}", w.level.words(), w.message),
        ));
        rows.push(Row::signed("   why  ", Tone::Plain, w.why.as_str()));
        rows.push(Row::signed("   do   ", Tone::Plain, w.todo.as_str()));
        rows.push(Row::signed("   from ", Tone::Plain, w.source.as_str()));
    }
    for q in &sheet.quietened {
        rows.push(Row::text(format!(
            "Quietened {}: {}. Reason: {}",
            words::full_day(q.on),
            q.rule,
            q.why
        )));
    }
}
