//! The notice that hangs where people would go in.
//!
//! Its elements are those that the worker protection rules of the United States ask to be shown at
//! a central place (40 CFR 170.311(b): crop and place, product, active ingredient, registration
//! number, start and end, re-entry interval), from memory. It is not the warning sign of those
//! rules, and says so.

use super::{Page, Words, active, begun, block_names, keep_out};
use crate::domain::mix::safety;
use crate::domain::records;
use crate::domain::season::{Block, Material, Record, Season, Task};
use chrono::NaiveDateTime;

/// Of a spray that was done, by its record.
pub fn of_record(words: &Words, season: &Season, record: &Record) -> Page {
    let blocks = records::blocks_of(season, record);
    let mut page = top(words, season, &blocks);
    let time = |t: Option<NaiveDateTime>| {
        t.map_or_else(
            || words.say("common.to_fill_in").to_owned(),
            |t| t.format("%H:%M").to_string(),
        )
    };
    let day = words.fill("reentry.sprayed", &[("date", &words.day(record.date))]);
    let hours = words.fill(
        "reentry.from_to",
        &[("from", &time(record.started)), ("to", &time(record.ended))],
    );
    page.line(&format!("{day}, {hours}"));
    for used in &record.materials {
        product(
            &mut page,
            words,
            &used.name,
            &used.active,
            used.registration.as_deref(),
        );
    }
    if let Some(at) = record.reentry_ended {
        let who = record.reentry_seen_by.as_deref();
        let who = who.unwrap_or_else(|| words.say("common.to_fill_in"));
        page.strong(&words.fill(
            "reentry.ended",
            &[("time", &words.moment(at)), ("who", who)],
        ));
    } else {
        if let Some(until) = record.reentry_until {
            page.strong(&words.fill("reentry.until", &[("time", &words.moment(until))]));
        }
        page.strong(words.say("reentry.and_dry"));
    }
    let materials: Vec<&Material> = record
        .materials
        .iter()
        .filter_map(|used| season.material(&used.material))
        .collect();
    end(page, words, &materials, record.who.as_deref())
}

/// Of a spray that is planned: what is not known yet is left to fill in.
pub fn of_task(words: &Words, season: &Season, task: &Task) -> Page {
    let blocks: Vec<&Block> = season.blocks_of(task).collect();
    let mut page = top(words, season, &blocks);
    let blank = words.say("common.to_fill_in");
    let day = words.fill("reentry.planned", &[("date", &words.day(task.date))]);
    let hours = words.fill("reentry.from_to", &[("from", blank), ("to", blank)]);
    page.line(&format!("{day}, {hours}"));
    let materials: Vec<&Material> = task
        .mix
        .iter()
        .filter_map(|part| season.material(&part.material))
        .collect();
    for material in &materials {
        let registration = material.registration.as_deref();
        product(
            &mut page,
            words,
            &material.name,
            &material.active,
            registration,
        );
    }
    page.strong(&words.fill("reentry.until", &[("time", blank)]));
    page.strong(words.say("reentry.and_dry"));
    end(page, words, &materials, None)
}

fn top(words: &Words, season: &Season, blocks: &[&Block]) -> Page {
    let mut page = begun(words, season, words.say("reentry.title"));
    page.strong(words.say("reentry.top"));
    let orchard = words.fill("common.orchard", &[("name", season.orchard.name.trim())]);
    let names = block_names(words, season, blocks);
    page.line(&orchard);
    page.line(&words.fill("common.blocks", &[("names", &names)]));
    page
}

fn product(page: &mut Page, words: &Words, name: &str, label: &str, registration: Option<&str>) {
    let plain = active(words, label);
    let shown = if plain.eq_ignore_ascii_case(label) {
        plain
    } else {
        format!("{plain} ({label})")
    };
    let line = words.fill("reentry.product", &[("name", name), ("active", &shown)]);
    let number = registration.map_or_else(String::new, |n| format!(", {n}"));
    page.item("-", &format!("{line}{number}"));
}

fn end(mut page: Page, words: &Words, materials: &[&Material], who: Option<&str>) -> Page {
    let interval = keep_out(words, &safety::reentry(materials.iter().copied()));
    page.line(&words.fill("reentry.interval", &[("interval", &interval)]));
    page.head(words.say("reentry.rules"));
    page.line(&who.map_or_else(
        || words.say("common.ask_blank").to_owned(),
        |who| words.fill("common.ask", &[("who", who)]),
    ));
    page.line(words.say("common.emergency"));
    page.head(words.say("reentry.posted"));
    page.line(words.say("reentry.legal"));
    page
}
