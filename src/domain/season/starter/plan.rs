//! The tasks of a first plan, each dated by its own blocks.

use super::rows::{ROWS, Row, When};
use crate::domain::season::{
    Block, BlockId, MaterialId, MixPart, Season, SprayerId, TargetId, Task, TaskId, TaskKind,
    TaskState,
};
use chrono::{NaiveDate, TimeDelta};

/// When the buds of one block move: the dates that a first plan hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Swell {
    /// The last safe day before swell.
    pub last_safe: NaiveDate,
    /// The first likely day of swell (1 in 10).
    pub likely: NaiveDate,
    /// The day by which it is as likely come as not.
    pub about: NaiveDate,
    /// The last safe day before half-inch green.
    pub green: NaiveDate,
}

impl Swell {
    /// From one expected day, where nothing more is known.
    pub fn about(day: NaiveDate) -> Self {
        Self {
            last_safe: after(day, -3),
            likely: day,
            about: day,
            green: after(day, 14),
        }
    }
}

/// Days of hand before the last safe day: a week for weather.
const IN_HAND: i64 = 7;
/// Blocks whose days differ by no more share a spray before swell.
const SHARED_BEFORE: i64 = 14;
/// The same for sprays on swelling buds.
const SHARED_ON: i64 = 7;
/// Least days between two coppers of the plan: three weeks (Washington State Univ. Extension
/// 2011), more than the week that labels ask for.
const BETWEEN: i64 = 21;
/// The first copper after leaf drop.
const FIRST_AFTER_DROP: i64 = 7;
/// Other work keeps so far behind a spray: re-entry of two days and a day in hand.
const BEHIND_A_SPRAY: i64 = 3;

fn after(day: NaiveDate, days: i64) -> NaiveDate {
    day.checked_add_signed(TimeDelta::days(days)).unwrap_or(day)
}

/// A season whose tasks are those of a first plan, hung on when the buds of each of its blocks
/// move, nothing before today.
#[must_use]
pub fn laid_out(season: &Season, swells: &[Swell], today: NaiveDate) -> Season {
    let drop = season
        .dates
        .leaf_drop_seen
        .unwrap_or(season.dates.leaf_drop_expected);
    Season {
        tasks: tasks(&season.blocks, drop, swells, today),
        ..season.clone()
    }
}

/// The tasks of a first plan for these blocks, one swell a block.
pub(super) fn tasks(
    blocks: &[Block],
    drop: NaiveDate,
    swells: &[Swell],
    today: NaiveDate,
) -> Vec<Task> {
    let pairs: Vec<(&Block, Swell)> = blocks.iter().zip(swells.iter().copied()).collect();
    let mut tasks = Vec::new();
    for row in ROWS {
        let on: Vec<(&Block, Swell)> = pairs
            .iter()
            .copied()
            .filter(|(b, _)| row.species.is_empty() || row.species.contains(&b.species))
            .collect();
        for (n, (group, day)) in dated(row, drop, &on).into_iter().enumerate() {
            tasks.push(task(row, n, &group, blocks.len(), day.max(today)));
        }
    }
    clear_of_sprays(&mut tasks);
    tasks.sort_by_key(|t| (t.lane, t.date));
    tasks
}

type Group<'a> = Vec<(&'a Block, Swell)>;

/// The groups of blocks that share a task of a row, each with its day.
fn dated<'a>(row: &Row, drop: NaiveDate, on: &[(&'a Block, Swell)]) -> Vec<(Group<'a>, NaiveDate)> {
    let Some(earliest) = on.iter().map(|(_, s)| s.last_safe).min() else {
        return Vec::new();
    };
    let all = |day: NaiveDate| vec![(on.to_vec(), day)];
    let first = after(drop, FIRST_AFTER_DROP);
    let last_of = |s: &Swell| after(s.last_safe, -IN_HAND).max(drop);
    match row.when {
        When::Drop(days) if row.kind == TaskKind::Spray => {
            // Where swell comes so early that the last spray follows at once, that one is enough.
            let room: Group<'a> = on
                .iter()
                .copied()
                .filter(|(_, s)| (last_of(s) - first).num_days() >= BETWEEN)
                .collect();
            if room.is_empty() {
                Vec::new()
            } else {
                vec![(room, after(drop, days))]
            }
        }
        When::Drop(days) => all(after(drop, days)),
        When::Between(percent) => {
            let winter = (earliest - drop).num_days().max(0);
            all(after(drop, winter * percent / 100))
        }
        When::Swell(days) => {
            let likely = on.iter().map(|(_, s)| s.likely).min().unwrap_or(earliest);
            all(after(likely, days).max(drop))
        }
        When::BeforeSwell => grouped(on, SHARED_BEFORE, |s| s.last_safe)
            .into_iter()
            .filter_map(|g| {
                let day = last_of(&g.first()?.1);
                Some((g, day))
            })
            .collect(),
        When::HalfWay => grouped(on, SHARED_BEFORE, |s| s.last_safe)
            .into_iter()
            .filter_map(|g| {
                let room = (last_of(&g.first()?.1) - first).num_days();
                (room >= 2 * BETWEEN).then(|| (g, after(first, room / 2)))
            })
            .collect(),
        When::OnSwelling => grouped(on, SHARED_ON, |s| s.about)
            .into_iter()
            .filter_map(|g| {
                let green = g.iter().map(|(_, s)| s.green).min()?;
                let about = g.iter().map(|(_, s)| s.about).max()?;
                Some((g, about.min(green).max(drop)))
            })
            .collect(),
    }
}

/// Blocks whose days lie close together, the earliest group first.
fn grouped<'a>(
    on: &[(&'a Block, Swell)],
    within: i64,
    day: impl Fn(&Swell) -> NaiveDate,
) -> Vec<Group<'a>> {
    let mut sorted = on.to_vec();
    sorted.sort_by_key(|(_, s)| day(s));
    let mut groups: Vec<Group<'a>> = Vec::new();
    for one in sorted {
        match groups.last_mut() {
            Some(group)
                if group
                    .first()
                    .is_some_and(|(_, s)| (day(&one.1) - day(s)).num_days() <= within) =>
            {
                group.push(one);
            }
            _ => groups.push(vec![one]),
        }
    }
    groups
}

fn task(row: &Row, n: usize, group: &Group<'_>, blocks: usize, date: NaiveDate) -> Task {
    let id = match n {
        0 => row.id.to_owned(),
        n => format!("{}-{}", row.id, n + 1),
    };
    let mut on: Vec<BlockId> = group.iter().map(|(b, _)| b.id.clone()).collect();
    on.sort();
    Task {
        id: TaskId::from(id.as_str()),
        title: row.title.to_owned(),
        lane: row.lane,
        kind: row.kind,
        date,
        hour: None,
        blocks: if on.len() == blocks { Vec::new() } else { on },
        targets: row.targets.iter().map(|t| TargetId::from(*t)).collect(),
        mix: row
            .material
            .map(|material| MixPart {
                material: MaterialId::from(material),
                rate: None,
            })
            .into_iter()
            .collect(),
        volume: None,
        water_ph: None,
        sprayer: row.material.map(|_| SprayerId::from("backpack")),
        state: TaskState::Planned,
        notes: None,
        why: None,
        part_of: None,
        moved: Vec::new(),
        quiet: Vec::new(),
    }
}

/// Moves work on foot out of the days behind a spray on the same blocks.
fn clear_of_sprays(tasks: &mut [Task]) {
    let sprays: Vec<(NaiveDate, Vec<BlockId>)> = tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray)
        .map(|t| (t.date, t.blocks.clone()))
        .collect();
    let on_foot = |kind| {
        matches!(
            kind,
            TaskKind::Prune | TaskKind::CleanUp | TaskKind::Scout | TaskKind::Other
        )
    };
    for task in tasks.iter_mut().filter(|t| on_foot(t.kind)) {
        // Each spray can push it once: it never comes back before one it has passed.
        for _ in 0..sprays.len() {
            let behind = sprays.iter().find(|(day, blocks)| {
                let shared = task.blocks.is_empty()
                    || blocks.is_empty()
                    || blocks.iter().any(|b| task.blocks.contains(b));
                shared && (0..BEHIND_A_SPRAY).contains(&(task.date - *day).num_days())
            });
            let Some((day, _)) = behind else { break };
            task.date = after(*day, BEHIND_A_SPRAY);
        }
    }
}
