//! The run sheet: which sprayer, which hours, which blocks, in what order; and where not all can
//! be done in time, which to leave out.
//!
//! `plan` works on numbers alone ([`Problem`]): jobs with the hours they may have, crews with the
//! hours they are there. It misses no set of jobs that can all be done, lays them out earliest
//! last hour first wherever that is enough, and never puts two jobs on one crew or two crews on
//! one job at a time.

mod choose;
pub mod crews;
pub mod flow;
mod helps;
mod lay_out;
mod problem;
pub mod sheet;
pub mod span;
mod take_over;

pub use helps::{Help, helps};
pub use lay_out::{Order, hour_by_hour};
pub use problem::{CELL_MIN, Crew, HourSet, Job, Piece, Plan, Problem};
pub use sheet::{Ask, RunSheet, SheetJob, Standing, Stint, run_sheet};
pub use take_over::take_over;

/// Plans a problem.
pub fn plan(problem: &Problem) -> Plan {
    let even = evened(problem);
    let groups = flow::groups(&even);
    let question = flow::Question::new(&even, &groups);
    let all: Vec<usize> = (0..even.jobs.len()).collect();
    let short_min = question.short_min(&all);
    let (taken, mut dropped) = choose::choose(&even, &question);
    for order in [Order::EarliestDue, Order::LeastToSpare] {
        let (pieces, unfinished) = hour_by_hour(&even, &taken, order);
        if unfinished.is_empty() {
            dropped.sort_unstable();
            return Plan {
                pieces,
                dropped,
                short_min,
            };
        }
    }
    Plan {
        pieces: lay_out::spread(&groups, &question.shares(&taken)),
        dropped,
        short_min,
    }
}

/// The problem with each job that crews do at unlike pace given to one of them: to the one that
/// would be done with it first, job by job in the order of their last hours.
fn evened(problem: &Problem) -> Problem {
    let mut even = problem.clone();
    let mut order: Vec<usize> = (0..problem.jobs.len()).collect();
    order.sort_by_key(|j| problem.jobs.get(*j).map(Job::due));
    let mut load = vec![0u32; problem.crews.len()];
    for j in order {
        let Some(job) = problem.jobs.get(j) else {
            continue;
        };
        if job.even_minutes().is_some() || job.minutes.iter().flatten().next().is_none() {
            let crews: Vec<usize> = job.crews().collect();
            let share =
                job.even_minutes().unwrap_or(0) / u32::try_from(crews.len().max(1)).unwrap_or(1);
            for crew in crews {
                if let Some(l) = load.get_mut(crew) {
                    *l += share;
                }
            }
            continue;
        }
        let done = |crew: &usize| {
            let minutes = job
                .minutes
                .get(*crew)
                .copied()
                .flatten()
                .unwrap_or(u32::MAX);
            let hours = problem.crews.get(*crew).map_or(0, |c| {
                (0..job.due())
                    .filter(|h| c.free.has(*h) && job.hours.has(*h))
                    .count()
            });
            let room = u32::try_from(hours).unwrap_or(u32::MAX / CELL_MIN) * CELL_MIN;
            let after = load
                .get(*crew)
                .copied()
                .unwrap_or(0)
                .saturating_add(minutes);
            // One that has no room for it comes last.
            (after > room, after)
        };
        if let Some(crew) = job.crews().min_by_key(done)
            && let Some(slot) = even.jobs.get_mut(j)
        {
            *slot = job.only(crew);
            if let Some(l) = load.get_mut(crew) {
                *l += job.minutes.get(crew).copied().flatten().unwrap_or(0);
            }
        }
    }
    even
}
