//! Trees that take a spray badly: not hardened yet, short of water, green before frost; and
//! trees whose winter cuts are infected.

use super::words::{days, percent};
use super::{Facts, Level, Rule, Warning};
use crate::domain::hours::air::Air;
use crate::domain::materials::Actives;
use crate::domain::phenology::distribution::exceeds;
use crate::domain::phenology::species::Species;
use crate::domain::season::{Block, Reading, Task, TaskKind};
use chrono::{Datelike, Days, NaiveDate, Timelike};

/// Days after leaf drop in which trees are taken as not hardened yet: common practice, no source
/// for the number (Univ. of Delaware 2008 asks to wait until they are).
pub const HARDENING_DAYS: i64 = 14;

/// The day the leaves of a block are down, seen or expected.
fn leaf_drop(facts: &Facts<'_>, block: &Block) -> NaiveDate {
    let dates = &facts.season.dates;
    block
        .leaf_drop_seen
        .or(dates.leaf_drop_seen)
        .or(block.leaf_drop_expected)
        .unwrap_or(dates.leaf_drop_expected)
}

/// Oil waits until trees have hardened.
pub fn oil_before_hardening(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.open_uses().filter(|u| u.kinds.any(Actives::OIL)) {
        let drop = leaf_drop(facts, used.block);
        let day = facts.judged_on(used.task);
        let since = (day - drop).num_days();
        if !(0..HARDENING_DAYS).contains(&since) {
            continue;
        }
        let hardened = drop.checked_add_days(Days::new(HARDENING_DAYS.unsigned_abs()));
        out.push(
            rule.warn(
                Level::Caution,
                format!(
                    "{} on {} {} after leaf drop: the trees may not have hardened",
                    used.material.name,
                    used.block.name,
                    days(since)
                ),
                format!("Leaves down {drop}, spray {day}. Oil on wood that has not hardened brings winter injury."),
                hardened.map_or_else(String::new, |d| {
                    format!("Wait until after {d} and some cold nights.")
                }),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}

/// Words in a block's notes that say its trees are short of water.
const DRY_WORDS: &[&str] = &[
    "drought",
    "water stress",
    "water-stress",
    "short of water",
    "too dry",
    "not watered",
    "wilted",
    "wilting",
];

/// Oil goes on trees that are well watered.
pub fn oil_on_dry_trees(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for used in facts.open_uses().filter(|u| u.kinds.any(Actives::OIL)) {
        let notes = used
            .block
            .site
            .as_deref()
            .unwrap_or_default()
            .to_lowercase();
        let Some(word) = DRY_WORDS.iter().find(|w| notes.contains(*w)) else {
            continue;
        };
        out.push(
            rule.warn(
                Level::Caution,
                format!(
                    "{} on {}, whose notes say '{word}'",
                    used.material.name, used.block.name
                ),
                "Oil burns trees that are short of water.".to_owned(),
                "Water them well and let them recover first; after a wet spell is a good time."
                    .to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}

/// Kinds whose wounds of winter are infected in rain.
const PRUNED_IN_SUMMER: &[Species] = &[Species::Apricot, Species::SweetCherry, Species::SourCherry];

/// Apricot and cherry are pruned in dry summer weather, not in winter.
pub fn winter_pruning(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let south = facts.season.orchard.latitude < 0.0;
    let is_winter = |day: NaiveDate| {
        let month = if south {
            (day.month() + 5) % 12 + 1
        } else {
            day.month()
        };
        !(6..=9).contains(&month)
    };
    let is_meant = |t: &&Task| t.kind == TaskKind::Prune && t.state.is_open() && is_winter(t.date);
    for task in facts.season.tasks.iter().filter(is_meant) {
        let first = facts.season.blocks.iter().find(|b| {
            (task.blocks.is_empty() || task.blocks.contains(&b.id))
                && PRUNED_IN_SUMMER.contains(&b.species)
        });
        let Some(block) = first else { continue };
        out.push(
            rule.warn(
                Level::Caution,
                format!(
                    "{} ({}) is to be pruned in the wet season",
                    block.name,
                    block.species.words()
                ),
                format!(
                    "Planned {}. Rain two to six weeks after a cut can bring canker and dieback into it.",
                    task.date
                ),
                "Prune apricot and cherry in July or August (January or February in the south), a foot below what is dead; in winter only what must go, in a dry spell.".to_owned(),
            )
            .task(task)
            .block(block),
        );
    }
}

/// Copper on green tissue and frost within a day on either side; two days are watched after.
pub fn copper_before_frost(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    let Some(air) = facts.air() else { return };
    for used in facts.open_uses().filter(|u| u.kinds.any(Actives::COPPER)) {
        let day = facts.judged_on(used.task);
        let seen = is_green_seen(facts, used.block, day);
        let chance = used.estimate.map_or(0.0, |e| e.burst.chance_by(day));
        if !seen && !exceeds(chance, facts.tolerance()) {
            continue;
        }
        let Some((frost_c, when, hours)) = frost_near(air, used.task, day) else {
            continue;
        };
        let near = hours <= 24;
        let level = if near && (seen || chance >= 0.5) {
            Level::Stop
        } else {
            Level::Caution
        };
        let green = if seen {
            "green was seen".to_owned()
        } else {
            format!("chance of green {}", percent(chance))
        };
        out.push(
            rule.warn(
                level,
                format!(
                    "{} on {} and frost {hours} h away: {}",
                    used.material.name,
                    used.block.name,
                    crate::domain::hours::verdict::temperature(
                        frost_c,
                        facts.season.orchard.units
                    )
                ),
                format!(
                    "{}: {green}. Frozen green tissue takes up copper, oil the more, and burns.",
                    air.local(when).format("%a %d %b %H:00")
                ),
                "Leave a day at least, better several, between copper on green tissue and frost; on closed buds cold matters little.".to_owned(),
            )
            .task(used.task)
            .block(used.block)
            .material(used.material),
        );
    }
}

/// Has first green or more been seen here by this day?
fn is_green_seen(facts: &Facts<'_>, block: &Block, day: NaiveDate) -> bool {
    facts
        .season
        .readings
        .iter()
        .filter(|r| r.is_for(&block.id))
        .any(|r| match r {
            Reading::Buds { date, bbch, .. } => *date <= day && matches!(bbch, 7..=19 | 53..=89),
            Reading::DegreeDays { .. } | Reading::Rain { .. } => false,
        })
}

/// A spray without an hour is taken at noon.
const NOON: usize = 12;

/// The nearest frost within a day before or two days after a spray: °C, its hour, hours away.
fn frost_near(air: &Air, task: &Task, day: NaiveDate) -> Option<(f64, usize, usize)> {
    let day = air.day(day);
    if day.is_empty() {
        return None;
    }
    let start = task
        .hour
        .and_then(|clock| day.clone().find(|&h| air.local(h).hour() == clock))
        .unwrap_or(day.start + NOON)
        .min(day.end.saturating_sub(1));
    let from = start.saturating_sub(24);
    let to = (start + 48).min(air.len());
    (from..to)
        .filter_map(|h| {
            let temp = air.hour(h).temp_c;
            (temp.is_finite() && temp <= 0.0).then_some((temp, h, start.abs_diff(h)))
        })
        .min_by_key(|(_, _, away)| *away)
}
