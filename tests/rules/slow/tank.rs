//! Labels and what shares a tank.

use super::{Found, Plan, found, is, means};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{Block, Material, Organic, Task};

pub fn tell(plan: &Plan<'_>, all: &mut Vec<Found>) {
    for task in plan.open() {
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
    if let Some(ph) = task.water_ph {
        let low = l.water_ph_min.or(is(&m.active, "copper").then_some(6.5));
        if low.is_some_and(|x| ph < x) || l.water_ph_max.is_some_and(|x| ph > x) {
            push("water-ph", Level::Stop);
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
            (Species::Walnut | Species::Other, Some("black walnut")) => Some(Level::Stop),
            (Species::Walnut, _) => Some(Level::Caution),
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

fn refuses(a: &Material, b: &Material) -> Option<Level> {
    let said = |x: &Material, y: &Material| x.label.never_with.iter().any(|w| means(w, &y.active));
    if said(a, b) || said(b, a) {
        return Some(Level::Stop);
    }
    let pair = |x: &str, y: &str| {
        (is(&a.active, x) && is(&b.active, y)) || (is(&a.active, y) && is(&b.active, x))
    };
    let stop = pair("lime sulfur", "acid")
        || pair("oil", "captan")
        || pair("captan", "lime")
        || pair("captan", "lime sulfur")
        || pair("oil", "chlorothalonil")
        || pair("oil", "sulfur")
        || pair("lime sulfur", "copper")
        || pair("copper", "acid");
    let caution =
        pair("oil", "lime sulfur") || pair("copper", "sulfur") || pair("lime sulfur", "urea");
    match (stop, caution) {
        (true, _) => Some(Level::Stop),
        (false, true) => Some(Level::Caution),
        _ => None,
    }
}
