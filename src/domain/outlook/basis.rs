//! What the estimates hang on.

use crate::domain::season::{Block, Orchard, Reading, Season, SeasonDates, WeatherFiles};
use serde::Serialize;

/// The parts of a season that its estimates hang on. Where two seasons have the same, so are
/// their estimates: moving a card never works them out again.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Basis {
    blocks: Vec<Block>,
    readings: Vec<Reading>,
    weather: WeatherFiles,
    dates: SeasonDates,
    orchard: Orchard,
}

impl Basis {
    /// Those parts of a season.
    pub fn of(season: &Season) -> Self {
        // No estimate hangs on what was seen or quietened on a block.
        let bare = |b: &Block| Block {
            seen: Vec::new(),
            quiet: Vec::new(),
            ..b.clone()
        };
        Self {
            blocks: season.blocks.iter().map(bare).collect(),
            readings: season.readings.clone(),
            weather: season.weather.clone(),
            dates: season.dates.clone(),
            orchard: season.orchard.clone(),
        }
    }
}
