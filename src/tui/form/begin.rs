//! The first form: where, which trees, when the leaves were down.

use super::{Field, Form, Kind, Purpose};
use crate::domain::phenology::species::Species;
use crate::tui::action::Effect;
use crate::tui::host::Begin;
use crate::tui::model::Model;

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
                "Place",
                "what you call the place",
                Kind::Required,
                "My orchard",
            ),
            Field::new(
                "latitude",
                "Latitude",
                "degrees north, for instance 43.1; south is negative",
                Kind::Degrees(90),
                "",
            ),
            Field::new(
                "longitude",
                "Longitude",
                "degrees east, for instance -77.3: west is negative",
                Kind::Degrees(180),
                "",
            ),
            Field::new(
                "zone",
                "Time zone",
                "for instance America/New_York or Europe/Madrid",
                Kind::Zone,
                &model.here,
            ),
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
                "kind:cultivar:how many, with commas: peach:redhaven:6, apple::20",
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
                "a file of daily temperatures (date, tmin_c, tmax_c); may stay empty",
                Kind::Text,
                "",
            ),
        ];
        Self::new(
            "Begin your season (esc: the practice season first)",
            Purpose::Begin,
            fields,
        )
    }

    /// What was answered, as it was written.
    pub(super) fn answers(&self) -> Vec<Effect> {
        vec![Effect::Begin(Box::new(Begin {
            name: self.text("name"),
            latitude: self.text("latitude"),
            longitude: self.text("longitude"),
            zone: self.text("zone"),
            units: self.choice("units"),
            trees: self.text("trees"),
            leaf_drop: self.optional("leaf_drop"),
            weather: self.optional("weather"),
        }))]
    }
}

/// Checks trees as they are written: `peach:redhaven:6, apple::20`.
pub(super) fn check_trees(text: &str) -> Result<String, String> {
    let mut kinds = Vec::new();
    for part in text.split(',').map(str::trim).filter(|p| !p.is_empty()) {
        let mut words = part.split(':').map(str::trim);
        let name = words.next().unwrap_or_default();
        let species = Species::from_text(name).ok_or_else(|| {
            let known: Vec<&str> = Species::ALL.iter().map(|s| s.words()).collect();
            format!(
                "'{name}' is no kind of tree known here; write {}",
                known.join(", ")
            )
        })?;
        let cultivar = words.next().filter(|c| !c.is_empty());
        let trees = match words.next() {
            None | Some("") => 1,
            Some(n) => n
                .parse::<u32>()
                .ok()
                .filter(|n| (1..=1_000_000).contains(n))
                .ok_or_else(|| format!("'{n}' is no number of trees"))?,
        };
        let cultivar = cultivar.map_or_else(String::new, |c| format!(" {c}"));
        kinds.push(format!("{trees} {}{cultivar}", species.words()));
    }
    if kinds.is_empty() {
        return Err("which trees? for instance peach:redhaven:6, apple::20".to_owned());
    }
    Ok(kinds.join(", "))
}
