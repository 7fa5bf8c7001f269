//! The notice to neighbours: when, with what, how long to stay away, whom to ask.

use super::{Page, Words, active, against, begun, block_names, keep_out};
use crate::domain::mix::safety;
use crate::domain::season::{Block, Material, Season, Task};

/// The notice of a planned spray.
pub fn neighbour(words: &Words, season: &Season, task: &Task) -> Page {
    let mut page = begun(words, season, words.say("neighbour.title"));
    page.line(words.say("neighbour.intro"));
    let day = words.day(task.date);
    page.strong(&match task.hour {
        Some(hour) => words.fill(
            "neighbour.when_hour",
            &[("date", &day), ("time", &format!("{hour:02}:00"))],
        ),
        None => words.fill("neighbour.when", &[("date", &day)]),
    });
    page.line(words.say("neighbour.may_move"));
    let blocks: Vec<&Block> = season.blocks_of(task).collect();
    let place = format!(
        "{}, {}",
        season.orchard.name.trim(),
        block_names(words, season, &blocks)
    );
    page.item("-", &words.fill("neighbour.where", &[("names", &place)]));
    let materials: Vec<&Material> = task
        .mix
        .iter()
        .filter_map(|part| season.material(&part.material))
        .collect();
    let mut actives: Vec<String> = Vec::new();
    for material in &materials {
        let plain = active(words, &material.active);
        if !actives.contains(&plain) {
            actives.push(plain);
        }
    }
    let what = if actives.is_empty() {
        words.say("common.not_known").to_owned()
    } else {
        super::names(words, &actives)
    };
    page.item("-", &words.fill("neighbour.what", &[("names", &what)]));
    if !task.targets.is_empty() {
        let names = against(words, season, task);
        page.item("-", &words.fill("neighbour.why", &[("names", &names)]));
    }
    let interval = keep_out(words, &safety::reentry(materials.iter().copied()));
    page.item(
        "-",
        &words.fill("neighbour.keep_out", &[("interval", &interval)]),
    );
    page.head(words.say("neighbour.please"));
    page.line(words.say("neighbour.bees"));
    page.line(words.say("neighbour.drift"));
    page.head(words.say("common.ask_blank"));
    page.line(words.say("common.emergency"));
    page
}
