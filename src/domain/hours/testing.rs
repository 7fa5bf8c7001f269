//! Small seasons and steady weather for the tests of this room.

use chrono::NaiveDate;

use super::air::{Air, Settings, Site};
use crate::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};
use crate::domain::phenology::species::Species;
use crate::domain::season::{
    Block, BlockId, Canopy, CopperRegime, FORMAT, Label, Lane, Material, MaterialId, MixPart,
    Orchard, Season, SeasonDates, Task, TaskId, TaskKind, TaskState, UnitSystem, WeatherFiles,
};
use crate::domain::units::{Percent, PercentUnit};

pub(crate) fn material(id: &str, active: &str) -> Material {
    Material {
        id: MaterialId::from(id),
        name: id.to_owned(),
        active: active.to_owned(),
        formulation: None,
        registration: None,
        active_share: None,
        metallic_copper: None,
        density_kg_per_l: None,
        stock: None,
        pack: None,
        pack_price: None,
        label: Label::default(),
    }
}

pub(crate) fn oil(id: &str) -> Material {
    material(id, "horticultural oil")
}

pub(crate) fn copper(id: &str) -> Material {
    material(id, "fixed copper")
}

pub(crate) fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub(crate) fn spray(id: &str, mix: &[&str]) -> Task {
    Task {
        id: TaskId::from(id),
        title: id.to_owned(),
        lane: Lane::BeforeSwell,
        kind: TaskKind::Spray,
        date: date("2026-02-10"),
        hour: None,
        blocks: vec![],
        targets: vec![],
        mix: mix
            .iter()
            .map(|m| MixPart {
                material: MaterialId::from(*m),
                rate: None,
            })
            .collect(),
        volume: None,
        water_ph: None,
        sprayer: None,
        state: TaskState::Planned,
        notes: None,
        why: None,
        part_of: None,
        moved: vec![],
        quiet: vec![],
    }
}

pub(crate) fn block(id: &str) -> Block {
    Block {
        id: BlockId::from(id),
        name: id.to_owned(),
        species: Species::Peach,
        cultivar: None,
        trees: 10,
        area: None,
        row_spacing: None,
        tree_spacing: None,
        height: None,
        spread: None,
        canopy: Canopy::Middling,
        measured_volume: None,
        organic: false,
        leaf_drop_expected: None,
        leaf_drop_seen: None,
        guard_days: None,
        model: None,
        site: None,
        copper_past_kg_per_ha: Vec::new(),
        seen: vec![],
        past: vec![],
        quiet: vec![],
    }
}

pub(crate) fn season_with(materials: Vec<Material>) -> Season {
    Season {
        format: FORMAT,
        season: "2025-26".to_owned(),
        practice: true,
        orchard: Orchard {
            name: "Test".to_owned(),
            latitude: 47.45,
            longitude: -122.31,
            elevation: None,
            time_zone: "America/Los_Angeles".parse().unwrap(),
            units: UnitSystem::Metric,
            tolerance: Percent::new(10.0, PercentUnit::Percent),
            guard_days: 3,
            copper_regime: CopperRegime::Label,
            copper_past_kg_per_ha: vec![],
            wind_max: None,
            work_hours: None,
            avoid_winds: vec![],
            works_in_the_dark: false,
            film_depth: None,
            work_days: vec![],
            notes: None,
        },
        dates: SeasonDates {
            leaf_drop_expected: date("2025-11-15"),
            leaf_drop_seen: None,
        },
        weather: WeatherFiles::default(),
        blocks: vec![block("peach")],
        targets: vec![],
        shared_targets: vec![],
        materials,
        sprayers: vec![],
        tasks: vec![],
        readings: vec![],
        records: vec![],
        people: Vec::new(),
        shed: Vec::new(),
        records_head: None,
        reviewed: vec![],
        estimates_noted: vec![],
        lessons: vec![],
    }
}

/// Mild, dry, breezy, bright: nothing to find fault with.
pub(crate) fn fair() -> Hour {
    Hour {
        temp_c: Some(14.0),
        rh_pct: Some(55.0),
        wind_ms: Some(2.5),
        rain_mm: Some(0.0),
        cloud_pct: Some(40.0),
        provenance: Provenance::Forecast,
        ..Hour::default()
    }
}

/// Hours from local midnight of 9 February 2026 at the test orchard (UTC−8).
pub(crate) fn air_of(hours: Vec<Hour>) -> Air {
    air_at("2026-02-09T08:00:00Z", hours)
}

pub(crate) fn air_at(first: &str, hours: Vec<Hour>) -> Air {
    let season = season_with(vec![]);
    Air::new(
        HourlySeries::new(first.parse().unwrap(), hours),
        Site::of(&season.orchard),
        Settings::default(),
    )
}
