//! An orchard for tests. Everything in it is made up: places, trees, sprays.
#![allow(dead_code)]

use barewood::domain::outlook::{BlockEstimate, Estimates};
use barewood::domain::phenology::{distribution::StageDate, species::Species};
use barewood::domain::records::{Conditions, MixAmounts, PartAmount, prefill};
use barewood::domain::season::{
    Block, BlockId, Canopy, CopperRegime, FORMAT, Formulation, Label, Lane, Material, MaterialId,
    MixPart, Orchard, Record, Reentry, Season, SeasonDates, Sprayer, SprayerId, SprayerKind,
    TargetId, Task, TaskId, TaskKind, TaskState, UnitSystem, WeatherFiles, WorkTime,
};
use chrono::{NaiveDate, NaiveDateTime, TimeDelta};
use std::str::FromStr;

/// A day, as `2027-02-14`.
pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// A local time, as `2027-02-14 10:30`.
pub fn time(text: &str) -> NaiveDateTime {
    NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
}

/// Any quantity, as people write it.
pub fn of<T: FromStr>(text: &str) -> T
where
    T::Err: std::fmt::Debug,
{
    text.parse().unwrap()
}

fn block(id: &str, name: &str, species: Species, trees: u32, area: &str) -> Block {
    Block {
        trees,
        area: Some(of(area)),
        canopy: Canopy::Open,
        ..Block::new(BlockId::from(id), name.to_owned(), species)
    }
}

fn material(id: &str, name: &str, active: &str, form: Formulation) -> Material {
    Material {
        id: MaterialId::from(id),
        name: name.to_owned(),
        active: active.to_owned(),
        formulation: Some(form),
        registration: Some(format!("00000-{}", id.len())),
        active_share: None,
        metallic_copper: None,
        density_kg_per_l: None,
        stock: None,
        pack: None,
        pack_price: None,
        label: Label::default(),
    }
}

/// An open task.
pub fn task(id: &str, title: &str, lane: Lane, kind: TaskKind, date: &str) -> Task {
    Task {
        id: TaskId::from(id),
        title: title.to_owned(),
        lane,
        kind,
        date: day(date),
        hour: None,
        blocks: Vec::new(),
        targets: Vec::new(),
        mix: Vec::new(),
        volume: None,
        water_ph: None,
        sprayer: None,
        state: TaskState::Planned,
        notes: None,
        why: None,
        part_of: None,
        moved: Vec::new(),
        quiet: Vec::new(),
    }
}

fn spray(id: &str, title: &str, lane: Lane, date: &str, mix: &[&str], targets: &[&str]) -> Task {
    Task {
        blocks: vec![BlockId::from("peaches")],
        mix: mix
            .iter()
            .map(|m| MixPart {
                material: MaterialId::from(*m),
                rate: None,
            })
            .collect(),
        targets: targets.iter().map(|t| TargetId::from(*t)).collect(),
        sprayer: Some(SprayerId::from("backpack")),
        ..task(id, title, lane, TaskKind::Spray, date)
    }
}

/// Two blocks, copper and oil, three sprays and two other jobs.
pub fn season() -> Season {
    let mut copper = material("copper", "copper powder", "fixed copper", Formulation::Wp);
    copper.metallic_copper = Some(of("50 %"));
    copper.stock = Some(of("5 kg"));
    copper.pack = Some(of("1 kg"));
    copper.pack_price = Some(20.0);
    copper.label.rate = Some(of("4 lb/acre"));
    copper.label.reentry = Some(Reentry::After(of("24 h")));
    copper.label.read_on = Some(day("2026-11-01"));
    copper.label.gear = vec!["gloves".to_owned(), "goggles".to_owned()];
    let mut oil = material("oil", "dormant oil", "horticultural oil", Formulation::Ec);
    oil.stock = Some(of("2 gal"));
    oil.label.rate = Some(of("2 % v/v"));
    oil.label.reentry = Some(Reentry::UntilDry);
    oil.label.read_on = Some(day("2026-11-01"));
    Season {
        format: FORMAT,
        season: "2026-27".to_owned(),
        practice: true,
        orchard: Orchard {
            name: "North Slope".to_owned(),
            latitude: 40.7,
            longitude: -73.9,
            elevation: None,
            time_zone: "America/New_York".parse().unwrap(),
            units: UnitSystem::Metric,
            tolerance: of("10 %"),
            guard_days: 3,
            copper_regime: CopperRegime::EuSevenYears,
            copper_past_kg_per_ha: vec![4.0, 3.0, 5.0],
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
            leaf_drop_seen: Some(day("2026-11-22")),
        },
        weather: WeatherFiles::default(),
        blocks: vec![
            block("peaches", "Peach row", Species::Peach, 30, "0.3 ha"),
            block("apples", "Apple row", Species::Apple, 10, "0.1 ha"),
        ],
        targets: Vec::new(),
        shared_targets: Vec::new(),
        materials: vec![copper, oil],
        sprayers: vec![Sprayer {
            id: SprayerId::from("backpack"),
            name: "backpack".to_owned(),
            kind: SprayerKind::Backpack,
            tank: of("15 L"),
            volume_factor: None,
            refill_minutes: None,
            way_minutes: None,
            speed: None,
            time: WorkTime::default(),
            calibration: Vec::new(),
        }],
        tasks: vec![
            spray(
                "first-copper",
                "First copper",
                Lane::AfterLeafDrop,
                "2026-12-01",
                &["copper"],
                &["leaf-curl"],
            ),
            task(
                "prune",
                "Prune",
                Lane::MidWinter,
                TaskKind::Prune,
                "2027-01-20",
            ),
            spray(
                "second-copper",
                "Second copper",
                Lane::BeforeSwell,
                "2027-02-20",
                &["copper", "oil"],
                &["leaf-curl"],
            ),
        ],
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

/// A stage date that is even over 21 days around its middle.
pub fn around(middle: &str) -> StageDate {
    let first = day(middle) - TimeDelta::days(10);
    StageDate::new(first, (1..=21).map(|i| f64::from(i) / 21.0))
}

/// Estimates with swell around a day on every block, burst and bloom after it.
pub fn estimates(season: &Season, swell: &str) -> Estimates {
    let plus = |days: i64| {
        let middle = day(swell) + TimeDelta::days(days);
        around(&middle.to_string())
    };
    Estimates {
        blocks: season
            .blocks
            .iter()
            .map(|b| BlockEstimate {
                block: b.id.clone(),
                swell: plus(0),
                burst: plus(10),
                seen: None,
                few: Vec::new(),
                bloom: plus(24),
            })
            .collect(),
        ..Estimates::default()
    }
}

/// A full record of a task: what was used is made up.
pub fn full(season: &Season, task: &str, on: &str) -> Record {
    let task = season.task(&TaskId::from(task)).unwrap();
    let parts = task
        .mix
        .iter()
        .map(|part| PartAmount {
            material: part.material.clone(),
            rate: None,
            total: Some(if part.material == MaterialId::from("oil") {
                of("0.5 gal")
            } else {
                of("1.2 kg")
            }),
        })
        .collect();
    let amounts = MixAmounts {
        volume: Some(of("90 L")),
        mixing: Some("6 tanks: water, copper, oil, water".to_owned()),
        gear: Vec::new(),
        parts,
    };
    let conditions = Conditions {
        wind: Some(of("2 m/s")),
        wind_from: Some("NW".to_owned()),
        temperature: Some(of("9 C")),
        humidity_percent: Some(70.0),
        sky: None,
        rain: None,
    };
    let mut record = prefill(
        season,
        task,
        day(on),
        time(&format!("{on} 11:00")),
        &amounts,
        &conditions,
    );
    record.started = Some(time(&format!("{on} 08:00")));
    record.ended = Some(time(&format!("{on} 11:00")));
    record.gear = vec!["gloves".to_owned()];
    (record.reentry_until, record.reentry_until_dry) =
        barewood::domain::records::reentry_from_labels(season, &record);
    record.who = Some("the grower".to_owned());
    record.licence = Some("0000".to_owned());
    record.bbch = Some(0);
    record
}
