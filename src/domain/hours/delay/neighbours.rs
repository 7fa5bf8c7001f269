//! What two tasks on the same trees ask of each other, and what the fixed ones ask of a moved one.

use std::collections::HashMap;

use chrono::{Datelike, NaiveDate};

use super::Moved;
use super::give::{Give, Gives};
use super::slots::Slot;
use crate::domain::rules::apart;
use crate::domain::rules::{Event, Facts, Level};
use crate::domain::season::{BlockId, Task, TaskId, TaskKind};

/// Days two uses must lie apart: by label, and by common practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Gap {
    by_label: i64,
    by_practice: i64,
}

impl Gap {
    fn max(self, other: Self) -> Self {
        Self {
            by_label: self.by_label.max(other.by_label),
            by_practice: self.by_practice.max(other.by_practice),
        }
    }

    /// What a distance gives on; `None` where a label forbids it.
    fn allows(self, days: i64) -> Option<Gives> {
        if days < self.by_label {
            None
        } else if days < self.by_practice {
            Some(Gives::NONE.with(Give::Apart))
        } else {
            Some(Gives::NONE)
        }
    }
}

/// One use of a moved task on a block.
#[derive(Clone, Copy)]
struct Used<'a> {
    block: usize,
    event: Event<'a>,
}

/// Everything tasks ask of each other, for one delay.
pub(super) struct Neighbours<'a> {
    slots: &'a [Vec<Slot>],
    /// By task and slot: what the fixed neighbours make it give on; `None` forbids it.
    fixed: Vec<Vec<Option<Gives>>>,
    /// By pair of tasks (lower first), by which of them comes later, by the later day.
    gaps: HashMap<(usize, usize, bool, i32), Gap>,
    /// Pairs of tasks on a common block.
    shared: Vec<Vec<bool>>,
    dates: Vec<NaiveDate>,
    on_foot: Vec<bool>,
}

impl<'a> Neighbours<'a> {
    pub(super) fn new(facts: &Facts<'_>, moved: &[Moved<'_>], slots: &'a [Vec<Slot>]) -> Self {
        let uses: Vec<Vec<Used<'_>>> = moved.iter().map(|m| uses_of(facts, m.task)).collect();
        let shared = moved
            .iter()
            .map(|a| {
                moved
                    .iter()
                    .map(|b| share_a_block(a.task, b.task))
                    .collect()
            })
            .collect();
        let mut gaps = HashMap::new();
        for (a, mine) in uses.iter().enumerate() {
            for (b, theirs) in uses.iter().enumerate().skip(a + 1) {
                for (later_is_b, task) in [(true, b), (false, a)] {
                    let days = slots.get(task).into_iter().flatten().filter_map(|s| s.day);
                    for day in days {
                        gaps.entry((a, b, later_is_b, day.num_days_from_ce()))
                            .or_insert_with(|| {
                                let (earlier, later) = if later_is_b {
                                    (mine, theirs)
                                } else {
                                    (theirs, mine)
                                };
                                gap(facts, earlier, later, day)
                            });
                    }
                }
            }
        }
        let fixed = moved
            .iter()
            .zip(&uses)
            .zip(slots)
            .map(|((m, mine), slots)| fixed(facts, moved, m, mine, slots))
            .collect();
        Self {
            slots,
            fixed,
            gaps,
            shared,
            dates: moved.iter().map(|m| m.task.date).collect(),
            on_foot: moved.iter().map(|m| is_on_foot(m.task)).collect(),
        }
    }

    /// What the fixed neighbours of a task make a slot give on.
    pub(super) fn fixed(&self, task: usize, slot: usize) -> Option<Gives> {
        self.fixed.get(task)?.get(slot).copied().flatten()
    }

    /// What two slots of two moved tasks give on together; `None` if they exclude each other.
    pub(super) fn pair(
        &self,
        (a, slot_a): (usize, usize),
        (b, slot_b): (usize, usize),
    ) -> Option<Gives> {
        let one = self.slots.get(a)?.get(slot_a)?;
        let two = self.slots.get(b)?.get(slot_b)?;
        let (Some(day_a), Some(day_b)) = (one.day_number(), two.day_number()) else {
            return Some(Gives::NONE);
        };
        if let (Some(x), Some(y)) = (&one.hours, &two.hours)
            && x.start < y.end
            && y.start < x.end
        {
            return None;
        }
        let together = self
            .shared
            .get(a)
            .and_then(|row| row.get(b))
            .copied()
            .unwrap_or(false);
        if !together {
            return Some(Gives::NONE);
        }
        let foot = |task: usize| self.on_foot.get(task).copied().unwrap_or(false);
        if (foot(b) && !foot(a) && too_early(one, two))
            || (foot(a) && !foot(b) && too_early(two, one))
        {
            return None;
        }
        let later_is_b = day_b >= day_a;
        let later = day_a.max(day_b);
        let gap = self
            .gaps
            .get(&(a, b, later_is_b, later))
            .copied()
            .unwrap_or_default();
        let gives = gap.allows(i64::from((day_a - day_b).abs()))?;
        let (Some(was_a), Some(was_b)) = (self.dates.get(a), self.dates.get(b)) else {
            return Some(gives);
        };
        let turned = (was_a < was_b && day_b < day_a) || (was_b < was_a && day_a < day_b);
        Some(if turned {
            gives.with(Give::Order)
        } else {
            gives
        })
    }

    /// Everything that any slot or pair could give on.
    pub(super) fn possible(&self) -> Gives {
        self.slots
            .iter()
            .flatten()
            .fold(Gives::NONE.with(Give::Apart).with(Give::Order), |all, s| {
                all.and(s.gives)
            })
    }
}

fn uses_of<'a>(facts: &Facts<'a>, task: &Task) -> Vec<Used<'a>> {
    facts
        .timelines()
        .enumerate()
        .flat_map(|(block, (_, events))| {
            events
                .iter()
                .filter(|e| e.used.is_some_and(|u| u.task.id == task.id))
                .map(move |event| Used {
                    block,
                    event: *event,
                })
        })
        .collect()
}

/// Days the later uses must lie after the earlier ones, if they fall on `day`.
fn gap(facts: &Facts<'_>, earlier: &[Used<'_>], later: &[Used<'_>], day: NaiveDate) -> Gap {
    let mut all = Gap::default();
    for first in earlier {
        for second in later.iter().filter(|s| s.block == first.block) {
            let second = Event {
                day,
                ..second.event
            };
            all = all.max(between(facts, &first.event, &second, first.block));
        }
    }
    all
}

fn between(facts: &Facts<'_>, earlier: &Event<'_>, later: &Event<'_>, block: usize) -> Gap {
    if earlier.material == later.material {
        let interval = later
            .used
            .or(earlier.used)
            .and_then(|u| u.material.label.interval)
            .map_or(0, crate::domain::units::Span::whole_days);
        return Gap {
            by_label: interval,
            by_practice: 0,
        };
    }
    match apart::wanted(facts, earlier, later, facts.estimate_at(block)) {
        Some((days, Level::Stop, _)) => Gap {
            by_label: days,
            by_practice: 0,
        },
        Some((days, ..)) => Gap {
            by_label: 0,
            by_practice: days,
        },
        None => Gap::default(),
    }
}

/// Judges each slot of a task against what does not move: other tasks and earlier records.
fn fixed(
    facts: &Facts<'_>,
    moved: &[Moved<'_>],
    task: &Moved<'_>,
    mine: &[Used<'_>],
    slots: &[Slot],
) -> Vec<Option<Gives>> {
    let moves = |id: &TaskId| moved.iter().any(|m| &m.task.id == id);
    let still: Vec<Used<'_>> = facts
        .timelines()
        .enumerate()
        .flat_map(|(block, (_, events))| {
            events.iter().map(move |event| Used {
                block,
                event: *event,
            })
        })
        .filter(|u| u.event.used.is_none_or(|used| !moves(&used.task.id)))
        .collect();
    let walkers: Vec<&Task> = facts
        .season
        .tasks
        .iter()
        .filter(|t| {
            t.state.is_open() && is_on_foot(t) && !moves(&t.id) && share_a_block(t, task.task)
        })
        .collect();
    let sprays: Vec<&Task> = facts
        .open_sprays()
        .filter(|t| !moves(&t.id) && share_a_block(t, task.task))
        .collect();
    let mut by_day: HashMap<NaiveDate, Option<Gives>> = HashMap::new();
    slots
        .iter()
        .map(|slot| {
            let Some(day) = slot.day else {
                return Some(Gives::NONE);
            };
            // Other work of the same or the next day is kept out of the re-entry time by whole
            // days: its hour is not searched here.
            if task.task.kind == TaskKind::Spray {
                let wait = whole_days(slot.reentry_h);
                let clash = walkers
                    .iter()
                    .any(|w| (1..=wait).contains(&(w.date - day).num_days()));
                if clash {
                    return None;
                }
            } else if is_on_foot(task.task) && sprays.iter().any(|s| s.date == day) {
                return None;
            }
            *by_day
                .entry(day)
                .or_insert_with(|| on_day(facts, mine, &still, day))
        })
        .collect()
}

fn on_day(
    facts: &Facts<'_>,
    mine: &[Used<'_>],
    still: &[Used<'_>],
    day: NaiveDate,
) -> Option<Gives> {
    let mut gives = Gives::NONE;
    for own in mine {
        let own_event = Event { day, ..own.event };
        for other in still.iter().filter(|o| o.block == own.block) {
            let gap = if other.event.day <= day {
                between(facts, &other.event, &own_event, own.block)
            } else {
                between(facts, &own_event, &other.event, own.block)
            };
            gives = gives.and(gap.allows((other.event.day - day).num_days().abs())?);
        }
    }
    Some(gives)
}

/// Days after that of a spray on which re-entry still runs, where hours are not known: it is
/// taken to end six hours before midnight. Where it must dry and that is not known, one day.
fn whole_days(reentry_h: Option<f64>) -> i64 {
    reentry_h.map_or(1, |h| ((h + 6.0) / 24.0).floor() as i64)
}

/// Does work on foot begin before the re-entry time of a spray is over?
fn too_early(spray: &Slot, work: &Slot) -> bool {
    if let (Some(s), Some(w)) = (&spray.hours, &work.hours) {
        let wait = spray.reentry_h.map_or(24, |h| h.ceil() as usize);
        return w.start >= s.start && w.start < s.end + wait;
    }
    let wait = whole_days(spray.reentry_h);
    spray
        .day_number()
        .zip(work.day_number())
        .is_some_and(|(s, w)| (0..=wait).contains(&i64::from(w - s)))
}

pub(super) fn is_on_foot(task: &Task) -> bool {
    matches!(
        task.kind,
        TaskKind::Prune | TaskKind::CleanUp | TaskKind::Scout | TaskKind::Other
    )
}

fn share_a_block(a: &Task, b: &Task) -> bool {
    a.blocks.is_empty()
        || b.blocks.is_empty()
        || a.blocks.iter().any(|id: &BlockId| b.blocks.contains(id))
}
