//! A record filled in from what is already known: task, mix sheet, weather.

use super::elements::eppo_code;
use super::{copper_kg_per_ha, next_id, reentry_from_labels};
use crate::domain::country::{Country, country};
use crate::domain::season::{Block, MaterialId, Reading, Record, RecordedMaterial, Season, Task};
use crate::domain::units::{
    Amount, Area, AreaUnit, Rate, Speed, Temperature, Volume, plain_number,
};
use chrono::{NaiveDate, NaiveDateTime, Timelike};

/// A look at the buds older than this says nothing about today's stage.
const BUDS_HOLD_DAYS: i64 = 7;

/// The air while spraying; what is not known stays absent.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conditions {
    /// Wind speed.
    pub wind: Option<Speed>,
    /// Where the wind came from, for instance `NW`.
    pub wind_from: Option<String>,
    /// Air temperature.
    pub temperature: Option<Temperature>,
    /// Relative humidity, percent.
    pub humidity_percent: Option<f64>,
    /// Sky and inversion note.
    pub sky: Option<String>,
    /// Rain before and after.
    pub rain: Option<String>,
}

/// What the mix sheet says of one material.
#[derive(Debug, Clone, PartialEq)]
pub struct PartAmount {
    /// Which material.
    pub material: MaterialId,
    /// The rate used.
    pub rate: Option<Rate>,
    /// Product used in all.
    pub total: Option<Amount>,
}

/// What the mix sheet says of a task.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MixAmounts {
    /// Spray in all.
    pub volume: Option<Volume>,
    /// Tanks and the order of mixing.
    pub mixing: Option<String>,
    /// Gear to wear.
    pub gear: Vec<String>,
    /// Material by material.
    pub parts: Vec<PartAmount>,
}

/// Where an orchard is, in words that find it again.
pub fn site_of(season: &Season) -> String {
    let o = &season.orchard;
    format!("{} ({:.4}, {:.4})", o.name.trim(), o.latitude, o.longitude)
}

/// A record of a task done on `day`, filled in as far as anything is known.
///
/// Nothing is asserted that nobody said: who sprayed, when it ended and what was worn are left
/// open here and stand in [`offer`], to be confirmed. Until the end is known, re-entry counts
/// from the end of the day.
pub fn prefill(
    season: &Season,
    task: &Task,
    day: NaiveDate,
    now: NaiveDateTime,
    amounts: &MixAmounts,
    conditions: &Conditions,
) -> Record {
    let mut record = Record::new(next_id(season), day);
    let blocks: Vec<&Block> = season.blocks_of(task).collect();
    record.task = Some(task.id.clone());
    record.noted = Some(now.date());
    record.site = Some(site_of(season));
    record.blocks = blocks.iter().map(|b| b.id.clone()).collect();
    record.crops = crops(
        &blocks,
        country(&season.orchard) == Some(Country::EuropeanUnion),
    );
    record.area = area(&blocks);
    record.trees = Some(blocks.iter().map(|b| b.trees).sum());
    record.bbch = stage_seen(season, &blocks, day);
    record.targets.clone_from(&task.targets);
    record.volume = amounts.volume.or(task.volume);
    record.mixing.clone_from(&amounts.mixing);
    record.sprayer.clone_from(&task.sprayer);
    record.materials = task
        .mix
        .iter()
        .map(|part| {
            let sheet = amounts.parts.iter().find(|p| p.material == part.material);
            let rate = sheet.and_then(|p| p.rate).or(part.rate);
            material(season, &part.material, rate, sheet.and_then(|p| p.total))
        })
        .collect();
    for used in &mut record.materials {
        used.copper_kg_per_ha = copper_kg_per_ha(season, used, record.area);
    }
    record.wind = conditions.wind;
    record.wind_from.clone_from(&conditions.wind_from);
    record.temperature = conditions.temperature;
    record.humidity_percent = conditions.humidity_percent;
    record.sky.clone_from(&conditions.sky);
    record.rain.clone_from(&conditions.rain);
    (record.reentry_until, record.reentry_until_dry) = reentry_from_labels(season, &record);
    record
}

/// What may be so and is not noted before somebody confirms it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Offer {
    /// The end of spraying: now, where the work is of today.
    pub ended: Option<NaiveDateTime>,
    /// The gear the labels ask for: it may have been worn.
    pub gear: Vec<String>,
}

/// What a form may offer for a task done on `day`.
pub fn offer(
    season: &Season,
    task: &Task,
    day: NaiveDate,
    now: NaiveDateTime,
    amounts: &MixAmounts,
) -> Offer {
    Offer {
        ended: (now.date() == day).then(|| to_minute(now)),
        gear: gear(season, task, amounts),
    }
}

/// Seconds say nothing in a record, and a season file is read by people.
pub(super) fn to_minute(time: NaiveDateTime) -> NaiveDateTime {
    time.with_second(0)
        .and_then(|t| t.with_nanosecond(0))
        .unwrap_or(time)
}

/// The crops with their cultivars; where the law asks for it, with the EPPO code.
fn crops(blocks: &[&Block], with_code: bool) -> Vec<String> {
    let mut crops = Vec::new();
    for block in blocks {
        let mut words = match &block.cultivar {
            Some(cultivar) => format!("{} ({cultivar})", block.species.words()),
            None => block.species.words().to_owned(),
        };
        if let Some(code) = eppo_code(block.species).filter(|_| with_code) {
            words = format!("{words} [{code}]");
        }
        if !crops.contains(&words) {
            crops.push(words);
        }
    }
    crops
}

/// The ground of all blocks together, where every one is known, in the first one's unit.
fn area(blocks: &[&Block]) -> Option<Area> {
    let areas: Option<Vec<Area>> = blocks.iter().map(|b| b.area).collect();
    let areas = areas?;
    let unit = areas.first()?.unit;
    let ha: f64 = areas.iter().map(|a| a.ha()).sum();
    Some(Area::new(ha, AreaUnit::Ha).to(unit))
}

/// The most advanced stage seen on these blocks in the week before.
fn stage_seen(season: &Season, blocks: &[&Block], day: NaiveDate) -> Option<u8> {
    blocks
        .iter()
        .filter_map(|block| {
            season
                .readings
                .iter()
                .filter(|r| r.is_for(&block.id))
                .filter_map(|r| match r {
                    Reading::Buds { date, bbch, .. } => Some((*date, *bbch)),
                    Reading::DegreeDays { .. } | Reading::Rain { .. } => None,
                })
                .filter(|(date, _)| (0..=BUDS_HOLD_DAYS).contains(&(day - *date).num_days()))
                .max_by_key(|(date, _)| *date)
                .map(|(_, bbch)| bbch)
        })
        .max()
}

fn gear(season: &Season, task: &Task, amounts: &MixAmounts) -> Vec<String> {
    if !amounts.gear.is_empty() {
        return amounts.gear.clone();
    }
    let mut gear: Vec<String> = Vec::new();
    for item in task
        .mix
        .iter()
        .filter_map(|part| season.material(&part.material))
        .flat_map(|m| &m.label.gear)
    {
        if !gear.contains(item) {
            gear.push(item.clone());
        }
    }
    gear
}

fn material(
    season: &Season,
    id: &MaterialId,
    rate: Option<Rate>,
    total: Option<Amount>,
) -> RecordedMaterial {
    let known = season.material(id);
    RecordedMaterial {
        material: id.clone(),
        name: known.map_or_else(|| id.to_string(), |m| m.name.clone()),
        active: known.map_or_else(String::new, |m| m.active.clone()),
        registration: known.and_then(|m| m.registration.clone()),
        formulation: known.and_then(|m| m.formulation),
        active_share: known.and_then(|m| m.active_share),
        metallic_copper: known.and_then(|m| m.metallic_copper),
        lot: None,
        rate: rate.or_else(|| known.and_then(|m| m.label.rate)),
        total,
        by_sheet: None,
        copper_kg_per_ha: None,
        cost: known.and_then(|m| cost(total?, m.pack?, m.pack_price?)),
    }
}

/// What an amount of a material costs, where its pack and price are known.
pub fn cost_of(season: &Season, id: &MaterialId, total: Option<Amount>) -> Option<f64> {
    let material = season.material(id)?;
    cost(total?, material.pack?, material.pack_price?)
}

/// The price of an amount, from the price of a pack measured the same way.
fn cost(total: Amount, pack: Amount, pack_price: f64) -> Option<f64> {
    let share = match (total, pack) {
        (Amount::Volume(t), Amount::Volume(p)) => t.l() / p.l(),
        (Amount::Mass(t), Amount::Mass(p)) => t.kg() / p.kg(),
        _ => return None,
    };
    let price = share * pack_price;
    let cents = (price * 100.0).round() / 100.0;
    (cents.is_finite() && !plain_number(cents).starts_with('-')).then_some(cents)
}
