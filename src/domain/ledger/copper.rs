//! Metallic copper of a block over the years that labels and laws count by.

use crate::domain::records::{self, blocks_of, copper_kg_per_ha, is_copper};
use crate::domain::season::{Block, Season};
use crate::domain::uses::copper::{EU_PAST_YEARS, PastYears};
use chrono::{Datelike, Months, NaiveDate};

/// Years the European limit runs over (Regulation (EU) 2018/1981: 28 kg/ha in seven years).
pub const SEVEN: u32 = EU_PAST_YEARS as u32 + 1;

/// Metallic copper on one block, kg/ha, up to a day.
#[derive(Debug, Clone, PartialEq)]
pub struct CopperYears {
    /// The block's id.
    pub block: String,
    /// Its name.
    pub name: String,
    /// By season, the year most labels count by, oldest first.
    pub by_season: Vec<(String, f64)>,
    /// By calendar year, oldest first.
    pub by_year: Vec<(i32, f64)>,
    /// In the seven years that end with the day: what is on record.
    pub seven_years: f64,
    /// Of them, what the block itself says of years without a season on file.
    pub stated: f64,
    /// Of them, what comes from the orchard's own list of past years, which holds for all blocks
    /// alike: years without a season on file of which the block itself says nothing.
    pub from_list: f64,
    /// Years of the seven of which nothing is known.
    pub unknown_years: Vec<String>,
    /// Uses whose copper cannot be told: the sums are too low by those.
    pub unknown_uses: u32,
}

/// Metallic copper of every block of the latest season, from all seasons, up to a day.
pub fn copper_years(seasons: &[Season], until: NaiveDate) -> Vec<CopperYears> {
    let Some(latest) = seasons.last() else {
        return Vec::new();
    };
    let from = until
        .checked_sub_months(Months::new(12 * SEVEN))
        .unwrap_or(until);
    latest
        .blocks
        .iter()
        .map(|block| of_block(seasons, latest, block, (from, until)))
        .collect()
}

fn of_block(
    seasons: &[Season],
    latest: &Season,
    block: &Block,
    (from, until): (NaiveDate, NaiveDate),
) -> CopperYears {
    let mut years = CopperYears {
        block: block.id.to_string(),
        name: block.name.clone(),
        by_season: Vec::new(),
        by_year: Vec::new(),
        seven_years: 0.0,
        stated: 0.0,
        from_list: 0.0,
        unknown_years: Vec::new(),
        unknown_uses: 0,
    };
    for season in seasons {
        let mut of_season = 0.0;
        for record in records::current(season).filter(|r| r.date <= until) {
            if !blocks_of(season, record).iter().any(|b| b.id == block.id) {
                continue;
            }
            for used in record.materials.iter().filter(|m| is_copper(m)) {
                let Some(kg) = copper_kg_per_ha(season, used, record.area) else {
                    years.unknown_uses += 1;
                    continue;
                };
                of_season += kg;
                let year = record.date.year();
                match years.by_year.iter_mut().find(|y| y.0 == year) {
                    Some(y) => y.1 += kg,
                    None => years.by_year.push((year, kg)),
                }
                if record.date > from {
                    years.seven_years += kg;
                }
            }
        }
        if season.block(&block.id).is_some() && season.starts() <= until {
            years.by_season.push((season.season.clone(), of_season));
        }
    }
    years.by_year.sort_unstable_by_key(|y| y.0);
    // The six dormant years before the latest: on file, else told of the block or the orchard.
    let past = PastYears::of(&latest.orchard, block);
    for back in 1..SEVEN {
        let starts = latest.starts().checked_sub_months(Months::new(12 * back));
        let Some(starts) = starts else { continue };
        let on_file = seasons
            .iter()
            .any(|s| (s.starts() - starts).num_days().abs() < 150 && s.block(&block.id).is_some());
        if on_file {
            continue;
        }
        let place = back as usize - 1;
        let is_own = block
            .copper_past_kg_per_ha
            .get(place)
            .is_some_and(|year| year.kg_per_ha().is_some());
        match past.years().get(place).copied().flatten() {
            Some(kg) => {
                years.seven_years += kg;
                *(if is_own {
                    &mut years.stated
                } else {
                    &mut years.from_list
                }) += kg;
            }
            None => years
                .unknown_years
                .push(crate::domain::next_season::name_of_year(
                    starts
                        .checked_add_days(chrono::Days::new(91))
                        .unwrap_or(starts),
                )),
        }
    }
    years.unknown_years.reverse();
    years
}
