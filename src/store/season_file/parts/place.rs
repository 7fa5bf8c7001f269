//! The orchard and its blocks.

use super::super::problem::nearest;
use super::super::reader::{Kind, Section};
use crate::domain::hours::compass;
use crate::domain::phenology::{species::Species, stage::Stage};
use crate::domain::season::{
    Block, BlockId, Canopy, CopperRegime, Orchard, PastCopper, PastStage, QuietHere, TargetId,
    TargetSeen, UnitSystem,
};
use crate::domain::units::{Percent, PercentUnit, shown};
use crate::domain::zone::Zone;
use chrono::NaiveDate;

const UNITS: [(&str, UnitSystem); 2] = [("us", UnitSystem::Us), ("metric", UnitSystem::Metric)];
const REGIMES: [(&str, CopperRegime); 3] = [
    ("label", CopperRegime::Label),
    ("us-tables", CopperRegime::UsTables),
    ("eu-seven-years", CopperRegime::EuSevenYears),
];
const CANOPIES: [(&str, Canopy); 3] = [
    ("open", Canopy::Open),
    ("middling", Canopy::Middling),
    ("dense", Canopy::Dense),
];
pub(super) const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
const STAGES: [Stage; 4] = [
    Stage::Swell,
    Stage::Burst,
    Stage::FirstBloom,
    Stage::FullBloom,
];

/// One of a few words, each with its value.
pub(super) fn one_of<T: Copy, const N: usize>(
    section: &Section<'_, '_>,
    key: &'static str,
    table: &[(&str, T); N],
) -> Option<T> {
    let known = table.map(|(word, _)| word);
    section.word(key, &key.replace('_', " "), &known, |text| {
        let text = text.trim().to_lowercase();
        table.iter().find(|(w, _)| *w == text).map(|(_, v)| *v)
    })
}

fn zone(section: &Section<'_, '_>) -> Zone {
    let read = section.text("time_zone").and_then(|name| {
        let found: Option<Zone> = name.trim().parse().ok();
        if found.is_none() {
            let city = name.rsplit('/').next().unwrap_or_default().to_lowercase();
            let known = Zone::names();
            let near = known
                .clone()
                .find(|k| {
                    k.rsplit('/')
                        .next()
                        .is_some_and(|c| c.to_lowercase() == city)
                })
                .or_else(|| nearest(&name, known));
            section.complain_at(
                "time_zone",
                format!("'{}' is no time zone known here", shown(&name)),
                near.map_or_else(
                    || "write a name such as \"America/New_York\"".to_owned(),
                    |k| format!("did you mean \"{k}\"?"),
                ),
            );
        }
        found
    });
    section.need("time_zone", read, Zone::UTC, "\"America/New_York\"")
}

pub(super) fn orchard(root: &Section<'_, '_>) -> Orchard {
    let Some(table) = root.section("orchard") else {
        root.need(
            "orchard",
            None::<()>,
            (),
            "…, a table [orchard] with name, latitude, longitude and time_zone",
        );
        return Orchard {
            name: String::new(),
            latitude: 0.0,
            longitude: 0.0,
            elevation: None,
            time_zone: Zone::UTC,
            units: UnitSystem::default(),
            tolerance: default_tolerance(),
            guard_days: DEFAULT_GUARD_DAYS,
            copper_regime: CopperRegime::default(),
            copper_past_kg_per_ha: Vec::new(),
            wind_max: None,
            work_hours: None,
            work_days: Vec::new(),
            avoid_winds: Vec::new(),
            works_in_the_dark: false,
            film_depth: None,
            notes: None,
        };
    };
    let orchard = Orchard {
        name: table.need("name", table.text("name"), String::new(), "\"Hillside\""),
        latitude: table.need(
            "latitude",
            table.number("latitude", -90.0..=90.0),
            0.0,
            "43.1",
        ),
        longitude: table.need(
            "longitude",
            table.number("longitude", -180.0..=180.0),
            0.0,
            "-77.2",
        ),
        elevation: table.quantity("elevation"),
        time_zone: zone(&table),
        units: one_of(&table, "units", &UNITS).unwrap_or_default(),
        tolerance: tolerance(&table),
        guard_days: table
            .whole("guard_days", 0..=60)
            .unwrap_or(DEFAULT_GUARD_DAYS),
        copper_regime: one_of(&table, "copper_regime", &REGIMES).unwrap_or_default(),
        copper_past_kg_per_ha: table.numbers("copper_past_kg_per_ha", &(0.0..=1000.0)),
        wind_max: table.quantity("wind_max"),
        work_hours: hours_of_day(&table, "work_hours"),
        work_days: table.words("work_days", "day of the week", &DAYS, day_of_week),
        avoid_winds: table.words("avoid_winds", "compass point", &compass::POINTS, |text| {
            let text = text.trim().to_lowercase();
            compass::POINTS.contains(&text.as_str()).then_some(text)
        }),
        works_in_the_dark: table.flag("works_in_the_dark"),
        film_depth: table.quantity("film_depth"),
        notes: table.text("notes"),
    };
    table.rest();
    orchard
}

/// Days between a spray and swell where the owner says nothing.
const DEFAULT_GUARD_DAYS: u32 = 3;

fn default_tolerance() -> Percent {
    Percent::new(10.0, PercentUnit::Percent)
}

fn tolerance(table: &Section<'_, '_>) -> Percent {
    let tolerance: Percent = table
        .quantity("tolerance")
        .unwrap_or_else(default_tolerance);
    if !(0.0..=1.0).contains(&tolerance.fraction()) {
        table.complain_at(
            "tolerance",
            format!("{tolerance} is more than the whole"),
            "write a share from 0 % to 100 %, for instance \"10 %\"",
        );
    }
    tolerance
}

/// A day of the week in short.
pub(super) fn day_of_week(text: &str) -> Option<String> {
    let text = text.trim().to_lowercase();
    DAYS.contains(&text.as_str()).then_some(text)
}

/// Two hours of the day, `[from, to)`.
pub(super) fn hours_of_day(table: &Section<'_, '_>, key: &'static str) -> Option<[u32; 2]> {
    if !table.has(key) {
        return None;
    }
    match table.wholes(key, &(0..=24)).as_slice() {
        [from, to] if from < to => Some([*from, *to]),
        _ => {
            table.complain_at(
                key,
                "two hours of the day belong here, the earlier first",
                "write for instance [7, 17]",
            );
            None
        }
    }
}

pub(super) fn species(section: &Section<'_, '_>) -> Species {
    let known = Species::ALL.map(Species::words);
    let read = section.word("species", "kind of tree", &known, Species::from_text);
    section.need("species", read, Species::Other, "\"apple\"")
}

pub(super) fn block(s: &Section<'_, '_>) -> Block {
    let id = s.id(Kind::Block);
    let block = Block {
        name: s.text("name").unwrap_or_else(|| id.clone()),
        id: BlockId::from(id.as_str()),
        species: species(s),
        cultivar: s.text("cultivar"),
        trees: s.need("trees", s.whole("trees", 1..=10_000_000), 1, "12"),
        area: s.quantity("area"),
        row_spacing: s.quantity("row_spacing"),
        tree_spacing: s.quantity("tree_spacing"),
        height: s.quantity("height"),
        spread: s.quantity("spread"),
        canopy: one_of(s, "canopy", &CANOPIES).unwrap_or_default(),
        measured_volume: s.quantity("measured_volume"),
        organic: s.flag("organic"),
        leaf_drop_expected: s.day("leaf_drop_expected"),
        leaf_drop_seen: s.day("leaf_drop_seen"),
        guard_days: s.whole("guard_days", 0..=60),
        model: s.text("model"),
        site: s.text("site"),
        copper_past_kg_per_ha: s.numbers_or(
            "copper_past_kg_per_ha",
            &(0.0..=1000.0),
            PastCopper::UNKNOWN,
            PastCopper::from,
        ),
        seen: s.sections("seen").iter().map(seen).collect(),
        past: s.sections("past").iter().map(past).collect(),
        quiet: s.sections("quiet").iter().map(quiet_here).collect(),
    };
    for (key, length) in [
        ("row_spacing", block.row_spacing),
        ("tree_spacing", block.tree_spacing),
        ("height", block.height),
        ("spread", block.spread),
    ] {
        if length.is_some_and(|l| l.m() <= 0.0) {
            s.complain_at(
                key,
                "a length of nothing or less",
                "write for instance \"10 ft\"",
            );
        }
    }
    s.rest();
    block
}

fn quiet_here(s: &Section<'_, '_>) -> QuietHere {
    let quiet = QuietHere {
        rule: s.need(
            "rule",
            s.text("rule"),
            String::new(),
            "\"target-uncovered\"",
        ),
        target: s
            .reference(Kind::Target, "target")
            .map(|id| TargetId::from(id.as_str())),
        why: s.text("why").unwrap_or_default(),
        on: s.need("on", s.day("on"), NaiveDate::default(), "2027-01-03"),
    };
    s.rest();
    quiet
}

fn seen(s: &Section<'_, '_>) -> TargetSeen {
    let seen = TargetSeen {
        target: TargetId::from(
            s.need(
                "target",
                s.reference(Kind::Target, "target"),
                String::new(),
                "\"scale\"",
            )
            .as_str(),
        ),
        season: s.need("season", s.text("season"), String::new(), "\"2025-26\""),
        count: s.number("count", 0.0..=1e9),
        of: s.number("of", 0.0..=1e9),
        note: s.text("note"),
    };
    s.rest();
    seen
}

pub(super) fn stage(s: &Section<'_, '_>) -> Stage {
    let known = STAGES.map(Stage::words);
    let read = s.word("stage", "stage", &known, Stage::from_text);
    s.need("stage", read, Stage::Swell, "\"swell\"")
}

fn past(s: &Section<'_, '_>) -> PastStage {
    let past = PastStage {
        stage: stage(s),
        date: s.need("date", s.day("date"), NaiveDate::default(), "2026-03-20"),
    };
    s.rest();
    past
}
