//! What the estimates rest on, where that is less than the grower may think.

use crate::domain::climate::normals::NormalsFrom;
use crate::domain::climate::weather::Weather;
use crate::domain::phenology::climatology::Climatology;
use crate::domain::phenology::normals::MonthlyNormals;
use serde::{Deserialize, Serialize};

/// Three words for an estimate that rests on no temperatures of the place.
pub const AREAS_NORMAL_WEATHER: &str = "area's normal weather";

/// Own days from which on an estimate no longer rests on the area's weather alone.
const REAL_DAYS: usize = 30;

/// What stands in for weather of the place's own, and what of it could not be read.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ground {
    /// The estimates rest on the area's normal weather.
    pub area: bool,
    /// They rest on a typical year, not on real days.
    pub typical: bool,
    /// Weather files that could not be read: which, why, what to do. One line each.
    pub lost: Vec<String>,
}

impl Ground {
    /// Of the weather and the past years that estimates are made from.
    pub fn of(past: &Climatology, weather: &Weather, normals: &MonthlyNormals) -> Self {
        let days = weather
            .daily
            .as_ref()
            .map_or(0, |d| d.iter().filter(|(_, day)| day.is_some()).count());
        let bare = !past.has_years() && days < REAL_DAYS;
        Self {
            area: bare && normals.from == NormalsFrom::Area,
            typical: bare && normals.from == NormalsFrom::AreaAndTypical,
            lost: weather.lost.clone(),
        }
    }

    /// Everything to be said, a line each.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if self.area {
            lines.push(format!(
                "Swell dates rest on the {AREAS_NORMAL_WEATHER}: no temperatures of yours are on file."
            ));
        }
        if self.typical {
            lines.push(
                "Swell dates rest on a typical year: no temperatures of real days are on file."
                    .to_owned(),
            );
        }
        lines.extend(self.lost.iter().cloned());
        lines
    }

    /// The same beside a date, ` (area's normal weather)`; nothing where days of the place are on
    /// file.
    pub fn beside(&self) -> &'static str {
        match (self.area, self.typical) {
            (true, _) => " (area's normal weather)",
            (false, true) => " (a typical year's weather)",
            (false, false) => "",
        }
    }

    /// The same in few words, for one line of a head; `None` where there is nothing to say.
    pub fn brief(&self) -> Option<String> {
        let mut parts = Vec::new();
        if self.area {
            parts.push(AREAS_NORMAL_WEATHER.to_owned());
        }
        if self.typical {
            parts.push("a typical year's weather".to_owned());
        }
        match self.lost.as_slice() {
            [] => {}
            [only] => parts.push(only.clone()),
            several => parts.push(format!("{} weather files cannot be read", several.len())),
        }
        (!parts.is_empty()).then(|| parts.join("; "))
    }
}
