//! The application records: what they hold and lack, re-entry, season totals.

pub mod view;

use crate::domain::records::{self, ReentryState};
use crate::domain::season::{Record, Season};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// What stands below the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Part {
    /// The chosen record.
    #[default]
    Record,
    /// The season's totals, and whether the records are as they were written.
    Season,
}

/// What is chosen on the records screen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Records {
    /// The record chosen, by its place among those shown.
    pub chosen: usize,
    /// What stands below the list.
    pub part: Part,
}

impl Records {
    /// Puts the choice back onto what exists.
    pub fn settle(&mut self, season: &Season) {
        self.chosen = self.chosen.min(season.records.len().saturating_sub(1));
    }
}

/// The records as they are shown: latest first.
pub fn shown(season: &Season) -> Vec<&Record> {
    season.records.iter().rev().collect()
}

/// The chosen record.
pub fn chosen(model: &Model) -> Option<&Record> {
    shown(&model.season).get(model.records.chosen).copied()
}

/// Does a record hold: not corrected, not taken back?
pub fn holds(season: &Season, record: &Record) -> bool {
    records::current(season).any(|r| r.id == record.id)
}

/// Where others must stay out now, the longest first.
pub fn closed(model: &Model) -> Vec<ReentryState> {
    records::reentries(&model.season, model.now)
        .into_iter()
        .filter(|s| s.standing.is_open())
        .collect()
}

/// Answers a command on the records; `None` where it is not for them.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let count = model.count.unwrap_or(1) as usize;
    let last = model.season.records.len().saturating_sub(1);
    let page = model.page() / 2;
    let at = &mut model.records.chosen;
    match command {
        Command::Up => *at = at.saturating_sub(count),
        Command::Down => *at = (*at + count).min(last),
        Command::First => *at = 0,
        Command::Last => *at = last,
        Command::PageUp => *at = at.saturating_sub(page),
        Command::PageDown => *at = (*at + page).min(last),
        Command::NextPart | Command::PreviousPart | Command::Left | Command::Right => {
            model.records.part = match model.records.part {
                Part::Record => Part::Season,
                Part::Season => Part::Record,
            };
        }
        Command::Open => model.overlay = Some(Overlay::Why(0)),
        Command::CorrectRecord => correct(model),
        Command::EndReentry => end_reentry(model),
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => find(model, false),
        Command::FindPrevious => find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}

fn correct(model: &mut Model) {
    let Some(record) = chosen(model).cloned() else {
        model.say("there is no record yet: finishing a spray on the board makes one");
        return;
    };
    if holds(&model.season, &record) {
        model.overlay = Some(Overlay::Form(Form::correct(model, &record)));
    } else {
        model.say(format!(
            "record {} no longer holds; correct the one that does",
            record.id
        ));
    }
}

/// Ends the re-entry of the chosen record; where that one is not open, of the
/// one that is, if there is only one.
fn end_reentry(model: &mut Model) {
    let open = closed(model);
    let id = chosen(model).map(|r| r.id.clone());
    let state = open
        .iter()
        .find(|s| Some(&s.record) == id.as_ref())
        .or_else(|| open.first().filter(|_| open.len() == 1));
    let record = state.and_then(|s| model.season.records.iter().find(|r| r.id == s.record));
    match record.cloned() {
        Some(record) => model.overlay = Some(Overlay::Form(Form::end_reentry(model, &record))),
        None if open.is_empty() => model.say("no block is closed: every re-entry is over"),
        None => model.say("this record's re-entry is over; choose one that is open"),
    }
}

/// To the next record that holds the words looked for.
pub fn find(model: &mut Model, back: bool) {
    let wanted = model.find.to_lowercase();
    let n = model.season.records.len().max(1);
    let list = shown(&model.season);
    let step = if back { n - 1 } else { 1 };
    let found = (1..=n)
        .map(|i| (model.records.chosen + i * step) % n)
        .find(|place| {
            list.get(*place).is_some_and(|r| {
                !wanted.is_empty() && view::line(model, r).to_lowercase().contains(&wanted)
            })
        });
    match found {
        Some(place) => model.records.chosen = place,
        None => {
            let text = format!("no record found for '{}'", model.find);
            model.say(text);
        }
    }
}
