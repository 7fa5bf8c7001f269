//! Published requirements of chill and heat, one row each with its source, from `requirements.csv`.
//!
//! Rows marked `memory` could not be checked against their source. A requirement belongs to the
//! unit it was counted in and is never carried to another.

use std::sync::LazyLock;

use super::species::Species;
use super::stage::Stage;

/// What a requirement is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Chill portions of the Dynamic model.
    Portions,
    /// Utah chill units.
    Utah,
    /// Chill hours from 0 to 7.2 °C.
    ChillHours,
    /// Growing degree hours, linear above 4.7 °C without an upper limit.
    DegreeHoursUncapped,
    /// Growing degree hours, linear from 4.5 to 25 °C.
    DegreeHoursLinear,
    /// Growing degree hours of the asymmetric curve.
    DegreeHoursCurve,
    /// Degree days in °C.
    DegreeDaysC,
    /// Degree days in °F.
    DegreeDaysF,
}

impl Unit {
    fn from_text(text: &str) -> Option<Self> {
        Some(match text {
            "portions" => Self::Portions,
            "utah" => Self::Utah,
            "chill-hours" => Self::ChillHours,
            "gdh-4.7" => Self::DegreeHoursUncapped,
            "gdh-linear" => Self::DegreeHoursLinear,
            "gdh-curve" => Self::DegreeHoursCurve,
            "dd-c" => Self::DegreeDaysC,
            "dd-f" => Self::DegreeDaysF,
            _ => return None,
        })
    }

    /// Whether it counts chill.
    pub const fn is_chill(self) -> bool {
        matches!(self, Self::Portions | Self::Utah | Self::ChillHours)
    }
}

/// One published requirement.
#[derive(Debug, Clone, PartialEq)]
pub struct Requirement {
    /// Species.
    pub species: Species,
    /// Cultivar or group as printed.
    pub cultivar: String,
    /// Stage in the source's words; "chill requirement" for chill.
    pub stage_words: String,
    /// BBCH number of the stage.
    pub bbch: Option<u8>,
    /// What it is counted in.
    pub unit: Unit,
    /// The figure, where one is printed.
    pub value: Option<f64>,
    /// Low end, where a range is printed.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// Base of the heat, °C.
    pub base_c: Option<f64>,
    /// Where counting starts, in the source's words.
    pub start: String,
    /// Source.
    pub source: String,
    /// Whether the source was seen; `false` for figures from memory.
    pub confirmed: bool,
}

impl Requirement {
    /// The figure, or the middle of its range.
    pub fn middle(&self) -> Option<f64> {
        self.value
            .or_else(|| Some(f64::midpoint(self.low?, self.high?)))
    }
}

static TABLE: LazyLock<Vec<Requirement>> =
    LazyLock::new(|| parse(include_str!("requirements.csv")));

/// Every published requirement.
pub fn table() -> &'static [Requirement] {
    &TABLE
}

fn parse(text: &str) -> Vec<Requirement> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .records()
        .filter_map(|record| {
            let record = record.ok()?;
            let field = |i: usize| record.get(i).unwrap_or_default().trim().to_owned();
            let number = |i: usize| field(i).parse::<f64>().ok();
            Some(Requirement {
                species: Species::from_text(&field(0)).unwrap_or(Species::Other),
                cultivar: field(1),
                stage_words: field(2),
                bbch: field(3).parse().ok(),
                unit: Unit::from_text(&field(4))?,
                value: number(5),
                low: number(6),
                high: number(7),
                base_c: number(8),
                start: field(9),
                source: field(10),
                confirmed: field(11) == "confirmed",
            })
        })
        .collect()
}

/// Heat requirements published for a species and stage.
pub fn heat(species: Species, stage: Stage) -> impl Iterator<Item = &'static Requirement> {
    TABLE.iter().filter(move |r| {
        r.species == species
            && !r.unit.is_chill()
            && r.bbch.and_then(Stage::from_bbch) == Some(stage)
    })
}

/// Chill a tree needs, portions of the Dynamic model.
#[derive(Debug, Clone, PartialEq)]
pub struct ChillNeed {
    /// Middle.
    pub portions: f64,
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// Where it comes from, for "why?".
    pub source: String,
}

/// Chill need of a cultivar, else the range over the species' cultivars, else its nearest kin's,
/// else a wide range over all.
pub fn chill_need(species: Species, cultivar: Option<&str>) -> ChillNeed {
    let rows = |of: Species| -> Vec<&'static Requirement> {
        TABLE
            .iter()
            .filter(|r| r.species == of && r.unit == Unit::Portions)
            .collect()
    };
    let own = rows(species);
    let named = cultivar.and_then(|name| {
        let wanted = name.trim().to_lowercase();
        own.iter()
            .find(|r| !wanted.is_empty() && r.cultivar.to_lowercase() == wanted)
            .copied()
    });
    if let Some((row, portions)) = named.and_then(|r| Some((r, r.middle()?))) {
        return ChillNeed {
            portions,
            low: row.low.unwrap_or(portions * 0.9),
            high: row.high.unwrap_or(portions * 1.1),
            source: row.source.clone(),
        };
    }
    let chosen = if own.is_empty() {
        species.parent().map(rows).unwrap_or_default()
    } else {
        own
    };
    let mut middles: Vec<f64> = chosen.iter().filter_map(|r| r.middle()).collect();
    middles.sort_by(f64::total_cmp);
    match (
        middles.first(),
        middles.get(middles.len() / 2),
        middles.last(),
    ) {
        (Some(&low), Some(&portions), Some(&high)) => ChillNeed {
            portions,
            low: low.min(portions * 0.8),
            high: high.max(portions * 1.2),
            source: format!("range over {} published cultivars", middles.len()),
        },
        _ => ChillNeed {
            portions: 50.0,
            low: 25.0,
            high: 75.0,
            source: "no published figure for this species: range over temperate fruit".to_owned(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_read_whole_and_every_row_names_its_source() {
        let lines = include_str!("requirements.csv").lines().count() - 1;
        assert_eq!(table().len(), lines);
        for row in table() {
            assert!(!row.source.is_empty() && row.middle().is_some(), "{row:?}");
            assert_ne!(row.species, Species::Other, "{row:?}");
        }
    }

    #[test]
    fn swelling_of_the_nectarine_is_the_confirmed_row() {
        // Miranda, Santesteban & Royo 2013: 786 growing degree hours after 62.5 portions.
        let rows: Vec<_> = heat(Species::Nectarine, Stage::Swell).collect();
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].value, Some(786.0));
        assert_eq!(
            chill_need(Species::Nectarine, Some("Big Top")).portions,
            62.5
        );
    }

    #[test]
    fn chill_falls_back_to_range_kin_and_guess() {
        let apple = chill_need(Species::Apple, Some("unheard of"));
        assert!(apple.low < apple.portions && apple.portions < apple.high);
        assert!(chill_need(Species::JapanesePlum, None).portions > 20.0);
        assert_eq!(chill_need(Species::FloweringCherry, None).portions, 50.0);
    }
}
