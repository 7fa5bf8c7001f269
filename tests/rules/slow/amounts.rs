//! Rates, season amounts, copper, stock: reckoned in pounds, gallons, acres.

use super::{Found, Hit, Plan, found, is};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{
    Block, CopperRegime, Material, PastCopper, Record, RecordedMaterial, Task, TaskState,
};
use barewood::domain::units::{Amount, AreaUnit, MassUnit, Rate, VolumeUnit};

const LB_ACRE: f64 = 0.453_592_37 / 0.404_685_642_24;

/// Pounds or gallons.
#[derive(Clone, Copy, PartialEq)]
enum Much {
    Lb(f64),
    Gal(f64),
}

/// Gallons of spray, acres, trees.
pub type Ground = (Option<f64>, Option<f64>, f64);

fn much(amount: Amount, times: f64) -> Much {
    match amount {
        Amount::Mass(m) => Much::Lb(m.to(MassUnit::Lb).value * times),
        Amount::Volume(v) => Much::Gal(v.to(VolumeUnit::Gal).value * times),
    }
}

fn product(rate: Rate, (gal, acres, trees): Ground) -> Option<Much> {
    Some(match rate {
        Rate::VolumePercent(p) => Much::Gal(gal? * p.value / 100.0),
        Rate::PerVolume(a, v) => much(a, gal? / v.to(VolumeUnit::Gal).value),
        Rate::PerArea(a, v) => much(a, acres? / v.to(AreaUnit::Acre).value),
        Rate::PerTree(a) => much(a, trees),
    })
}

fn pounds(x: Much, density: Option<f64>) -> Option<f64> {
    match x {
        Much::Lb(lb) => Some(lb),
        Much::Gal(gal) => Some(gal * 3.785_411_784 * density? / 0.453_592_37),
    }
}

fn compare(a: Much, b: Much, density: Option<f64>) -> Option<f64> {
    match (a, b) {
        (Much::Lb(a), Much::Lb(b)) | (Much::Gal(a), Much::Gal(b)) => Some(a / b),
        _ => Some(pounds(a, density)? / pounds(b, density)?),
    }
}

/// How many times one rate is another; rates counted alike need no ground.
fn times(a: Rate, b: Rate, ground: Ground, density: Option<f64>) -> Option<f64> {
    let by = |r: Rate| match r {
        Rate::VolumePercent(_) | Rate::PerVolume(..) => 0,
        Rate::PerArea(..) => 1,
        Rate::PerTree(_) => 2,
    };
    let ground = if by(a) == by(b) {
        (Some(100.0), Some(1.0), 1.0)
    } else {
        ground
    };
    compare(product(a, ground)?, product(b, ground)?, density)
}

fn of_block(block: &Block) -> Ground {
    (
        block.measured_volume.map(|v| v.to(VolumeUnit::Gal).value),
        block.area.map(|a| a.to(AreaUnit::Acre).value),
        f64::from(block.trees),
    )
}

pub fn of_task(plan: &Plan<'_>, task: &Task) -> Ground {
    let blocks = plan.blocks(task);
    let mut sum = (Some(0.0), Some(0.0), 0.0);
    for b in &blocks {
        let g = of_block(b);
        sum.0 = sum.0.zip(g.0).map(|(a, b)| a + b);
        sum.1 = sum.1.zip(g.1).map(|(a, b)| a + b);
        sum.2 += g.2;
    }
    sum
}

fn above(a: f64, b: f64) -> bool {
    a > b * (1.0 + 1e-9) + 1e-12
}

pub fn tell(plan: &Plan<'_>, all: &mut Vec<Found>) {
    for task in plan.open() {
        for (part, material) in plan.parts(task) {
            let rate = part.rate.or(material.label.rate);
            rates(plan, task, material, rate, all);
        }
    }
    stock(plan, all);
    for block in &plan.season.blocks {
        let hits = plan.on(block);
        for hit in hits.iter().filter(|h| h.open()) {
            season_amount(plan, hit, &hits, all);
            if is(&hit.active, "copper") {
                copper(plan, hit, &hits, all);
            }
        }
    }
}

fn rates(plan: &Plan<'_>, task: &Task, m: &Material, rate: Option<Rate>, all: &mut Vec<Found>) {
    let level = match rate {
        None => Some(Level::Caution),
        Some(rate) => {
            let g = of_task(plan, task);
            let most = m
                .label
                .rate_max
                .map(|r| times(rate, r, g, m.density_kg_per_l));
            let least = m
                .label
                .rate_min
                .map(|r| times(rate, r, g, m.density_kg_per_l));
            if matches!(most, Some(Some(x)) if above(x, 1.0)) {
                Some(Level::Stop)
            } else if matches!(least, Some(Some(x)) if above(1.0, x)) {
                Some(Level::Caution)
            } else if most == Some(None) || least == Some(None) {
                Some(Level::Note)
            } else {
                None
            }
        }
    };
    if let Some(level) = level {
        all.push(found("rate-off-label", level, Some(task), None, Some(m)));
    }
}

/// Share of the season's most that some uses of a material took, and how many cannot be compared.
fn product_share(plan: &Plan<'_>, hit: &Hit<'_>, hits: &[&Hit<'_>], most: Rate) -> (f64, usize) {
    let material = hit.material.unwrap();
    let (mut sum, mut unknown) = (0.0, 0);
    for h in hits {
        if h.material_id != hit.material_id || h.day < plan.start() || h.place() > hit.place() {
            continue;
        }
        let share = match (
            h.record,
            h.task.and_then(|t| written_down(plan, t, material)),
        ) {
            (Some((record, line)), _) | (None, Some((record, line))) => {
                recorded(plan, record, line, most, material)
            }
            (None, None) => h
                .rate
                .and_then(|r| times(r, most, of_block(h.block), material.density_kg_per_l)),
        };
        match share {
            Some(share) => sum += share,
            None => unknown += 1,
        }
    }
    (sum, unknown)
}

/// Did others take all that a season allows, so that nothing of this use may go on?
pub fn is_spent(plan: &Plan<'_>, hit: &Hit<'_>, hits: &[Hit<'_>]) -> bool {
    if super::calendar::is_one_too_many(plan, hit, hits) {
        return true;
    }
    let all: Vec<&Hit<'_>> = hits.iter().collect();
    let others: Vec<&Hit<'_>> = hits
        .iter()
        .filter(|h| h.task.is_none() || h.task_id() != hit.task_id())
        .collect();
    let taken =
        |before: f64, with: f64, most: f64| before >= most * (1.0 - 1e-9) && above(with, most);
    let label = &hit.material.unwrap().label;
    if let Some(most) = label.max_per_season {
        let (before, _) = product_share(plan, hit, &others, most);
        let (with, _) = product_share(plan, hit, &all, most);
        if taken(before, with, 1.0) {
            return true;
        }
    }
    if !is(&hit.active, "copper") {
        return false;
    }
    let (season, calendar) = years(plan, hit, &all);
    let own: f64 = hits
        .iter()
        .filter(|h| h.task.is_some() && h.task_id() == hit.task_id())
        .filter(|h| is(&h.active, "copper"))
        .filter_map(metal)
        .sum();
    let regime = plan.season.orchard.copper_regime;
    let by_year =
        limit(label.max_copper_per_season).or(us_most(regime, hit.block.species).map(|t| t.1));
    let year = if calendar > season {
        calendar.0
    } else {
        season.0
    };
    if by_year.is_some_and(|most| taken(year - own, year, most)) {
        return true;
    }
    let (past, _) = six_years(plan, hit.block);
    let total = past + season.0 * LB_ACRE;
    regime == CopperRegime::EuSevenYears && taken(total - own * LB_ACRE, total, 28.0)
}

fn season_amount(plan: &Plan<'_>, hit: &Hit<'_>, hits: &[Hit<'_>], all: &mut Vec<Found>) {
    let material = hit.material.unwrap();
    let Some(most) = material.label.max_per_season else {
        return;
    };
    let (sum, unknown) = product_share(plan, hit, &hits.iter().collect::<Vec<_>>(), most);
    let level = match (above(sum, 1.0), unknown) {
        (true, _) => Level::Stop,
        (false, 0) => return,
        (false, _) => Level::Note,
    };
    all.push(found(
        "too-much-product",
        level,
        hit.task,
        Some(hit.block),
        Some(material),
    ));
}

/// What was written down of a done task, where its last record that holds names the material.
fn written_down<'a>(
    plan: &Plan<'a>,
    task: &Task,
    material: &Material,
) -> Option<(&'a Record, &'a RecordedMaterial)> {
    if !matches!(task.state, TaskState::Done(_)) {
        return None;
    }
    let season = plan.season;
    let record = season
        .records
        .iter()
        .rfind(|r| r.task.as_ref() == Some(&task.id) && !plan.corrected(r))?;
    let line = record
        .materials
        .iter()
        .find(|m| m.material == material.id)?;
    Some((record, line))
}

/// How many times the season's most a recorded use is, by its amount, else by its rate.
fn recorded(
    plan: &Plan<'_>,
    record: &Record,
    line: &RecordedMaterial,
    most: Rate,
    material: &Material,
) -> Option<f64> {
    let blocks: Vec<&Block> = plan
        .season
        .blocks
        .iter()
        .filter(|b| record.blocks.contains(&b.id))
        .collect();
    let acres: Option<f64> = blocks
        .iter()
        .map(|b| b.area.map(|a| a.to(AreaUnit::Acre).value))
        .sum();
    let ground = (
        record.volume.map(|v| v.to(VolumeUnit::Gal).value),
        record.area.map(|a| a.to(AreaUnit::Acre).value).or(acres),
        record
            .trees
            .map_or(blocks.iter().map(|b| f64::from(b.trees)).sum(), f64::from),
    );
    let density = material.density_kg_per_l;
    let by_amount = || compare(much(line.total?, 1.0), product(most, ground)?, density);
    by_amount().or_else(|| times(line.rate?, most, ground, density))
}

/// Metallic copper of one use, lb/acre.
fn metal(hit: &Hit<'_>) -> Option<f64> {
    if let Some(kg) = hit.recorded_copper {
        return Some(kg / LB_ACRE);
    }
    let material = hit.material?;
    let share = material.metallic_copper?.value / 100.0;
    let mut ground = of_block(hit.block);
    if matches!(hit.rate?, Rate::PerArea(..)) {
        ground.1 = Some(1.0);
    }
    Some(pounds(product(hit.rate?, ground)?, material.density_kg_per_l)? * share / ground.1?)
}

/// Label limits in lb/acre; only limits counted by area can be used.
fn limit(rate: Option<Rate>) -> Option<f64> {
    match rate? {
        Rate::PerArea(a, area) => match much(a, 1.0 / area.to(AreaUnit::Acre).value) {
            Much::Lb(lb) => Some(lb),
            Much::Gal(_) => None,
        },
        _ => None,
    }
}

/// A use's and a year's most metallic copper by the US rows, lb/acre.
fn us_most(regime: CopperRegime, species: Species) -> Option<(f64, f64)> {
    match (regime, species) {
        (CopperRegime::UsTables, Species::Apple) => Some((6.0, 16.0)),
        (CopperRegime::UsTables, Species::SweetCherry | Species::Apricot) => Some((8.0, 18.0)),
        _ => None,
    }
}

/// Metallic copper up to and with a use, and how much of it is not known: in the season, and in
/// the calendar year.
fn years(plan: &Plan<'_>, hit: &Hit<'_>, hits: &[&Hit<'_>]) -> ((f64, usize), (f64, usize)) {
    let since = |from: chrono::NaiveDate| {
        let all: Vec<Option<f64>> = hits
            .iter()
            .filter(|h| is(&h.active, "copper") && h.day >= from)
            .filter(|h| h.place() <= hit.place())
            .map(|h| metal(h))
            .collect();
        let known: f64 = all.iter().flatten().sum();
        (known, all.iter().filter(|x| x.is_none()).count())
    };
    let january = format!("{}-01-01", chrono::Datelike::year(&hit.day));
    (since(plan.start()), since(january.parse().unwrap()))
}

/// Metallic copper of the six years before on a block, kg/ha, and of how many it is told: by the
/// block, else for the whole orchard.
fn six_years(plan: &Plan<'_>, block: &Block) -> (f64, usize) {
    let mut years = [None; 6];
    for (i, kg) in plan.season.orchard.copper_past_kg_per_ha.iter().enumerate() {
        if i < 6 {
            years[i] = Some(*kg);
        }
    }
    for (i, year) in block.copper_past_kg_per_ha.iter().enumerate() {
        if let (PastCopper::KgPerHa(kg), true) = (year, i < 6) {
            years[i] = Some(*kg);
        }
    }
    (
        years.iter().flatten().sum(),
        years.iter().filter(|y| y.is_some()).count(),
    )
}

fn copper(plan: &Plan<'_>, hit: &Hit<'_>, hits: &[Hit<'_>], all: &mut Vec<Found>) {
    let (label, regime) = (
        &hit.material.unwrap().label,
        plan.season.orchard.copper_regime,
    );
    let table = us_most(regime, hit.block.species);
    let mut push = |rule: &str, level: Level| {
        all.push(found(rule, level, hit.task, Some(hit.block), hit.material));
    };
    if let Some(most) = limit(label.max_copper_per_use).or(table.map(|t| t.0)) {
        // All coppers of the tank together.
        let of_tank: Vec<Option<f64>> = hits
            .iter()
            .filter(|h| h.task.is_some() && h.task_id() == hit.task_id())
            .filter(|h| is(&h.active, "copper"))
            .map(metal)
            .collect();
        if above(of_tank.iter().flatten().sum(), most) {
            push("copper-per-use", Level::Stop);
        } else if of_tank.contains(&None) {
            push("copper-per-use", Level::Note);
        }
    }
    let (of_season, of_calendar) = years(plan, hit, &hits.iter().collect::<Vec<_>>());
    let (year, gaps) = if of_calendar > of_season {
        of_calendar
    } else {
        of_season
    };
    let sum = of_season.0;
    match limit(label.max_copper_per_season).or(table.map(|t| t.1)) {
        None if regime == CopperRegime::UsTables => push("copper-per-season", Level::Note),
        Some(most) if above(year, most) => push("copper-per-season", Level::Stop),
        Some(most) if above(year, most * 0.9) || gaps > 0 => {
            push("copper-per-season", Level::Note);
        }
        _ => {}
    }
    if regime == CopperRegime::EuSevenYears {
        let (past, told) = six_years(plan, hit.block);
        let total = past + sum * LB_ACRE;
        if above(total, 28.0) {
            push("copper-seven-years", Level::Stop);
        } else if told < 6 && above(sum * LB_ACRE, 4.0) {
            push("copper-seven-years", Level::Caution);
        } else if above(total, 25.2) {
            push("copper-seven-years", Level::Note);
        }
    }
}

/// The first spray, in order of days, for which the shed no longer suffices.
fn stock(plan: &Plan<'_>, all: &mut Vec<Found>) {
    for material in &plan.season.materials {
        let Some(stock) = material.stock.map(|s| much(s, 1.0)) else {
            continue;
        };
        let mut tasks: Vec<&Task> = plan.open();
        tasks.retain(|t| matches!(t.state, TaskState::Planned));
        tasks.sort_by_key(|t| (t.date, t.id.to_string()));
        let mut share = 0.0;
        for task in tasks {
            let Some((part, _)) = plan.parts(task).into_iter().find(|p| p.1.id == material.id)
            else {
                continue;
            };
            let need = part
                .rate
                .or(material.label.rate)
                .and_then(|r| product(r, of_task(plan, task)))
                .and_then(|need| compare(need, stock, material.density_kg_per_l));
            share += need.unwrap_or(0.0);
            if above(share, 1.0) {
                all.push(found(
                    "stock-short",
                    Level::Caution,
                    Some(task),
                    None,
                    Some(material),
                ));
                break;
            }
        }
    }
}

/// Spraying and filling in hours; two where output, refill or volume is not known.
pub fn job_hours(plan: &Plan<'_>, task: &Task) -> f64 {
    known_hours(plan, task).unwrap_or(2.0)
}

/// The same where all of it is known.
pub fn known_hours(plan: &Plan<'_>, task: &Task) -> Option<f64> {
    let sprayer = plan
        .season
        .sprayers
        .iter()
        .find(|s| Some(&s.id) == task.sprayer.as_ref())?;
    let latest = sprayer.calibration.iter().max_by_key(|c| c.date)?;
    let litres = of_task(plan, task).0? * 3.785_411_784;
    let per_minute = latest.l_per_min.filter(|o| *o > 0.0)?;
    let tanks = (litres / sprayer.tank.l()).ceil().max(1.0);
    Some((litres / per_minute + tanks * sprayer.refill_minutes?) / 60.0)
}
