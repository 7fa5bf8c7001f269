//! Metallic copper on a block: what was used of it, and what a season allows.
//!
//! Limits hold for the metal, whatever products bring it: every copper of the block counts, and
//! so do records of sprays that belong to no task of the plan. The label decides; where it gives
//! no figure and the orchard follows the US tables, the confirmed rows of [`us_table`] stand in.

use super::{Event, Use, Uses};
use crate::domain::materials::Actives;
use crate::domain::mix::dose;
use crate::domain::phenology::species::Species;
use crate::domain::season::{Block, CopperRegime, Orchard};
use crate::domain::sources::{self, Source};
use chrono::{Datelike, NaiveDate};

/// kg/ha in one lb/acre: the pound and the acre by definition.
pub const KG_PER_HA_OF_LB_PER_ACRE: f64 = 0.453_592_37 / 0.404_685_642_24;

/// Most metallic copper over seven years in the European Union, kg/ha.
pub const EU_SEVEN_YEARS_KG_PER_HA: f64 = 28.0;

/// The mean of it over the seven years, kg/ha a year.
pub const EU_MEAN_KG_PER_HA: f64 = EU_SEVEN_YEARS_KG_PER_HA / 7.0;

/// Past years that count beside the present one.
pub(crate) const EU_PAST_YEARS: usize = 6;

/// A US label row: most metallic copper a dormant use and a year, kg/ha.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsRow {
    /// Most in one dormant use, kg/ha.
    pub per_use_kg_per_ha: f64,
    /// Most in a year, kg/ha.
    pub per_year_kg_per_ha: f64,
    /// Where it was read.
    pub source: &'static Source,
}

/// The confirmed US label rows. Peach, nectarine, pear and walnut have none:
/// the figures found for them were unconfirmed or at odds with themselves.
pub fn us_table(species: Species) -> Option<UsRow> {
    let (per_use, per_year, source) = match species {
        Species::Almond
        | Species::Apricot
        | Species::SweetCherry
        | Species::SourCherry
        | Species::EuropeanPlum
        | Species::JapanesePlum => (8.0, 18.0, &sources::COPPER_US_STONE),
        Species::Apple => (6.0, 16.0, &sources::COPPER_US_POME),
        Species::Quince => (8.0, 16.0, &sources::COPPER_US_POME),
        _ => return None,
    };
    Some(UsRow {
        per_use_kg_per_ha: per_use * KG_PER_HA_OF_LB_PER_ACRE,
        per_year_kg_per_ha: per_year * KG_PER_HA_OF_LB_PER_ACRE,
        source,
    })
}

pub(crate) fn by_table(uses: &Uses<'_>, species: Species) -> Option<UsRow> {
    (uses.season.orchard.copper_regime == CopperRegime::UsTables)
        .then(|| us_table(species))
        .flatten()
}

/// Most metallic copper that label or table allow a block in a season, kg/ha.
pub(crate) fn season_limit(uses: &Uses<'_>, used: &Use<'_>) -> Option<(f64, &'static Source)> {
    let by_label = used
        .material
        .label
        .max_copper_per_season
        .and_then(|r| dose::kg_per_ha(r, None))
        .map(|kg| (kg, &sources::LABEL_LIMIT));
    by_label
        .or_else(|| by_table(uses, used.block.species).map(|r| (r.per_year_kg_per_ha, r.source)))
}

/// Metallic copper on a block in the years that the law of the European Union counts beside the
/// present one. A limit per hectare holds for each block: what the block itself says of a year
/// goes before the orchard's list, which goes for all blocks alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PastYears([Option<f64>; EU_PAST_YEARS]);

impl PastYears {
    pub fn of(orchard: &Orchard, block: &Block) -> Self {
        let own = |back: usize| block.copper_past_kg_per_ha.get(back)?.kg_per_ha();
        let listed = |back: usize| orchard.copper_past_kg_per_ha.get(back).copied();
        Self(std::array::from_fn(|back| {
            own(back)
                .or_else(|| listed(back))
                .filter(|kg| kg.is_finite() && *kg >= 0.0)
        }))
    }

    /// The years, latest first; none where nothing is known of one.
    pub fn years(&self) -> &[Option<f64>] {
        &self.0
    }

    /// All that is known, kg/ha.
    pub fn kg_per_ha(&self) -> f64 {
        self.0.iter().flatten().sum()
    }

    /// Years of which something is known.
    pub fn known(&self) -> usize {
        self.0.iter().flatten().count()
    }

    /// Years of which nothing is known: they are not nought.
    pub fn unknown(&self) -> usize {
        EU_PAST_YEARS - self.known()
    }
}

/// Metallic copper of some uses: what is known of it, and how many could not be worked out.
#[derive(Clone, Copy, Default)]
pub(crate) struct Sum {
    /// What is known, kg/ha.
    pub kg_per_ha: f64,
    /// Uses whose copper is not known.
    pub unknown: usize,
}

impl Sum {
    pub fn of<'a>(events: impl Iterator<Item = &'a Event<'a>>) -> Self {
        let mut sum = Self::default();
        for event in events.filter(|e| e.kinds.any(Actives::COPPER)) {
            match event.copper_kg_per_ha {
                Some(kg) => sum.kg_per_ha += kg,
                None => sum.unknown += 1,
            }
        }
        sum
    }

    /// What a task's own coppers bring to the block of a use, as far as they count before it.
    pub fn of_task(uses: &Uses<'_>, used: &Use<'_>) -> Self {
        let events = uses.timeline(used.block_ix).iter();
        Self::of(events.filter(|e| {
            e.used
                .is_some_and(|u| u.task.id == used.task.id && u.is_open())
        }))
    }

    /// What to add where something is missing from it.
    pub fn gap(self) -> String {
        match self.unknown {
            0 => String::new(),
            n => format!(" Not in it: {n} uses whose copper is not known."),
        }
    }
}

/// The dormant year or the calendar year of a use, whichever has more copper in it: labels say
/// "a year" and mean either.
pub(crate) fn fuller_year(uses: &Uses<'_>, used: &Use<'_>) -> (Sum, &'static str, NaiveDate) {
    let season = uses.season.starts();
    let year = uses.judged_on(used.task).year();
    let january = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or(season);
    let of_season = to(uses, used, season);
    let of_calendar = to(uses, used, january);
    let rank = |s: Sum| (s.kg_per_ha, s.unknown);
    if rank(of_calendar) > rank(of_season) {
        (of_calendar, "calendar year", january)
    } else {
        (of_season, "season", season)
    }
}

/// Metallic copper on a block's timeline from a day up to and with a use.
pub(crate) fn to(uses: &Uses<'_>, used: &Use<'_>, start: NaiveDate) -> Sum {
    let day = uses.judged_on(used.task);
    let events = uses.timeline(used.block_ix).iter();
    Sum::of(events.filter(|e| e.day >= start).filter(|e| {
        let before = e.day < day;
        let same_day = e.day == day && e.used.is_none_or(|u| u.task.id <= used.task.id);
        before || same_day
    }))
}
