//! The first form: where, which trees, when the leaves were down.

use super::{Field, Form, Kind, Purpose};
use crate::domain::place::{self, Found};
use crate::domain::season::{NewBlock, read_blocks};
use crate::domain::zone::Zone;
use crate::tui::action::Effect;
use crate::tui::host::Begin;
use crate::tui::model::Model;

/// What to write for a place.
pub(super) const PLACE_HELP: &str =
    "town, and state or country: Geneva, New York; or 43.1, -77.3; or a map's link";
/// What to write for a clock.
pub(super) const ZONE_HELP: &str = "follows the place; or a name or city: America/New_York, madrid";
/// Towns of one name that are named in the form.
const MOST_NAMED: usize = 4;

/// Says a place in full, or which towns may be meant.
pub(super) fn check_place(text: &str) -> Result<String, String> {
    match place::find(text, MOST_NAMED) {
        Found::One(place) => {
            let height = place
                .elevation_m
                .map_or_else(|| "height not known".to_owned(), |m| format!("{m:.0} m"));
            let zone = place.zone.map_or("clock not known", Zone::name);
            Ok(format!(
                "{}; {:.2}, {:.2}; {height}; {zone}",
                place.words, place.latitude_deg, place.longitude_deg
            ))
        }
        Found::Several(towns, all) => {
            let names: Vec<String> = towns.iter().map(|t| t.words()).collect();
            Err(format!(
                "{all} towns: {}{}; write on, or add the state or country",
                names.join("; "),
                if all > towns.len() { "; .." } else { "" }
            ))
        }
        Found::None(why) => Err(why),
    }
}

impl Form {
    /// Begins a season of the user's own.
    pub fn begin(model: &Model) -> Self {
        let units = [
            ("us", "US: °F, gallons, acres"),
            ("metric", "metric: °C, litres, hectares"),
        ]
        .map(|(k, w)| (k.to_owned(), w.to_owned()))
        .to_vec();
        let fields = vec![
            Field::new(
                "name",
                "Name",
                "what you call the orchard",
                Kind::Required,
                "My orchard",
            ),
            Field::new("place", "Place", PLACE_HELP, Kind::Place, ""),
            Field::new("zone", "Time zone", ZONE_HELP, Kind::Zone, &model.here),
            Field::new(
                "units",
                "Units",
                "left and right change it",
                Kind::Choice(units),
                "us",
            ),
            Field::new(
                "trees",
                "Trees",
                "how many and what, with commas: 6 redhaven peach, 20 apples",
                Kind::Trees,
                "",
            ),
            Field::new(
                "leaf_drop",
                "Leaves down",
                "seen or expected: 20 nov, -3, 2026-11-20; empty takes the usual day",
                Kind::Text,
                "",
            ),
            Field::new(
                "weather",
                "Weather",
                "a file of daily temperatures, any table; may stay empty",
                Kind::Text,
                "",
            ),
            Field::new(
                "history",
                "Since 1981",
                "left and right change it; fetching sends the place, rounded to 0.1°, to the POWER archive of NASA",
                Kind::Choice(history_choices()),
                "no",
            ),
        ];
        Self::new(
            "Begin your season (esc: the practice season first)",
            Purpose::Begin,
            fields,
        )
    }

    /// Clock and units follow the place, where nobody chose them.
    pub(super) fn follow_place(&mut self) {
        let Found::One(place) = place::find(&self.text("place"), 1) else {
            return;
        };
        for field in &mut self.fields {
            match (field.key, place.zone, place.country_code) {
                ("zone", Some(zone), _) => field.propose(zone.name()),
                ("units", _, Some(country)) => {
                    field.propose(if country == "US" { "us" } else { "metric" });
                }
                _ => {}
            }
        }
    }

    /// Why the clock does not fit the place, where it does not.
    pub(super) fn clock_doubt(&self) -> Option<String> {
        let Found::One(place) = place::find(&self.text("place"), 1) else {
            return None;
        };
        let zone = Zone::of_place(&self.text("zone"))?;
        place::zone_doubt(zone, place.latitude_deg, place.longitude_deg)
    }

    /// What was answered, as it was written.
    pub(super) fn answers(&self) -> Vec<Effect> {
        vec![Effect::Begin(Box::new(Begin {
            name: self.text("name"),
            place: self.text("place"),
            zone: self.text("zone"),
            units: self.choice("units"),
            trees: self.text("trees"),
            leaf_drop: self.optional("leaf_drop"),
            weather: self.optional("weather"),
            history: self.choice("history") == "yes",
        }))]
    }
}

fn history_choices() -> Vec<(String, String)> {
    [
        ("no", "do not fetch; nothing is sent"),
        ("yes", "fetch the weather of this place since 1981"),
    ]
    .map(|(k, w)| (k.to_owned(), w.to_owned()))
    .to_vec()
}

/// Checks trees as they are written, and says them in full.
pub(super) fn check_trees(text: &str) -> Result<String, String> {
    let kinds = read_blocks(text)?;
    if kinds.is_empty() {
        return Err("which trees? for instance 6 redhaven peach, 20 apples".to_owned());
    }
    let words: Vec<String> = kinds.iter().map(NewBlock::words).collect();
    Ok(words.join(", "))
}
