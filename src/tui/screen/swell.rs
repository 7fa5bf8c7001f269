//! The swell screen: one block's estimate at a time, and the readings it rests on.

pub mod view;

use crate::domain::season::{Block, Reading, Season, edit};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// What is chosen on the swell screen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Swell {
    /// The block in view, by its place.
    pub block: usize,
    /// The reading chosen, by its place among those shown.
    pub reading: usize,
}

impl Swell {
    /// Puts the choice back onto what exists.
    pub fn settle(&mut self, season: &Season) {
        self.block = self.block.min(season.blocks.len().saturating_sub(1));
        let shown = block_at(season, self.block).map_or(0, |b| readings(season, b).len());
        self.reading = self.reading.min(shown.saturating_sub(1));
    }
}

fn block_at(season: &Season, place: usize) -> Option<&Block> {
    season.blocks.get(place)
}

/// The block in view.
pub fn block(model: &Model) -> Option<&Block> {
    block_at(&model.season, model.swell.block)
}

/// The readings that hold for a block, latest first, with their places in the season.
pub fn readings<'a>(season: &'a Season, block: &Block) -> Vec<(usize, &'a Reading)> {
    let mut list: Vec<(usize, &Reading)> = season
        .readings
        .iter()
        .enumerate()
        .filter(|(_, r)| r.is_for(&block.id))
        .collect();
    list.sort_by_key(|(place, r)| (std::cmp::Reverse(r.date()), *place));
    list
}

/// Asks for the curves of the block in view, if they are not at hand.
pub fn want_curves(model: &Model) -> Vec<Effect> {
    match block(model) {
        Some(block) if model.curves.as_ref().is_none_or(|(id, _)| *id != block.id) => {
            vec![Effect::Curves(block.id.clone())]
        }
        _ => Vec::new(),
    }
}

/// Asks what the estimate would have been on earlier days, if that is not at hand.
fn want_asked(model: &Model) -> Vec<Effect> {
    match &model.curves {
        Some((block, curves)) if curves.asked.is_empty() => vec![Effect::Asked(block.clone())],
        _ => Vec::new(),
    }
}

/// Answers a command on the swell screen; `None` where it is not for it.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let count = model.count.take().unwrap_or(1) as usize;
    let blocks = model.season.blocks.len();
    let shown = block(model).map_or(0, |b| readings(&model.season, b).len());
    let swell = &mut model.swell;
    match command {
        Command::Left | Command::PreviousPart => swell.block = swell.block.saturating_sub(count),
        Command::Right => swell.block = (swell.block + count).min(blocks.saturating_sub(1)),
        Command::NextPart => swell.block = (swell.block + 1) % blocks.max(1),
        Command::Up => swell.reading = swell.reading.saturating_sub(count),
        Command::Down => swell.reading = (swell.reading + count).min(shown.saturating_sub(1)),
        Command::First => swell.reading = 0,
        Command::Last => swell.reading = shown.saturating_sub(1),
        Command::PageUp => swell.reading = swell.reading.saturating_sub(5),
        Command::PageDown => swell.reading = (swell.reading + 5).min(shown.saturating_sub(1)),
        Command::AddTotal => model.overlay = Some(Overlay::Form(Form::total(model))),
        Command::AddBuds => model.overlay = Some(Overlay::Form(Form::buds(model))),
        Command::AddRain => model.overlay = Some(Overlay::Form(Form::rain(model))),
        Command::DeleteReading => return Some(delete(model)),
        Command::Open => {
            model.overlay = Some(Overlay::Why(0));
            return Some(want_asked(model));
        }
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => find(model, 1),
        Command::FindPrevious => find(model, blocks.saturating_sub(1)),
        _ => return None,
    }
    model.swell.settle(&model.season);
    Some(want_curves(model))
}

/// To the next block whose name, species or cultivar holds the words looked for.
pub fn find(model: &mut Model, step: usize) {
    let wanted = model.find.to_lowercase();
    let blocks = &model.season.blocks;
    let n = blocks.len().max(1);
    let holds = |b: &Block| {
        let cultivar = b.cultivar.as_deref().unwrap_or("");
        format!("{} {} {cultivar}", b.name, b.species.words())
            .to_lowercase()
            .contains(&wanted)
    };
    let found = (1..=n)
        .map(|i| (model.swell.block + i * step.max(1)) % n)
        .find(|place| blocks.get(*place).is_some_and(holds));
    if let Some(place) = found {
        model.swell.block = place;
    } else {
        let text = format!("no block found for '{}'", model.find);
        model.say(text);
    }
}

fn delete(model: &mut Model) -> Vec<Effect> {
    let place = block(model).and_then(|b| {
        readings(&model.season, b)
            .get(model.swell.reading)
            .map(|(place, _)| *place)
    });
    if let Some(place) = place {
        let after = edit::delete_reading(&model.season, place);
        model.try_edit(after, "reading deleted")
    } else {
        model.say("there is no reading to delete");
        Vec::new()
    }
}
