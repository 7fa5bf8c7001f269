//! Hours that other sprays take: the sprayer while it works, the block until people may go in.

use crate::domain::hours::air::Air;
use crate::domain::hours::job::Job;
use crate::domain::mix::safety;
use crate::domain::season::{BlockId, SprayerId, Task, TaskId, TaskKind};
use crate::domain::uses::Uses;
use chrono::{NaiveTime, TimeDelta};
use std::ops::Range;

/// One spray that has its hours.
struct Taken {
    task: TaskId,
    sprayer: Option<SprayerId>,
    blocks: Vec<BlockId>,
    /// The hours of the work.
    work: Range<usize>,
    /// The same and the re-entry after it.
    closed: Range<usize>,
}

/// The sprays that have their hours, done and planned.
#[derive(Default)]
pub struct Busy {
    taken: Vec<Taken>,
}

impl Busy {
    /// Gathers them. A planned spray counts where it has an hour; a done one by its day.
    pub fn new(uses: &Uses<'_>, air: &Air) -> Self {
        let place = |local: chrono::NaiveDateTime| {
            let first = air.local(0);
            usize::try_from((local - first).num_hours().max(0)).unwrap_or(usize::MAX)
        };
        let mut taken = Vec::new();
        for spray in uses.all_sprays() {
            let task = spray.task;
            if task.kind != TaskKind::Spray {
                continue;
            }
            let reentry = safety::reentry(spray.parts.iter().map(|p| p.1));
            let wait = TimeDelta::minutes((reentry.hours.unwrap_or(0.0).min(8760.0) * 60.0) as i64);
            let (start, end) = match (spray.done, task.hour) {
                (None, Some(hour)) if task.date >= uses.today => {
                    let start = at(task.date, hour);
                    let job = TimeDelta::hours(Job::of(uses.season, task).whole_hours() as i64);
                    (start, start + job)
                }
                // A spray that is done without its hours may have ended as late as midnight.
                (Some(day), _) if wait > TimeDelta::zero() => (at(day, 24), at(day, 24)),
                _ => continue,
            };
            let work = place(start)..place(end);
            taken.push(Taken {
                task: task.id.clone(),
                sprayer: task.sprayer.clone(),
                blocks: spray
                    .blocks
                    .iter()
                    .filter_map(|ix| uses.season.blocks.get(*ix))
                    .map(|b| b.id.clone())
                    .collect(),
                closed: work.start..place(end + wait),
                work,
            });
        }
        Self { taken }
    }

    /// The same without some sprays: those that are given new hours.
    #[must_use]
    pub fn without(mut self, tasks: &[TaskId]) -> Self {
        self.taken.retain(|t| !tasks.contains(&t.task));
        self
    }

    /// The hours that others take from a task.
    pub fn against(&self, task: &Task) -> impl Iterator<Item = Range<usize>> {
        self.taken
            .iter()
            .filter(|t| t.task != task.id)
            .filter_map(|t| {
                let shared =
                    task.blocks.is_empty() || t.blocks.iter().any(|b| task.blocks.contains(b));
                if shared {
                    return Some(t.closed.clone());
                }
                (t.sprayer.is_some() && t.sprayer == task.sprayer).then(|| t.work.clone())
            })
    }
}

fn at(day: chrono::NaiveDate, hour: u32) -> chrono::NaiveDateTime {
    day.and_time(NaiveTime::MIN) + TimeDelta::hours(i64::from(hour.min(24)))
}
