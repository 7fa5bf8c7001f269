//! A small invented season that no rule objects to, and helpers to change it.
// Three test programs share this file and each uses a part of it.
#![allow(dead_code, clippy::wildcard_imports)]

use barewood::domain::outlook::{BlockEstimate, Estimates};
use barewood::domain::phenology::distribution::StageDate;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::{self, Facts, Level, Warning};
use barewood::domain::season::*;
use barewood::domain::units::{Percent, PercentUnit};
use barewood::domain::zone::Zone;
use chrono::{Days, NaiveDate};

/// A day; panics on nonsense, as a test should.
pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Anything that is read from text.
pub fn of<T: std::str::FromStr>(text: &str) -> T
where
    T::Err: std::fmt::Debug,
{
    text.parse().unwrap()
}

pub fn percent(value: f64) -> Percent {
    Percent::new(value, PercentUnit::Percent)
}

/// Equal chances on `days` days from `first` on.
pub fn even(first: &str, days: u32) -> StageDate {
    StageDate::new(
        day(first),
        (1..=days).map(|i| f64::from(i) / f64::from(days)),
    )
}

/// Swell over twenty days from 20 February (5 % a day), burst two weeks
/// later, bloom four.
pub fn estimate(block: &str) -> BlockEstimate {
    BlockEstimate {
        block: BlockId::from(block),
        swell: even("2027-02-20", 20),
        burst: even("2027-03-06", 20),
        bloom: even("2027-03-20", 20),
        seen: None,
        few: Vec::new(),
    }
}

pub fn estimates(season: &Season) -> Estimates {
    Estimates {
        blocks: season
            .blocks
            .iter()
            .map(|b| estimate(b.id.as_str()))
            .collect(),
        ..Estimates::default()
    }
}

pub fn block(id: &str, species: Species) -> Block {
    Block {
        trees: 100,
        area: Some(of("1 acre")),
        row_spacing: Some(of("18 ft")),
        tree_spacing: Some(of("12 ft")),
        height: Some(of("8 ft")),
        spread: Some(of("10 ft")),
        canopy: Canopy::Open,
        measured_volume: Some(of("100 gal")),
        ..Block::new(BlockId::from(id), format!("block {id}"), species)
    }
}

/// A material with a full label: peach and apple, read this autumn.
pub fn material(id: &str, active: &str) -> Material {
    Material {
        id: MaterialId::from(id),
        name: format!("material {id}"),
        active: active.to_owned(),
        formulation: Some(Formulation::Wp),
        registration: Some("0000-00".to_owned()),
        active_share: None,
        metallic_copper: None,
        density_kg_per_l: None,
        stock: None,
        pack: None,
        pack_price: None,
        label: Label {
            read_on: Some(day("2026-11-01")),
            crops: vec!["peach".to_owned(), "apple".to_owned()],
            rate_min: Some(of("2 lb/acre")),
            rate: Some(of("4 lb/acre")),
            rate_max: Some(of("8 lb/acre")),
            last_stage: Some(51),
            reentry: Some(Reentry::After(of("24 h"))),
            gear: vec!["gloves".to_owned(), "goggles".to_owned()],
            organic: Organic::Allowed,
            ..Label::default()
        },
    }
}

pub fn spray(id: &str, date: &str, blocks: &[&str], mix: &[&str]) -> Task {
    Task {
        id: TaskId::from(id),
        title: format!("spray {id}"),
        lane: Lane::BeforeSwell,
        kind: TaskKind::Spray,
        date: day(date),
        hour: None,
        blocks: blocks.iter().map(|b| BlockId::from(*b)).collect(),
        targets: Vec::new(),
        mix: mix
            .iter()
            .map(|m| MixPart {
                material: MaterialId::from(*m),
                rate: None,
            })
            .collect(),
        volume: None,
        water_ph: None,
        sprayer: Some(SprayerId::from("gun")),
        state: TaskState::Planned,
        notes: None,
        why: None,
        part_of: None,
        moved: Vec::new(),
        quiet: Vec::new(),
    }
}

pub fn sprayer(id: &str) -> Sprayer {
    Sprayer {
        id: SprayerId::from(id),
        name: format!("sprayer {id}"),
        kind: SprayerKind::Handgun,
        tank: of("25 gal"),
        volume_factor: None,
        refill_minutes: None,
        way_minutes: None,
        speed: None,
        time: WorkTime::default(),
        calibration: vec![Calibration {
            date: day("2026-11-10"),
            l_per_min: Some(10.0),
            l_per_ha: Some(900.0),
            worst_nozzle_percent: Some(5.0),
            note: None,
        }],
    }
}

/// One peach block, one copper, one spray on 1 February: nothing to object to.
pub fn season() -> Season {
    Season {
        format: FORMAT,
        season: "2026-27".to_owned(),
        practice: true,
        orchard: Orchard {
            name: "Invented Orchard".to_owned(),
            latitude: 45.0,
            longitude: -93.0,
            elevation: None,
            // East of the Rocky Mountains, as the place is.
            time_zone: "America/Chicago".parse::<Zone>().unwrap(),
            units: UnitSystem::Us,
            tolerance: percent(10.0),
            guard_days: 5,
            copper_regime: CopperRegime::Label,
            copper_past_kg_per_ha: Vec::new(),
            wind_max: None,
            work_hours: None,
            avoid_winds: vec![],
            works_in_the_dark: false,
            film_depth: None,
            work_days: Vec::new(),
            notes: None,
        },
        dates: SeasonDates {
            leaf_drop_expected: day("2026-11-20"),
            leaf_drop_seen: Some(day("2026-11-20")),
        },
        weather: WeatherFiles::default(),
        blocks: vec![block("p", Species::Peach)],
        targets: Vec::new(),
        shared_targets: Vec::new(),
        materials: vec![material("cu", "copper hydroxide")],
        sprayers: vec![sprayer("gun")],
        tasks: vec![spray("late", "2027-02-01", &["p"], &["cu"])],
        readings: Vec::new(),
        records: Vec::new(),
        people: Vec::new(),
        shed: Vec::new(),
        records_head: None,
        reviewed: Vec::new(),
        estimates_noted: Vec::new(),
        lessons: Vec::new(),
    }
}

pub const TODAY: &str = "2026-11-25";

/// Everything the rules find, today being 25 November.
pub fn check(season: &Season) -> Vec<Warning> {
    check_on(season, TODAY)
}

pub fn check_on(season: &Season, today: &str) -> Vec<Warning> {
    let estimates = estimates(season);
    rules::check(&Facts::new(season, &estimates, day(today)))
}

/// The levels at which one rule speaks.
pub fn levels(season: &Season, rule: &str) -> Vec<Level> {
    levels_on(season, rule, TODAY)
}

pub fn levels_on(season: &Season, rule: &str, today: &str) -> Vec<Level> {
    assert!(rules::rule(rule).is_some(), "no rule '{rule}'");
    check_on(season, today)
        .into_iter()
        .filter(|w| w.rule == rule)
        .map(|w| w.level)
        .collect()
}

/// The only warning of a rule.
pub fn only(season: &Season, rule: &str) -> Warning {
    let mut all: Vec<Warning> = check(season)
        .into_iter()
        .filter(|w| w.rule == rule)
        .collect();
    assert_eq!(all.len(), 1, "{rule}: {all:#?}");
    all.remove(0)
}

pub fn plus(date: &str, days: u64) -> NaiveDate {
    day(date).checked_add_days(Days::new(days)).unwrap()
}

/// A record of a spray that belongs to no task of the season.
pub fn record(id: &str, date: &str, blocks: &[&str], material: &str, active: &str) -> Record {
    Record {
        blocks: blocks.iter().map(|b| BlockId::from(*b)).collect(),
        materials: vec![RecordedMaterial {
            material: MaterialId::from(material),
            name: material.to_owned(),
            active: active.to_owned(),
            registration: None,
            formulation: None,
            active_share: None,
            metallic_copper: None,
            lot: None,
            rate: None,
            total: None,
            by_sheet: None,
            copper_kg_per_ha: None,
            cost: None,
        }],
        ..Record::new(RecordId::from(id), day(date))
    }
}

pub fn seen(target: &str, season: &str, count: Option<(f64, f64)>) -> TargetSeen {
    TargetSeen {
        target: TargetId::from(target),
        season: season.to_owned(),
        count: count.map(|c| c.0),
        of: count.map(|c| c.1),
        note: None,
    }
}
