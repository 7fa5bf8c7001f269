//! Everything a grower takes to the shed for one spray, as plain data.

use super::dose::Ground;
use super::hose_end;
use super::measure::{Measured, measure};
use super::order::{self, Step};
use super::products::{Product, product};
use super::safety::{self, MixReentry};
use super::tanks::{self, Tanks};
use super::volume::{self, AreaFrom, How};
use crate::domain::hours::fits::Fits;
use crate::domain::materials::{Actives, actives_of};
use crate::domain::outlook::Estimates;
use crate::domain::rules::{self, Facts, Level, Warning};
use crate::domain::season::{
    Block, BlockId, Material, Season, SprayerKind, Task, TaskId, UnitSystem,
};
use crate::domain::sources;
use crate::domain::targets;
use chrono::NaiveDate;

/// Whether the mix may be made as planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing speaks against it, and all of it was compared.
    Fine,
    /// Something could not be compared with its label: see the notes.
    CannotTell,
    /// Look at the warnings first.
    Caution,
    /// The mix may be made, but a stop forbids the spray on the day planned.
    NotAsPlanned,
    /// Not as planned: no amounts are given.
    Refused,
}

/// One block of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockLine {
    /// Which block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// Its kind of tree.
    pub species: &'static str,
    /// Its trees.
    pub trees: u32,
    /// Its ground, ha.
    pub area_ha: Option<f64>,
    /// How the ground was come by.
    pub area_from: Option<AreaFrom>,
    /// Spray for it, L.
    pub litres: Option<f64>,
    /// How the spray volume was come by.
    pub how: Option<How>,
    /// First swell with its range, where an estimate is at hand.
    pub swell: Option<String>,
}

/// One warning, in words.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetWarning {
    /// The rule's id.
    pub rule: &'static str,
    /// How grave.
    pub level: Level,
    /// What is wrong.
    pub message: String,
    /// The numbers.
    pub why: String,
    /// What to do.
    pub todo: String,
    /// Where the rule comes from.
    pub source: String,
}

/// A rule that the grower quietened for this task.
#[derive(Debug, Clone, PartialEq)]
pub struct QuietLine {
    /// The rule's name.
    pub rule: String,
    /// Why the grower accepts it.
    pub why: String,
    /// Since when.
    pub on: NaiveDate,
}

/// The mix sheet of one spray.
#[derive(Debug, Clone, PartialEq)]
pub struct MixSheet {
    /// Name of the orchard.
    pub orchard: String,
    /// Name of the season.
    pub season: String,
    /// The day the sheet was made for.
    pub today: NaiveDate,
    /// Which task.
    pub task: TaskId,
    /// Its title.
    pub title: String,
    /// Its lane, in words.
    pub lane: &'static str,
    /// The day planned.
    pub date: NaiveDate,
    /// The hour planned.
    pub hour: Option<u32>,
    /// What it is against.
    pub targets: Vec<String>,
    /// May it be made?
    pub verdict: Verdict,
    /// Why not, one sentence each.
    pub refusals: Vec<String>,
    /// Lines printed across the sheet.
    pub banner: Vec<String>,
    /// The units to show.
    pub units: UnitSystem,
    /// The blocks.
    pub blocks: Vec<BlockLine>,
    /// Finished spray in all, L.
    pub total_l: Option<f64>,
    /// The same, as it is read on a tank.
    pub total: Option<Measured>,
    /// The sprayer.
    pub sprayer: Option<String>,
    /// What one filling is, as it is read on a tank.
    pub tank: Option<Measured>,
    /// What the last, part filling is.
    pub last_tank: Option<Measured>,
    /// Full tanks and the last one.
    pub tanks: Option<Tanks>,
    /// The products, in the order they go in.
    pub products: Vec<Product>,
    /// The steps at the tank.
    pub steps: Vec<Step>,
    /// Gear of all labels together.
    pub gear: Vec<String>,
    /// Materials whose gear is not entered.
    pub gear_unknown: Vec<String>,
    /// The strictest re-entry.
    pub reentry: MixReentry,
    /// The warnings on this task, worst first.
    pub warnings: Vec<SheetWarning>,
    /// Rules quietened for it.
    pub quietened: Vec<QuietLine>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// Rules whose stop means that this mix must not be made at all. Timing is
/// not among them: the day can still be moved.
const REFUSING: &[&str] = &[
    "partners-do-not-mix",
    "crop-not-on-label",
    "label-expired",
    "organic-block",
    "oil-sensitive",
    "copper-per-use",
    "copper-per-season",
    "copper-seven-years",
    "too-many-uses",
    "too-much-product",
    "water-ph",
];

/// Rules whose note says that something could not be held against its limit.
const NOT_COMPARED: &[&str] = &["rate-off-label", "too-much-product", "copper-per-use"];

/// Does a warning say that something could not be held against its limit?
fn is_not_compared(warning: &Warning) -> bool {
    warning.level == Level::Note && NOT_COMPARED.contains(&warning.rule)
}

/// Least water for oil, L/ha: 100 gal/acre.
const OIL_WATER_L_PER_HA: f64 = 100.0 * volume::L_PER_HA_OF_GPA;

/// Does a warning refuse the mix of its task?
pub fn refuses(warning: &Warning) -> bool {
    warning.level == Level::Stop && REFUSING.contains(&warning.rule)
}

/// The mix sheet of a task. Without estimates the rules that need them are
/// silent, and the sheet says so.
pub fn sheet(
    season: &Season,
    task: &Task,
    estimates: Option<&Estimates>,
    today: NaiveDate,
) -> MixSheet {
    sheet_with(season, task, estimates, None, today)
}

/// The same with the fit hours, where there is hourly weather: what the hours forbid stands on
/// the sheet too.
pub fn sheet_with(
    season: &Season,
    task: &Task,
    estimates: Option<&Estimates>,
    fits: Option<&Fits>,
    today: NaiveDate,
) -> MixSheet {
    let none = Estimates::default();
    let facts = Facts::new(season, estimates.unwrap_or(&none), today);
    let facts = match fits {
        Some(fits) => facts.with_fits(fits),
        None => facts,
    };
    let warnings: Vec<Warning> = rules::check(&facts)
        .into_iter()
        .filter(|w| w.task.as_ref() == Some(&task.id))
        .collect();
    let refusals: Vec<String> = warnings
        .iter()
        .filter(|w| refuses(w))
        .map(|w| w.message.clone())
        .collect();
    let verdict = if !refusals.is_empty() {
        Verdict::Refused
    } else if warnings.iter().any(|w| w.level == Level::Stop) {
        Verdict::NotAsPlanned
    } else if warnings.iter().any(is_not_compared) {
        // Before a caution: what could not be compared may be a stop.
        Verdict::CannotTell
    } else if warnings.iter().any(|w| w.level >= Level::Caution) {
        Verdict::Caution
    } else {
        Verdict::Fine
    };
    let system = season.orchard.units;
    let sprayer = task.sprayer.as_ref().and_then(|id| season.sprayer(id));
    let water = volume::of_task(season, task);
    let ground = ground(&water);
    let by_hose = sprayer.filter(|s| s.kind == SprayerKind::HoseEnd);
    let tanks = sprayer
        .filter(|s| s.kind != SprayerKind::HoseEnd)
        .zip(water.total_l)
        .and_then(|(s, total)| tanks::plan(total, s.tank.l()));
    let parts: Vec<_> = task
        .mix
        .iter()
        .filter_map(|p| season.material(&p.material).map(|m| (p, m)))
        .collect();
    let materials: Vec<&Material> = order::sorted(&parts.iter().map(|p| p.1).collect::<Vec<_>>());
    let refused = verdict == Verdict::Refused;
    let products: Vec<Product> = materials
        .iter()
        .filter_map(|m| parts.iter().find(|p| p.1.id == m.id))
        .map(|(part, m)| {
            let mut made = product(part, m, ground, tanks, system);
            if refused {
                (made.total, made.full_tank, made.last_tank) = (None, None, None);
            }
            made
        })
        .collect();
    let is_unclear = |p: &Product| p.total.is_none() || !p.is_compared;
    let verdict = if verdict == Verdict::Fine && products.iter().any(is_unclear) {
        Verdict::CannotTell
    } else {
        verdict
    };
    let shown = |l: f64| measure(super::dose::litres(l), system, None, None);
    let (gear, gear_unknown) = safety::gear(materials.iter().copied());
    MixSheet {
        orchard: season.orchard.name.clone(),
        season: season.season.clone(),
        today,
        task: task.id.clone(),
        title: task.title.clone(),
        lane: task.lane.words(),
        date: task.date,
        hour: task.hour,
        targets: task
            .targets
            .iter()
            .map(|id| {
                targets::find(season, id).map_or_else(|| id.to_string(), |v| v.name().to_owned())
            })
            .collect(),
        verdict,
        refusals,
        banner: {
            let mut lines = banner(season, task, &materials, estimates.is_some());
            let untold = warnings.iter().filter(|w| is_not_compared(w));
            lines.extend(untold.map(|w| format!("CANNOT TELL: {}", w.message)));
            lines
        },
        units: system,
        blocks: block_lines(&water, estimates),
        total_l: water.total_l,
        total: water.total_l.map(shown),
        sprayer: sprayer.map(|s| s.name.clone()),
        tank: tanks.filter(|t| t.full > 0).map(|t| shown(t.tank_l)),
        last_tank: tanks.filter(|t| t.last_l > 0.0).map(|t| shown(t.last_l)),
        tanks,
        products,
        steps: if refused {
            Vec::new()
        } else if let Some(sprayer) = by_hose {
            let rated: Vec<_> = materials
                .iter()
                .map(|m| {
                    let part = parts.iter().find(|p| p.1.id == m.id);
                    (*m, part.and_then(|(p, m)| super::dose::rate_of(p.rate, m)))
                })
                .collect();
            hose_end::steps(&rated, sprayer.tank, water.total_l, system)
        } else {
            order::steps(&materials, task.water_ph)
        },
        gear,
        gear_unknown,
        reentry: safety::reentry(materials.iter().copied()),
        warnings: warnings.iter().map(in_words).collect(),
        quietened: quiet_lines(task),
        cautions: cautions(&materials, ground),
    }
}

fn ground(water: &volume::TaskVolume<'_>) -> Ground {
    let areas: Option<f64> = water
        .blocks
        .iter()
        .map(|(b, _)| volume::area_ha(b).map(|(ha, _)| ha))
        .sum();
    let trees: f64 = water.blocks.iter().map(|(b, _)| f64::from(b.trees)).sum();
    Ground {
        water_l: water.total_l,
        area_ha: areas.filter(|a| *a > 0.0),
        trees: (trees > 0.0).then_some(trees),
    }
}

fn block_lines(water: &volume::TaskVolume<'_>, estimates: Option<&Estimates>) -> Vec<BlockLine> {
    let line = |block: &Block, volume: Option<volume::BlockVolume>| {
        let area = volume::area_ha(block);
        BlockLine {
            block: block.id.clone(),
            name: block.name.clone(),
            species: block.species.words(),
            trees: block.trees,
            area_ha: area.map(|a| a.0),
            area_from: area.map(|a| a.1),
            litres: volume.map(|v| v.litres),
            how: volume.map(|v| v.how),
            swell: estimates.and_then(|e| e.of(&block.id)).map(|e| {
                format!(
                    "{}, 80 % between {} and {}{}",
                    e.swell.p50(),
                    e.swell.p10(),
                    e.swell.p90(),
                    estimates.map_or("", |e| e.ground.beside())
                )
            }),
        }
    };
    water.blocks.iter().map(|(b, v)| line(b, *v)).collect()
}

fn in_words(warning: &Warning) -> SheetWarning {
    SheetWarning {
        rule: warning.rule,
        level: warning.level,
        message: warning.message.clone(),
        why: warning.why.clone(),
        todo: warning.todo.clone(),
        source: warning.source.line(),
    }
}

fn quiet_lines(task: &Task) -> Vec<QuietLine> {
    task.quiet
        .iter()
        .map(|q| QuietLine {
            rule: rules::rule(&q.rule).map_or_else(|| q.rule.clone(), |r| r.title.to_owned()),
            why: q.why.clone(),
            on: q.on,
        })
        .collect()
}

/// What is printed across the sheet: it stands even where a warning was
/// quietened, because the sheet leaves the house.
fn banner(season: &Season, task: &Task, materials: &[&Material], estimated: bool) -> Vec<String> {
    let mut lines = Vec::new();
    if season.practice {
        lines.push("PRACTICE SEASON: everything on this sheet is invented".to_owned());
    }
    let names = |pick: &dyn Fn(&Material) -> bool| {
        let all: Vec<&str> = materials
            .iter()
            .filter(|m| pick(m))
            .map(|m| m.name.as_str())
            .collect();
        all.join(", ")
    };
    let start = season.starts();
    let generic = names(&|m| m.label.generic);
    if !generic.is_empty() {
        lines.push(format!("NOT A LABEL, NOT CONFIRMED: {generic}"));
    }
    let unread = names(&|m| !m.label.generic && m.label.read_on.is_none_or(|d| d < start));
    if !unread.is_empty() {
        lines.push(format!("LABEL NOT READ THIS SEASON: {unread}"));
    }
    if !task.state.is_open() {
        lines.push("THIS TASK IS NO LONGER OPEN".to_owned());
    }
    if !estimated {
        lines.push("NO SWELL ESTIMATE: its rules were not checked".to_owned());
    }
    lines
}

fn cautions(materials: &[&Material], ground: Ground) -> Vec<String> {
    let mut all = vec![
        "Plan only. The label decides: crop, rate, dates, gear and re-entry.".to_owned(),
        "Not on open flowers, wet or frozen wood, in still night air or in gusts.".to_owned(),
        "Keep people and animals away until it has dried or re-entry is over, whichever is later.".to_owned(),
        "Droplets coarse enough to resist light wind, fine enough to cover all of the wood.".to_owned(),
        "Keep spray and rinse water out of ditches, wells and ponds; never leave a hose in the tank.".to_owned(),
        "Rinse containers three times into the tank. Note today what you did.".to_owned(),
        "Shake or stir again before going on after a pause: powders settle, oil separates.".to_owned(),
        "Gloves, goggles, long sleeves, long trousers and closed shoes at the least; more where the label asks.".to_owned(),
        "Keep everybody at least 25 ft (8 m) from the nozzle while spraying, 100 ft (30 m) from a fan sprayer or a fine mist; further where the label or the law says so.".to_owned(),
    ];
    let kinds: Vec<Actives> = materials.iter().map(|m| actives_of(&m.active)).collect();
    let has = |kind: Actives| kinds.iter().any(|k| k.any(kind));
    if has(Actives::COPPER) {
        all.push(
            "Copper stains masonry and paint and eats galvanised metal: cover or rinse at once."
                .to_owned(),
        );
    }
    if has(Actives::LIME_SULFUR) {
        all.push("Lime sulfur is corrosive. NEVER let it meet an acid: toxic gas.".to_owned());
    }
    if has(Actives::OIL) {
        all.push(
            "Oil: trees dormant and well watered, no frost within a day on either side.".to_owned(),
        );
        let per_ha = ground.water_l.zip(ground.area_ha).map(|(l, ha)| l / ha);
        if per_ha.is_some_and(|l| l < OIL_WATER_L_PER_HA) {
            all.push(format!(
                "Oil works by wetting all of the wood: this is less than 100 gal/acre (935 L/ha). {}",
                sources::OIL_WATER_MIN.line()
            ));
        }
    }
    all
}
