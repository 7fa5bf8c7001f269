//! The mix sheet as one page of HTML: nothing is fetched, all text is escaped.

use super::{area, copper, hidden, off, spray, verdict};
use crate::domain::mix::measure::Measured;
use crate::domain::mix::{MixSheet, Verdict};
use std::fmt::Write as _;

/// Small type in two columns keeps a sheet of the usual length on one page.
const STYLE: &str = "@page{size:auto;margin:10mm}*{box-sizing:border-box}\
body{font:10pt/1.3 system-ui,sans-serif;color:#000;background:#fff;max-width:190mm;margin:0 auto;padding:4mm}\
h1{font-size:15pt;margin:0}h2{font-size:10.5pt;margin:2.5mm 0 1mm;border-bottom:1px solid #000}\
p,ul,ol{margin:.5mm 0 1mm}ul,ol{padding-left:5mm}table{border-collapse:collapse;width:100%}\
th,td{border:1px solid #555;padding:.6mm 1.5mm;text-align:right;vertical-align:top}th:first-child,td:first-child{text-align:left}\
.verdict{border:2px solid #000;padding:1.5mm;margin:2mm 0;font-weight:bold}\
.banner{background:#000;color:#fff;font-weight:bold;padding:1mm 1.5mm;margin:1mm 0;-webkit-print-color-adjust:exact;print-color-adjust:exact}\
.two{columns:2;column-gap:6mm}.two li,.two p{break-inside:avoid}.two h2{break-after:avoid}.two section:first-child h2{margin-top:0}td:last-child{overflow-wrap:normal}.small{font-size:8.5pt}\
@media print{body{padding:0;font-size:8.5pt;max-width:none}.small{font-size:7.5pt}}\
@media (max-width:600px){.two{columns:1}}";

/// The sheet as a self-contained page.
pub fn html(sheet: &MixSheet) -> String {
    let mut page = String::with_capacity(8 * 1024);
    let title = escaped(&sheet.title);
    // Writing to a string cannot fail.
    let _ = write!(
        page,
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\
         <title>Mix sheet: {title}</title><style>{STYLE}</style></head><body>\n<h1>{title}</h1>\n"
    );
    head(&mut page, sheet);
    page.push_str("<h2>Blocks and spray</h2>\n");
    blocks(&mut page, sheet);
    page.push_str("<h2>Products, in the order they go in</h2>\n");
    products(&mut page, sheet);
    page.push_str("<div class=\"two\">\n");
    section(
        &mut page,
        "At the tank",
        "ol",
        sheet.steps.iter().map(|s| escaped(&s.words)),
    );
    people(&mut page, sheet);
    section(
        &mut page,
        "Cautions",
        "ul",
        sheet.cautions.iter().map(|c| escaped(c)),
    );
    section(&mut page, "Warnings", "ul", warnings(sheet).into_iter());
    section(
        &mut page,
        "Quietened by the grower",
        "ul",
        sheet
            .quietened
            .iter()
            .map(|q| format!("{}: {} ({})", escaped(&q.rule), escaped(&q.why), q.on)),
    );
    page.push_str("</div>\n<p>Done: date ________ from ____ to ____ by ________________ wind ______ temp ______</p>\n</body></html>\n");
    page
}

fn head(page: &mut String, sheet: &MixSheet) {
    let hour = sheet.hour.map_or_else(String::new, |h| format!(", {h}:00"));
    let _ = writeln!(
        page,
        "<p>{}, season {}. {}. Planned <b>{}{hour}</b>; sheet of {}.{}</p>",
        escaped(&sheet.orchard),
        escaped(&sheet.season),
        sheet.lane,
        sheet.date,
        sheet.today,
        if sheet.targets.is_empty() {
            String::new()
        } else {
            format!(" Against {}.", escaped(&sheet.targets.join(", ")))
        }
    );
    for line in &sheet.banner {
        let _ = writeln!(page, "<p class=\"banner\">{}</p>", escaped(line));
    }
    let _ = write!(page, "<div class=\"verdict\">{}", verdict(sheet));
    if sheet.verdict == Verdict::Refused {
        page.push_str("<ul>");
        for line in &sheet.refusals {
            let _ = write!(page, "<li>{}</li>", escaped(line));
        }
        page.push_str("</ul>");
    }
    page.push_str("</div>\n");
}

fn blocks(page: &mut String, sheet: &MixSheet) {
    page.push_str("<table><tr><th>Block</th><th>Trees</th><th>Ground</th><th>Spray</th><th>First swell</th></tr>\n");
    for b in &sheet.blocks {
        let volume = b.litres.zip(b.how).map_or_else(
            || "not known".to_owned(),
            |(l, how)| format!("{} ({})", spray(l, sheet.units), how.words()),
        );
        let _ = writeln!(
            page,
            "<tr><td>{} ({})</td><td>{}</td><td>{}</td><td>{volume}</td><td>{}</td></tr>",
            escaped(&b.name),
            b.species,
            b.trees,
            b.area_ha
                .map_or_else(|| "not known".to_owned(), |a| area(a, sheet.units)),
            b.swell
                .as_deref()
                .map_or_else(|| "no estimate".to_owned(), escaped)
        );
    }
    page.push_str("</table>\n");
    let total = sheet
        .total_l
        .map_or_else(|| "not known".to_owned(), |l| spray(l, sheet.units));
    let sprayer = sheet
        .sprayer
        .as_deref()
        .map_or_else(|| "no sprayer chosen".to_owned(), escaped);
    let mut tanks = Vec::new();
    if let (Some(plan), Some(tank)) = (sheet.tanks.filter(|t| t.full > 0), &sheet.tank) {
        tanks.push(format!("{} full of {}", plan.full, tank.amount));
    }
    if let Some(last) = &sheet.last_tank {
        tanks.push(format!("1 part tank of {}", last.amount));
    }
    let _ = writeln!(
        page,
        "<p>Spray in all: <b>{total}</b>. Sprayer: {sprayer}. Tanks: {}.</p>",
        if tanks.is_empty() {
            "not known".to_owned()
        } else {
            tanks.join(", then ")
        }
    );
}

fn products(page: &mut String, sheet: &MixSheet) {
    page.push_str("<table><tr><th>Product</th><th>Rate</th><th>Full tank</th><th>Last tank</th><th>In all</th><th>Copper</th></tr>\n");
    let cell = |m: &Option<Measured>| {
        m.as_ref().map_or_else(
            || "-".to_owned(),
            |m| {
                format!(
                    "<b>{}</b> <span class=\"small\">{}</span>",
                    m.amount,
                    off(m.off_percent)
                )
            },
        )
    };
    for p in &sheet.products {
        let notes: Vec<String> = p.notes.iter().map(|n| escaped(n)).collect();
        let _ = writeln!(
            page,
            "<tr><td>{} <span class=\"small\">{} {}</span></td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>",
            escaped(&p.name),
            escaped(&p.active),
            notes.join(" "),
            p.rate
                .map_or_else(|| "not known".to_owned(), |r| escaped(&r.to_string())),
            cell(&p.full_tank),
            cell(&p.last_tank),
            cell(&p.total),
            p.copper_kg_per_ha
                .map_or_else(String::new, |kg| copper(kg, sheet.units))
        );
    }
    page.push_str("</table>\n");
}

fn people(page: &mut String, sheet: &MixSheet) {
    let gear = if sheet.gear.is_empty() {
        "not entered".to_owned()
    } else {
        escaped(&sheet.gear.join(", "))
    };
    let unknown = if sheet.gear_unknown.is_empty() {
        String::new()
    } else {
        format!(
            "<br>Not entered for {}: at least gloves, goggles, long sleeves, long trousers, boots (common practice), and what the label says.",
            escaped(&sheet.gear_unknown.join(", "))
        )
    };
    let _ = writeln!(
        page,
        "<section><h2>Gear and re-entry (the strictest label rules)</h2><p>Wear: {gear}{unknown}</p><p>Keep out: <b>{}</b></p></section>",
        escaped(&sheet.reentry.words())
    );
}

/// One line a rule and level: on paper the same advice is not printed twice.
/// The numbers stand in the tables above and in the text form.
fn warnings(sheet: &MixSheet) -> Vec<String> {
    sheet
        .warnings
        .chunk_by(|a, b| (a.rule, a.level) == (b.rule, b.level))
        .filter_map(|group| {
            let first = group.first()?;
            let messages: Vec<String> = group.iter().map(|w| escaped(&w.message)).collect();
            Some(format!(
                "<b>{}</b>: {}. <span class=\"small\">{} <i>{}</i></span>",
                first.level.words().to_uppercase(),
                messages.join("; "),
                escaped(&first.todo),
                escaped(&first.source)
            ))
        })
        .collect()
}

fn section(page: &mut String, title: &str, list: &str, lines: impl Iterator<Item = String>) {
    let mut open = false;
    for line in lines {
        if !open {
            let _ = writeln!(page, "<section><h2>{title}</h2><{list}>");
            open = true;
        }
        let _ = writeln!(page, "<li>{line}</li>");
    }
    if open {
        let _ = writeln!(page, "</{list}></section>");
    }
}

/// Text made harmless in HTML, in content and in attributes.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if crate::domain::harmless::steers(c) => out.push(' '),
            c if hidden(c) => {}
            c => out.push(c),
        }
    }
    out
}
