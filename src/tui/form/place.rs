//! Where the orchard lies, by the name of a town: the form that changes it.

use super::begin::{PLACE_HELP, ZONE_HELP, check_place};
use super::{Field, Form, Kind, Purpose, SetUp};
use crate::domain::place::{self, Found};
use crate::domain::season::{Orchard, Season};
use crate::domain::units::Length;
use crate::domain::zone::Zone;
use crate::tui::action::Effect;
use crate::tui::model::Model;

/// A move farther than this (degrees of latitude or longitude) is one to another place: what was
/// brought in for the old one no longer holds.
const ANOTHER_PLACE_DEG: f64 = 1.0;

impl Form {
    /// The place as it stands.
    pub(super) fn place(season: &Season) -> Self {
        let orchard = &season.orchard;
        let height = orchard
            .elevation
            .as_ref()
            .map_or_else(String::new, ToString::to_string);
        let fields = vec![
            Field::new(
                "name",
                "Name",
                "what you call the orchard",
                Kind::Required,
                &orchard.name,
            ),
            Field::new("place", "Place", PLACE_HELP, Kind::Place, &pair(orchard)),
            Field::new(
                "zone",
                "Time zone",
                ZONE_HELP,
                Kind::Zone,
                orchard.time_zone.name(),
            ),
            Field::new(
                "height",
                "Height",
                "above the sea, follows the place: 525 ft, 160 m",
                Kind::Text,
                &height,
            ),
        ];
        Self::new(
            "Where the orchard lies",
            Purpose::SetUp(SetUp::Place),
            fields,
        )
    }

    /// Clock and height follow a place that was written anew, where nobody wrote others.
    pub(super) fn follow_new_place(&mut self) {
        if self.field("place").is_none_or(Field::is_fresh) {
            return;
        }
        self.follow_place();
        let Found::One(place) = place::find(&self.text("place"), 1) else {
            return;
        };
        let Some(metres) = place.elevation_m else {
            return;
        };
        // In the unit it was written in before.
        let height = if self.text("height").ends_with("ft") {
            format!("{:.0} ft", metres / 0.3048)
        } else {
            format!("{metres:.0} m")
        };
        if let Some(field) = self.fields.iter_mut().find(|f| f.key == "height") {
            field.propose(&height);
        }
    }

    pub(super) fn apply_place(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let text = self.text("place");
        let Found::One(place) = place::find(&text, 1) else {
            return Err(check_place(&text).err().unwrap_or_default());
        };
        let zone = self.text("zone");
        let zone = Zone::of_place(&zone).ok_or_else(|| format!("no clock '{zone}' is known"))?;
        let elevation = match self.optional("height") {
            Some(height) => Some(
                height
                    .parse::<Length>()
                    .map_err(|fault| format!("height: {fault}"))?,
            ),
            None => None,
        };
        let mut season = model.season.clone();
        let old = pair(&season.orchard);
        let far = (season.orchard.latitude - place.latitude_deg).abs() > ANOTHER_PLACE_DEG
            || (season.orchard.longitude - place.longitude_deg).abs() > ANOTHER_PLACE_DEG;
        self.text("name")
            .trim()
            .clone_into(&mut season.orchard.name);
        if text.trim() != old {
            season.orchard.latitude = place.latitude_deg;
            season.orchard.longitude = place.longitude_deg;
        }
        season.orchard.time_zone = zone;
        season.orchard.elevation = elevation;
        if season == model.season {
            model.say("the place is as it was");
            return Ok(Vec::new());
        }
        let files = &season.weather;
        let has_files = [&files.daily, &files.hourly, &files.forecast]
            .iter()
            .any(|list| !list.is_empty());
        let words = if far && has_files {
            format!(
                "place: {}; the weather files are of the old place",
                place.words
            )
        } else {
            format!("place: {}", place.words)
        };
        Ok(model.edit(season, &words))
    }
}

/// Latitude and longitude as they are written for a place.
fn pair(orchard: &Orchard) -> String {
    format!("{}, {}", orchard.latitude, orchard.longitude)
}
