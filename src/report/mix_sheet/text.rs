//! The mix sheet as plain text, never wider than 80 columns.

use super::{area, copper, hidden, off, spray, verdict};
use crate::domain::mix::measure::Measured;
use crate::domain::mix::{MixSheet, SheetWarning};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns a line may fill.
const WIDTH: usize = 80;

/// The sheet as text.
pub fn text(sheet: &MixSheet) -> String {
    let mut page = Page(String::new());
    head(&mut page, sheet);
    blocks(&mut page, sheet);
    products(&mut page, sheet);
    list(
        &mut page,
        "At the tank",
        sheet.steps.iter().map(|s| s.words.as_str()),
        true,
    );
    people(&mut page, sheet);
    if !sheet.warnings.is_empty() {
        page.title("Warnings");
        let alike = |a: &SheetWarning, b: &SheetWarning| {
            (a.rule, a.level, &a.todo) == (b.rule, b.level, &b.todo)
        };
        for group in sheet.warnings.chunk_by(alike) {
            for w in group {
                page.item(&format!("{}: ", w.level.words().to_uppercase()), &w.message);
                page.item("    ", &w.why);
            }
            if let Some(first) = group.first() {
                page.item("  > ", &first.todo);
                page.item("    ", &format!("Source: {}", first.source));
            }
        }
    }
    if !sheet.quietened.is_empty() {
        page.title("Quietened by the grower");
        for q in &sheet.quietened {
            page.item("- ", &format!("{}: {} ({})", q.rule, q.why, q.on));
        }
    }
    list(
        &mut page,
        "Cautions",
        sheet.cautions.iter().map(String::as_str),
        false,
    );
    page.title("Done");
    page.line("Date ________ from ____ to ____  by ____________________  wind ______ temp ____");
    page.0
}

fn head(page: &mut Page, sheet: &MixSheet) {
    page.item("MIX SHEET  ", &sheet.title);
    let hour = sheet.hour.map_or_else(String::new, |h| format!(", {h}:00"));
    page.item(
        "",
        &format!(
            "{}, season {}. {}. Planned {}{hour}; sheet of {}.",
            sheet.orchard, sheet.season, sheet.lane, sheet.date, sheet.today
        ),
    );
    if !sheet.targets.is_empty() {
        page.item("Against: ", &sheet.targets.join(", "));
    }
    page.line(&"=".repeat(WIDTH));
    page.item("", verdict(sheet));
    for line in &sheet.banner {
        page.item("!! ", line);
    }
    for line in &sheet.refusals {
        page.item("xx ", line);
    }
    page.line(&"=".repeat(WIDTH));
}

fn blocks(page: &mut Page, sheet: &MixSheet) {
    page.title("Blocks and spray");
    for b in &sheet.blocks {
        let ground = b
            .area_ha
            .map_or_else(|| "ground not known".to_owned(), |a| area(a, sheet.units));
        let volume = b.litres.zip(b.how).map_or_else(
            || "spray not known".to_owned(),
            |(l, how)| format!("{} ({})", spray(l, sheet.units), how.words()),
        );
        page.item(
            "- ",
            &format!(
                "{}: {} trees, {}, {ground}, {volume}",
                b.name, b.trees, b.species
            ),
        );
        if let Some(swell) = &b.swell {
            page.item("    ", &format!("first swell {swell}"));
        }
    }
    let sprayer = sheet.sprayer.as_deref().unwrap_or("no sprayer chosen");
    let total = sheet
        .total_l
        .map_or_else(|| "not known".to_owned(), |l| spray(l, sheet.units));
    page.item("", &format!("Spray in all: {total}. Sprayer: {sprayer}."));
    if let Some(tanks) = sheet.tanks {
        let mut parts = Vec::new();
        if let (n @ 1.., Some(tank)) = (tanks.full, &sheet.tank) {
            parts.push(format!("{n} full of {}", tank.amount));
        }
        if let Some(last) = &sheet.last_tank {
            parts.push(format!("1 part tank of {}", last.amount));
        }
        page.item("", &format!("Tanks: {}.", parts.join(", then ")));
    }
}

fn products(page: &mut Page, sheet: &MixSheet) {
    page.title("Products, in the order they go in");
    let shown = |m: &Option<Measured>| {
        m.as_ref()
            .map_or_else(|| "-".to_owned(), |m| m.amount.to_string())
    };
    let full_title = sheet
        .tanks
        .filter(|t| t.full > 0)
        .map_or("", |_| "full tank");
    let last_title = sheet.last_tank.map_or("", |_| "last tank");
    page.columns(["", full_title, last_title, "in all", "rounded"]);
    for p in &sheet.products {
        let errors = [&p.full_tank, &p.last_tank, &p.total];
        let worst = errors
            .into_iter()
            .flatten()
            .map(|m| m.off_percent)
            .max_by(|a, b| a.abs().total_cmp(&b.abs()));
        let cell = |title: &str, m: &Option<Measured>| {
            if title.is_empty() {
                String::new()
            } else {
                shown(m)
            }
        };
        page.columns([
            &p.name,
            &cell(full_title, &p.full_tank),
            &cell(last_title, &p.last_tank),
            &shown(&p.total),
            &worst.map_or_else(String::new, off),
        ]);
        let rate = p
            .rate
            .map_or_else(|| "no rate".to_owned(), |r| r.to_string());
        let metal = p.copper_kg_per_ha.map_or_else(String::new, |kg| {
            format!("; metallic copper {}", copper(kg, sheet.units))
        });
        page.item("    ", &format!("{} at {rate}{metal}", p.active));
        for note in &p.notes {
            page.item("    ", note);
        }
    }
    if sheet.products.is_empty() {
        page.item("", "No material is chosen.");
    }
}

fn people(page: &mut Page, sheet: &MixSheet) {
    page.title("Gear and re-entry (the strictest label rules)");
    let gear = if sheet.gear.is_empty() {
        "not entered".to_owned()
    } else {
        sheet.gear.join(", ")
    };
    page.item("Wear: ", &gear);
    if !sheet.gear_unknown.is_empty() {
        page.item(
            "",
            &format!(
                "Not entered for {}: at least gloves, goggles, long sleeves, long trousers, boots (common practice), and what the label says.",
                sheet.gear_unknown.join(", ")
            ),
        );
    }
    page.item("Keep out: ", &sheet.reentry.words());
}

fn list<'a>(page: &mut Page, title: &str, lines: impl Iterator<Item = &'a str>, numbered: bool) {
    for (i, line) in lines.enumerate() {
        if i == 0 {
            page.title(title);
        }
        let mark = if numbered {
            format!("{:>2}. ", i + 1)
        } else {
            "- ".to_owned()
        };
        page.item(&mark, line);
    }
}

/// Text under way: every line is folded at the width.
struct Page(String);

impl Page {
    fn line(&mut self, text: &str) {
        self.0.push_str(text.trim_end());
        self.0.push('\n');
    }

    fn title(&mut self, text: &str) {
        self.0.push('\n');
        self.line(&text.to_uppercase());
    }

    /// Words after a mark, folded, further lines indented under the first.
    fn item(&mut self, mark: &str, text: &str) {
        let indent = mark.width().min(WIDTH / 2);
        let mut line = clean(mark);
        let mut used = line.width();
        let mut at_start = true;
        // A percent sign stays with its number.
        for word in clean(text)
            .replace(" %", "\u{a0}%")
            .split([' ', '\n'])
            .filter(|w| !w.is_empty())
            .flat_map(|w| pieces(w, WIDTH - indent))
        {
            let gap = usize::from(!at_start);
            if used + gap + word.width() > WIDTH {
                self.line(&line);
                line = " ".repeat(indent);
                used = indent;
            } else if gap == 1 {
                line.push(' ');
                used += 1;
            }
            line.push_str(&word.replace('\u{a0}', " "));
            used += word.width();
            at_start = false;
        }
        self.line(&line);
    }

    /// A row of the amounts: a name, four narrow columns to the right.
    fn columns(&mut self, cells: [&str; 5]) {
        const NARROW: usize = 12;
        let name_width = WIDTH - 4 * (NARROW + 1);
        let [name, rest @ ..] = cells;
        let name = clean(name);
        let mut line = if name.width() > name_width {
            self.item("", &name);
            " ".repeat(name_width)
        } else {
            padded(&name, name_width)
        };
        for cell in rest {
            let cell = clean(cell);
            line.push(' ');
            line.push_str(&" ".repeat(NARROW.saturating_sub(cell.width())));
            line.push_str(&cell);
        }
        if line.trim().is_empty() {
            return;
        }
        self.line(&line);
    }
}

fn padded(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(text.width())))
}

/// Text without anything that could move a cursor, turn the writing direction
/// or change the width of its neighbours.
fn clean(text: &str) -> String {
    text.chars()
        .map(|c| {
            if crate::domain::harmless::steers(c) {
                ' '
            } else {
                c
            }
        })
        .filter(|c| c.width().is_some() && !hidden(*c))
        .collect()
}

/// A word cut where it alone is wider than a line.
fn pieces(word: &str, width: usize) -> Vec<String> {
    let mut out = vec![String::new()];
    for c in word.chars() {
        if let Some(last) = out.last_mut() {
            last.push(c);
            // Measured whole: some characters change width beside each other.
            if last.width() <= width || last.chars().nth(1).is_none() {
                continue;
            }
            last.pop();
        }
        out.push(c.to_string());
    }
    out
}
