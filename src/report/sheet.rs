//! Sheets for others: for the person at the tank, for who works among the trees, for neighbours,
//! for the wall. In the reader's language, by a table of words ([`Words`]); one page each.
//!
//! What the labels, the grower and the law say in their own words stays as it is.

mod mix;
mod neighbour;
mod page;
mod reentry;
mod wall;
mod words;

pub use mix::mix;
pub use neighbour::neighbour;
pub use page::Page;
pub use reentry::{of_record, of_task};
pub use wall::wall;
pub use words::{Words, WordsError};

use crate::domain::materials::{Actives, actives_of};
use crate::domain::mix::safety::MixReentry;
use crate::domain::season::{Block, Season, Task};
use crate::domain::targets;
use crate::domain::units::plain_number;

/// At most so many names are listed; more are counted.
const MOST_NAMES: usize = 8;

/// Names as a list that stays short.
fn names(words: &Words, all: &[String]) -> String {
    let mut shown: Vec<String> = all.iter().take(MOST_NAMES).cloned().collect();
    if let Some(more) = all.len().checked_sub(MOST_NAMES).filter(|n| *n > 0) {
        shown.push(words.fill("common.more", &[("n", &more.to_string())]));
    }
    shown.join(", ")
}

fn block_names(words: &Words, season: &Season, blocks: &[&Block]) -> String {
    if blocks.len() == season.blocks.len() {
        return words.say("common.all_blocks").to_owned();
    }
    let all: Vec<String> = blocks
        .iter()
        .map(|b| words.block(&b.name, b.species.words()).to_owned())
        .collect();
    names(words, &all)
}

/// What a spray is against: the names of the table, else as the season has them.
fn against(words: &Words, season: &Season, task: &Task) -> String {
    let all: Vec<String> = task
        .targets
        .iter()
        .map(|id| {
            let own = || {
                targets::find(season, id)
                    .map_or_else(|| id.to_string(), |target| target.name().to_owned())
            };
            words
                .known(&format!("target.{id}"))
                .map_or_else(own, str::to_owned)
        })
        .collect();
    names(words, &all)
}

/// An active ingredient in words that a neighbour knows; the label's own where there are none.
fn active(words: &Words, label: &str) -> String {
    let kinds = actives_of(label);
    let key = if kinds.any(Actives::COPPER) && kinds.any(Actives::LIME) {
        "bordeaux"
    } else {
        let single = [
            (Actives::COPPER, "copper"),
            (Actives::OIL, "oil"),
            (Actives::LIME_SULFUR, "lime-sulfur"),
            (Actives::SULFUR, "sulfur"),
            (Actives::CAPTAN, "captan"),
            (Actives::CHLOROTHALONIL, "chlorothalonil"),
            (Actives::UREA, "urea"),
        ];
        single
            .into_iter()
            .find(|(kind, _)| kinds.any(*kind))
            .map_or(label, |(_, key)| key)
    };
    words
        .known(&format!("active.{key}"))
        .map_or_else(|| label.to_owned(), str::to_owned)
}

/// When people may go back in after a mix: the strictest label, and what is not filled in.
fn keep_out(words: &Words, reentry: &MixReentry) -> String {
    let hours = reentry.hours.map(plain_number);
    let known = match (&hours, reentry.until_dry) {
        (Some(h), true) => words.fill("keep_out.hours_dry", &[("hours", h)]),
        (Some(h), false) => words.fill("keep_out.hours", &[("hours", h)]),
        (None, true) => words.say("keep_out.dry").to_owned(),
        (None, false) => return words.say("keep_out.unknown").to_owned(),
    };
    if reentry.unknown.is_empty() {
        return known;
    }
    let unknown = [("names", reentry.unknown.join(", "))];
    let unknown = unknown
        .each_ref()
        .map(|(key, value)| (*key, value.as_str()));
    format!("{known}; {}", words.fill("keep_out.also_unknown", &unknown))
}

/// Begins a sheet: its title, and that it is practice.
fn begun(words: &Words, season: &Season, title: &str) -> Page {
    let mut page = Page::new(words.code(), title);
    if season.practice {
        page.strong(words.say("common.practice"));
    }
    page
}
