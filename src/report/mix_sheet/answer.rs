//! The mix sheet as JSON: types of its own, so that its keys stand still whatever the domain calls
//! its fields (`schemas/mix.schema.json`).

use crate::domain::mix::measure::Measured;
use crate::domain::mix::products::{Held, Product};
use crate::domain::mix::volume::{AreaFrom, How};
use crate::domain::mix::{MixSheet, Verdict};
use crate::domain::season::UnitSystem;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Answer<'a> {
    orchard: &'a str,
    season: &'a str,
    today: String,
    task: &'a str,
    title: &'a str,
    lane: &'a str,
    date: String,
    hour: Option<u32>,
    targets: &'a [String],
    verdict: &'static str,
    refusals: &'a [String],
    banner: &'a [String],
    units: &'static str,
    blocks: Vec<Block<'a>>,
    total_l: Option<f64>,
    total: Option<Amount>,
    sprayer: Option<&'a str>,
    tank: Option<Amount>,
    last_tank: Option<Amount>,
    tanks: Option<Tanks>,
    products: Vec<Line<'a>>,
    steps: Vec<Step<'a>>,
    gear: &'a [String],
    gear_unknown: &'a [String],
    reentry: Reentry<'a>,
    warnings: Vec<Warning<'a>>,
    quietened: Vec<Quiet<'a>>,
    cautions: &'a [String],
}

/// An amount as it is measured out, and how far the rounding is off.
#[derive(Serialize)]
pub(in crate::report) struct Amount {
    amount: String,
    exact: String,
    off_percent: f64,
}

impl From<&Measured> for Amount {
    fn from(measured: &Measured) -> Self {
        Self {
            amount: measured.amount.to_string(),
            exact: measured.exact.to_string(),
            off_percent: measured.off_percent,
        }
    }
}

#[derive(Serialize)]
struct Block<'a> {
    block: &'a str,
    name: &'a str,
    species: &'a str,
    trees: u32,
    area_ha: Option<f64>,
    area_from: Option<&'static str>,
    litres: Option<f64>,
    how: Option<&'static str>,
    swell: Option<&'a str>,
}

#[derive(Serialize)]
struct Tanks {
    tank_l: f64,
    full: u32,
    last_l: f64,
}

#[derive(Serialize)]
struct Line<'a> {
    name: &'a str,
    active: &'a str,
    rate: Option<String>,
    held: &'static str,
    total: Option<Amount>,
    full_tank: Option<Amount>,
    last_tank: Option<Amount>,
    copper_kg: Option<f64>,
    copper_kg_per_ha: Option<f64>,
    is_compared: bool,
    notes: &'a [String],
}

#[derive(Serialize)]
struct Step<'a> {
    words: &'a str,
    source: String,
}

#[derive(Serialize)]
struct Reentry<'a> {
    hours: Option<f64>,
    until_dry: bool,
    unknown: &'a [String],
}

#[derive(Serialize)]
struct Warning<'a> {
    rule: &'a str,
    level: &'static str,
    message: &'a str,
    why: &'a str,
    todo: &'a str,
    source: &'a str,
}

#[derive(Serialize)]
struct Quiet<'a> {
    rule: &'a str,
    why: &'a str,
    on: String,
}

const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fine => "fine",
        Verdict::CannotTell => "cannot-tell",
        Verdict::Caution => "caution",
        Verdict::NotAsPlanned => "not-as-planned",
        Verdict::Refused => "refused",
    }
}

const fn held(held: Held) -> &'static str {
    match held {
        Held::AsPlanned => "as-planned",
        Held::LoweredToMost => "lowered-to-most",
        Held::RaisedToLeast => "raised-to-least",
    }
}

const fn how(how: How) -> &'static str {
    match how {
        How::Measured => "measured",
        How::Task => "task",
        How::Calibrated => "calibrated",
        How::Rows => "rows",
        How::PerTree => "per-tree",
    }
}

const fn area_from(from: AreaFrom) -> &'static str {
    match from {
        AreaFrom::Entered => "entered",
        AreaFrom::Spacing => "spacing",
        AreaFrom::Crowns => "crowns",
    }
}

fn line(product: &Product) -> Line<'_> {
    Line {
        name: &product.name,
        active: &product.active,
        rate: product.rate.as_ref().map(ToString::to_string),
        held: held(product.held),
        total: product.total.as_ref().map(Amount::from),
        full_tank: product.full_tank.as_ref().map(Amount::from),
        last_tank: product.last_tank.as_ref().map(Amount::from),
        copper_kg: product.copper_kg,
        copper_kg_per_ha: product.copper_kg_per_ha,
        is_compared: product.is_compared,
        notes: &product.notes,
    }
}

impl<'a> From<&'a MixSheet> for Answer<'a> {
    fn from(sheet: &'a MixSheet) -> Self {
        Self {
            orchard: &sheet.orchard,
            season: &sheet.season,
            today: sheet.today.to_string(),
            task: sheet.task.as_str(),
            title: &sheet.title,
            lane: sheet.lane,
            date: sheet.date.to_string(),
            hour: sheet.hour,
            targets: &sheet.targets,
            verdict: verdict(sheet.verdict),
            refusals: &sheet.refusals,
            banner: &sheet.banner,
            units: match sheet.units {
                UnitSystem::Us => "us",
                UnitSystem::Metric => "metric",
            },
            blocks: sheet
                .blocks
                .iter()
                .map(|b| Block {
                    block: b.block.as_str(),
                    name: &b.name,
                    species: b.species,
                    trees: b.trees,
                    area_ha: b.area_ha,
                    area_from: b.area_from.map(area_from),
                    litres: b.litres,
                    how: b.how.map(how),
                    swell: b.swell.as_deref(),
                })
                .collect(),
            total_l: sheet.total_l,
            total: sheet.total.as_ref().map(Amount::from),
            sprayer: sheet.sprayer.as_deref(),
            tank: sheet.tank.as_ref().map(Amount::from),
            last_tank: sheet.last_tank.as_ref().map(Amount::from),
            tanks: sheet.tanks.map(|t| Tanks {
                tank_l: t.tank_l,
                full: t.full,
                last_l: t.last_l,
            }),
            products: sheet.products.iter().map(line).collect(),
            steps: sheet
                .steps
                .iter()
                .map(|s| Step {
                    words: &s.words,
                    source: s.source.line(),
                })
                .collect(),
            gear: &sheet.gear,
            gear_unknown: &sheet.gear_unknown,
            reentry: Reentry {
                hours: sheet.reentry.hours,
                until_dry: sheet.reentry.until_dry,
                unknown: &sheet.reentry.unknown,
            },
            warnings: sheet
                .warnings
                .iter()
                .map(|w| Warning {
                    rule: w.rule,
                    level: w.level.words(),
                    message: &w.message,
                    why: &w.why,
                    todo: &w.todo,
                    source: &w.source,
                })
                .collect(),
            quietened: sheet
                .quietened
                .iter()
                .map(|q| Quiet {
                    rule: &q.rule,
                    why: &q.why,
                    on: q.on.to_string(),
                })
                .collect(),
            cautions: &sheet.cautions,
        }
    }
}
