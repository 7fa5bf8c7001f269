//! Distances to water and to people. Where they lie only the grower's notes tell.

use super::facts::Spray;
use super::{Facts, Level, Rule, Warning};
use crate::domain::country::{self, Country};
use crate::domain::season::{Sprayer, SprayerKind};
use crate::domain::sources;

/// Words of notes that tell of water; each is looked for as whole words.
const WATER: &[&str] = &[
    "creek",
    "stream",
    "brook",
    "river",
    "pond",
    "lake",
    "ditch",
    "canal",
    "wetland",
    "marsh",
    "wellhead",
    "water well",
    "drinking water",
    "waterway",
];
/// Words of notes that tell of people, or of bees that belong to them.
const PEOPLE: &[&str] = &[
    "neighbour",
    "neighbours",
    "neighbor",
    "neighbors",
    "house",
    "houses",
    "school",
    "playground",
    "kindergarten",
    "footpath",
    "public path",
    "public road",
    "bus stop",
    "hive",
    "hives",
];

/// The first of these words that a text holds.
fn named(text: &str, words: &[&'static str]) -> Option<&'static str> {
    let text = text.to_lowercase();
    let is_word = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    words.iter().copied().find(|word| {
        text.match_indices(word).any(|(at, _)| {
            let before = text.get(..at).and_then(|t| t.chars().next_back());
            let after = text.get(at + word.len()..).and_then(|t| t.chars().next());
            !is_word(before) && !is_word(after)
        })
    })
}

/// Water and people that the notes of a spray or of its blocks name, and once those that the
/// notes of the orchard name.
pub fn water_or_people_near(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let open = || facts.all_sprays().iter().filter(|s| s.is_open());
    for spray in open() {
        let notes = || {
            let blocks = spray.blocks.iter().filter_map(|ix| {
                let block = facts.season.blocks.get(*ix)?;
                block.site.as_deref()
            });
            blocks.chain(spray.task.notes.as_deref())
        };
        if let Some(word) = notes().find_map(|n| named(n, WATER)) {
            out.push(water(rule, word).task(spray.task));
        }
        if let Some(word) = notes().find_map(|n| named(n, PEOPLE)) {
            out.push(people(rule, facts, word, Some(spray)).task(spray.task));
        }
    }
    let Some(notes) = facts.season.orchard.notes.as_deref() else {
        return;
    };
    if open().next().is_none() {
        return;
    }
    if let Some(word) = named(notes, WATER) {
        out.push(water(rule, word));
    }
    if let Some(word) = named(notes, PEOPLE) {
        out.push(people(rule, facts, word, None));
    }
}

fn water(rule: &Rule, word: &str) -> Warning {
    // A note: it holds for every spray there, and a standing alarm is soon no alarm.
    rule.warn(
        Level::Note,
        format!("water near: notes say '{word}'"),
        "What drifts or runs into water harms what lives in it, copper above all. Guides keep 50 to 100 ft (15 to 30 m) to water, and never less than 20 ft (6 m) of unsprayed plants.".to_owned(),
        "Look for the distance on the label: it is the law. Spray inward only along that edge, with the wind away from it, and fill the tank elsewhere.".to_owned(),
    )
}

fn people(rule: &Rule, facts: &Facts<'_>, word: &str, spray: Option<&Spray<'_>>) -> Warning {
    let fine = spray
        .and_then(|s| sprayer_of(facts, s))
        .is_some_and(|s| s.kind == SprayerKind::Airblast);
    let is_american = country::country(&facts.season.orchard) == Some(Country::UnitedStates);
    let why = match (is_american, fine) {
        (true, true) => {
            "While an air-blast sprayer works nobody but trained handlers may be within 100 ft of it (40 CFR 170.405)."
        }
        (true, false) => {
            "While you spray nobody but trained handlers may be within 25 ft of medium or coarser droplets, 100 ft of finer ones (40 CFR 170.405)."
        }
        (false, _) => "Label and local law say how far people must be while you spray.",
    };
    let warning = rule.warn(
        Level::Note,
        format!("people or bees near: notes say '{word}'"),
        why.to_owned(),
        "Tell them before, spray with the wind away from them, and stop while anyone is that near."
            .to_owned(),
    );
    if is_american {
        warning.source(&sources::EXCLUSION_ZONE)
    } else {
        warning
    }
}

fn sprayer_of<'a>(facts: &Facts<'a>, spray: &Spray<'_>) -> Option<&'a Sprayer> {
    let id = spray.task.sprayer.as_ref()?;
    facts.season.sprayers.iter().find(|s| s.id == *id)
}
