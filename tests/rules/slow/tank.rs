//! Labels and what shares a tank.

use super::{Found, Plan, found, is, means};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{Block, Formulation, Material, Organic, Task};

pub fn tell(plan: &Plan<'_>, all: &mut Vec<Found>) {
    for block in &plan.season.blocks {
        let ares = block.area.is_some_and(|a| a.to_string().ends_with("are"));
        if ares && plan.season.orchard.time_zone.name().starts_with("America/") {
            all.push(found(
                "unit-in-doubt",
                Level::Caution,
                None,
                Some(block),
                None,
            ));
        }
    }
    for task in plan.open() {
        if gallons(plan, task) {
            all.push(found(
                "unit-in-doubt",
                Level::Caution,
                Some(task),
                None,
                None,
            ));
        }
        let parts = plan.parts(task);
        if parts.is_empty() {
            all.push(found(
                "spray-without-material",
                Level::Note,
                Some(task),
                None,
                None,
            ));
        }
        if parts.len() > 3 {
            all.push(found(
                "too-many-partners",
                Level::Caution,
                Some(task),
                None,
                None,
            ));
        }
        for (i, (_, m)) in parts.iter().enumerate() {
            label(plan, task, m, all);
            for block in plan.blocks(task) {
                trees(task, block, m, all);
            }
            for (_, other) in &parts[i + 1..] {
                if let Some(level) = refuses(m, other) {
                    all.push(found(
                        "partners-do-not-mix",
                        level,
                        Some(task),
                        None,
                        Some(m),
                    ));
                }
            }
        }
    }
}

fn label(plan: &Plan<'_>, task: &Task, m: &Material, all: &mut Vec<Found>) {
    let l = &m.label;
    let mut push =
        |rule: &str, level: Level| all.push(found(rule, level, Some(task), None, Some(m)));
    match l.read_on {
        Some(d) if d >= plan.start() => {}
        _ => push("label-not-read", Level::Caution),
    }
    if l.generic {
        push("label-is-generic", Level::Caution);
    }
    if matches!(l.expires, Some(d) if d < task.date) {
        push("label-expired", Level::Stop);
    }
    if l.crops.is_empty() || l.rate_max.is_none() || l.reentry.is_none() {
        push("label-incomplete", Level::Note);
    }
    if m.active == "mystery dust" {
        push("active-not-known", Level::Caution);
    }
    if unclear(plan, task, m) {
        push("unit-in-doubt", Level::Caution);
    }
    if let Some(ph) = task.water_ph {
        let low = match l.water_ph_min {
            Some(x) => (ph < x).then_some(Level::Stop),
            None if ph >= 6.5 => None,
            None if is(&m.active, "hydroxide") => Some(Level::Stop),
            None if is(&m.active, "of a form not named") => Some(Level::Caution),
            None => None,
        };
        let high = match l.water_ph_max {
            Some(x) => (ph > x).then_some(Level::Stop),
            None if !is(&m.active, "captan") || ph <= 7.0 => None,
            None if ph >= 8.0 => Some(Level::Stop),
            None => Some(Level::Caution),
        };
        if let Some(level) = low.or(high) {
            push("water-ph", level);
        }
    }
}

fn trees(task: &Task, block: &Block, m: &Material, all: &mut Vec<Found>) {
    let l = &m.label;
    let takes = |crop: &str| match crop {
        "stone fruit" => matches!(
            block.species,
            Species::Peach | Species::SweetCherry | Species::Apricot
        ),
        word => word == block.species.words(),
    };
    let named = l.crops.iter().any(|c| takes(c));
    let mut push = |rule: &str, level: Level| {
        all.push(found(rule, level, Some(task), Some(block), Some(m)));
    };
    if !l.crops.is_empty() && !named {
        push("crop-not-on-label", Level::Stop);
    }
    if is(&m.active, "oil") {
        let level = match (block.species, block.cultivar.as_deref()) {
            (Species::Walnut, _) | (Species::Other, Some("black walnut")) => Some(Level::Stop),
            (Species::Apricot, _) => Some(Level::Caution),
            _ => None,
        };
        match level {
            Some(_) if named && block.species == Species::Walnut => {
                push("oil-sensitive", Level::Note);
            }
            Some(level) => push("oil-sensitive", level),
            None => {}
        }
    }
    if block.organic {
        match l.organic {
            Organic::Allowed => {}
            Organic::Restricted => push("organic-block", Level::Note),
            Organic::Unknown => push("organic-block", Level::Caution),
            Organic::Not => push("organic-block", Level::Stop),
        }
    }
}

/// Ounces of a liquid anywhere; gallons in Britain.
fn unclear(plan: &Plan<'_>, task: &Task, m: &Material) -> bool {
    let part = task.mix.iter().find(|p| p.material == m.id);
    let Some(rate) = part.and_then(|p| p.rate).or(m.label.rate) else {
        return false;
    };
    let rate = rate.to_string();
    let of_volume = [m.label.rate_max, m.label.rate_min, m.label.max_per_season]
        .into_iter()
        .flatten()
        .map(|r| r.to_string())
        .any(|r| {
            !r.contains('%') && (r.contains("gal/") || r.contains("fl oz") || r.contains("L/"))
        });
    let liquid = m.formulation == Some(Formulation::Ec) || of_volume;
    let british = plan.season.orchard.time_zone.name() == "Europe/London";
    (rate.contains(" oz/") && !rate.contains("fl") && liquid) || (british && rate.contains("gal"))
}

fn gallons(plan: &Plan<'_>, task: &Task) -> bool {
    let us = |v: &barewood::domain::units::Volume| {
        let text = v.to_string();
        text.contains("gal") && !text.contains("imp")
    };
    let tank = plan
        .season
        .sprayers
        .iter()
        .find(|s| Some(&s.id) == task.sprayer.as_ref())
        .map(|s| s.tank);
    let volumes = plan
        .blocks(task)
        .into_iter()
        .filter_map(|b| b.measured_volume);
    plan.season.orchard.time_zone.name() == "Europe/London"
        && task
            .volume
            .into_iter()
            .chain(volumes)
            .chain(tank)
            .any(|v| us(&v))
}

/// Two actives that a tank must not hold together, so that one after the other on one day is
/// as bad.
pub fn burns_at_once(a: &str, b: &str) -> bool {
    let pair = |x: &str, y: &str| (is(a, x) && is(b, y)) || (is(a, y) && is(b, x));
    pair("lime sulfur", "acid")
        || pair("oil", "captan")
        || pair("captan", "lime")
        || pair("captan", "lime sulfur")
        || pair("oil", "chlorothalonil")
        || pair("oil", "sulfur")
        || pair("lime sulfur", "copper")
        || pair("copper", "acid")
}

fn refuses(a: &Material, b: &Material) -> Option<Level> {
    let said = |x: &Material, y: &Material| x.label.never_with.iter().any(|w| means(w, &y.active));
    if said(a, b) || said(b, a) {
        return Some(Level::Stop);
    }
    if burns_at_once(&a.active, &b.active) {
        return Some(Level::Stop);
    }
    let pair = |x: &str, y: &str| {
        (is(&a.active, x) && is(&b.active, y)) || (is(&a.active, y) && is(&b.active, x))
    };
    (pair("oil", "lime sulfur") || pair("copper", "sulfur") || pair("lime sulfur", "urea"))
        .then_some(Level::Caution)
}
