//! The mix sheet for the person at the tank.

use super::{Page, Words, against, begun, keep_out};
use crate::domain::materials::{Actives, actives_of};
use crate::domain::mix::measure::Measured;
use crate::domain::mix::{MixSheet, Verdict, order};
use crate::domain::rules::Level;
use crate::domain::season::{Formulation, Material, Season, Task};

/// At most so many warnings; the worst come first.
const MOST_WARNINGS: usize = 8;

/// The mix sheet of a task in the reader's language.
pub fn mix(words: &Words, season: &Season, task: &Task, sheet: &MixSheet) -> Page {
    let mut page = begun(words, season, words.say("mix.title"));
    // A stop of any kind stands on top: the paper is what the person at the tank holds.
    let stopped = sheet.warnings.iter().any(|w| w.level == Level::Stop);
    page.strong(words.say(match sheet.verdict {
        Verdict::Refused => "mix.stop",
        _ if stopped => "mix.stop_day",
        Verdict::NotAsPlanned => "mix.stop_day",
        Verdict::Caution | Verdict::CannotTell => "mix.caution",
        Verdict::Fine => "mix.fine",
    }));
    page.line(words.work(&sheet.title));
    let day = match sheet.hour.and_then(|h| sheet.date.and_hms_opt(h, 0, 0)) {
        Some(at) => words.moment(at),
        None => words.day(sheet.date),
    };
    page.line(&format!(
        "{}. {}.",
        words.fill("common.orchard", &[("name", &sheet.orchard)]),
        words.fill("mix.planned", &[("date", &day)])
    ));
    if !task.targets.is_empty() {
        let names = against(words, season, task);
        page.line(&words.fill("mix.against", &[("names", &names)]));
    }
    blocks(&mut page, words, sheet);
    products(&mut page, words, sheet);
    let materials: Vec<&Material> = task
        .mix
        .iter()
        .filter_map(|part| season.material(&part.material))
        .collect();
    // A mix that must not be made has no steps.
    if !sheet.steps.is_empty() {
        steps(&mut page, words, &materials);
    }
    people(&mut page, words, sheet);
    warnings(&mut page, words, sheet);
    page.head(words.say("common.label_decides"));
    page.line(words.say("mix.done"));
    page
}

fn blocks(page: &mut Page, words: &Words, sheet: &MixSheet) {
    let rows: Vec<String> = sheet
        .blocks
        .iter()
        .map(|block| {
            words.fill(
                "mix.block",
                &[
                    ("name", words.block(&block.name, block.species)),
                    ("trees", &block.trees.to_string()),
                    ("kind", words.kind(block.species)),
                ],
            )
        })
        .collect();
    page.line(&super::names(words, &rows));
    let amount = |m: &Measured| m.amount.to_string();
    let total = sheet.total.as_ref().map(amount);
    let total = total.unwrap_or_else(|| words.say("common.not_known").to_owned());
    let mut line = words.fill("mix.spray_in_all", &[("amount", &total)]);
    if let Some(tanks) = sheet.tanks {
        if let (n @ 1.., Some(tank)) = (tanks.full, &sheet.tank) {
            let blanks = [("n", n.to_string()), ("amount", amount(tank))];
            let blanks = blanks.each_ref().map(|(k, v)| (*k, v.as_str()));
            line = format!("{line}; {}", words.fill("mix.tanks_full", &blanks));
        }
        if let Some(last) = &sheet.last_tank {
            let part = words.fill("mix.tank_part", &[("amount", &amount(last))]);
            line = format!("{line}; {part}");
        }
    }
    page.line(&format!("{line}."));
    let sprayer = sheet.sprayer.as_deref();
    let sprayer = sprayer.unwrap_or_else(|| words.say("mix.no_sprayer"));
    page.line(&words.fill("mix.sprayer", &[("name", sprayer)]));
}

fn products(page: &mut Page, words: &Words, sheet: &MixSheet) {
    page.head(words.say("mix.products"));
    for product in &sheet.products {
        let mut parts = Vec::new();
        for (key, measured) in [
            ("mix.amounts_full", &product.full_tank),
            ("mix.amounts_part", &product.last_tank),
            ("mix.amounts_all", &product.total),
        ] {
            if let Some(measured) = measured {
                parts.push(words.fill(key, &[("amount", &measured.amount.to_string())]));
            }
        }
        if let Some(rate) = product.rate {
            parts.push(words.fill("mix.rate", &[("rate", &rate.to_string())]));
        }
        let name = words.fill(
            "mix.product",
            &[("name", &product.name), ("active", &product.active)],
        );
        page.item("-", &format!("{name}: {}", parts.join("; ")));
    }
}

fn form_key(form: Option<Formulation>) -> &'static str {
    match form {
        Some(Formulation::Wp) => "wp",
        Some(Formulation::Wg) => "wg",
        Some(Formulation::Sc) => "sc",
        Some(Formulation::Sp) => "sp",
        Some(Formulation::Sl) => "sl",
        Some(Formulation::Ec) => "ec",
        Some(Formulation::Adjuvant) => "adjuvant",
        None => "unknown",
    }
}

/// The order of [`order::steps`], in the reader's words.
fn steps(page: &mut Page, words: &Words, materials: &[&Material]) {
    page.head(words.say("mix.at_tank"));
    let sorted = order::sorted(materials);
    let mut all = Vec::new();
    if sorted.len() > 1 {
        all.push(words.say("step.jar").to_owned());
    }
    all.push(words.say("step.fill").to_owned());
    for material in &sorted {
        let form = form_key(order::form(material));
        all.push(words.fill(
            "step.product",
            &[
                ("name", &material.name),
                ("form", words.say(&format!("form.{form}"))),
                ("how", words.say(&format!("step.{form}"))),
            ],
        ));
    }
    all.push(words.say("step.top_up").to_owned());
    let oil = sorted
        .iter()
        .any(|m| actives_of(&m.active).any(Actives::OIL));
    let agitate = if oil {
        "step.agitate_oil"
    } else {
        "step.agitate"
    };
    all.push(words.say(agitate).to_owned());
    all.push(words.say("step.same_day").to_owned());
    for (n, step) in all.iter().enumerate() {
        page.item(&format!("{}.", n + 1), step);
    }
}

fn people(page: &mut Page, words: &Words, sheet: &MixSheet) {
    page.head(words.say("mix.wear"));
    let gear: Vec<String> = sheet
        .gear
        .iter()
        .map(|piece| {
            let key = format!("gear.{}", piece.trim().to_lowercase());
            words.known(&key).unwrap_or(piece).to_owned()
        })
        .collect();
    if !gear.is_empty() {
        page.line(&gear.join(", "));
    }
    if !sheet.gear_unknown.is_empty() {
        let names = sheet.gear_unknown.join(", ");
        page.line(&words.fill("mix.wear_unknown", &[("names", &names)]));
    }
    page.head(words.say("keep_out.title"));
    page.line(&keep_out(words, &sheet.reentry));
}

fn warnings(page: &mut Page, words: &Words, sheet: &MixSheet) {
    let mut said = Vec::new();
    for warning in &sheet.warnings {
        let level = format!("level.{}", warning.level.words());
        let rule = format!("rule.{}", warning.rule);
        let sentence = words
            .known(&rule)
            .unwrap_or_else(|| words.say("rule.other"));
        let line = format!("{}: {sentence}", words.say(&level));
        if !said.contains(&line) {
            said.push(line);
        }
    }
    if said.is_empty() {
        return;
    }
    page.head(words.say("mix.warnings"));
    for line in said.iter().take(MOST_WARNINGS) {
        page.item("-", line);
    }
    if let Some(more) = said.len().checked_sub(MOST_WARNINGS).filter(|n| *n > 0) {
        page.line(&words.fill("common.more", &[("n", &more.to_string())]));
    }
}
