//! Which jobs are done where not all can be: the fewest, or least valuable, are left out.
//!
//! By their last hour, one after the other; where one no longer fits, the job whose leaving makes
//! room again at the least loss goes (Moore, Management Science 15, 1968, for one machine). Then
//! what was left out is tried again against what was taken.

use super::flow::Question;
use super::lay_out::{Order, hour_by_hour};
use super::problem::Problem;

/// Questions asked of the flow at most while trying again.
const MOST_TRIES: usize = 400;

/// Jobs that go, in the order of their last hour, and those that do not.
pub fn choose(problem: &Problem, question: &Question) -> (Vec<usize>, Vec<usize>) {
    let mut order: Vec<usize> = (0..problem.jobs.len()).collect();
    let key = |ix: &usize| {
        problem
            .jobs
            .get(*ix)
            .map(|j| (j.last_day, j.due(), j.even_minutes().unwrap_or(0)))
    };
    order.sort_by_key(key);
    if question.fits(&order) {
        return (order, Vec::new());
    }
    let value = |ix: usize| problem.jobs.get(ix).map_or(0.0, |j| j.value);
    let minutes = |ix: usize| {
        problem
            .jobs
            .get(ix)
            .and_then(|j| j.even_minutes())
            .unwrap_or(0)
    };
    let mut taken: Vec<usize> = Vec::new();
    let mut left: Vec<usize> = Vec::new();
    for job in order {
        taken.push(job);
        if question.fits(&taken) {
            continue;
        }
        // The least loss first; of equal ones the longest, which makes most room.
        let mut goes: Vec<usize> = taken.clone();
        goes.sort_by(|a, b| {
            value(*a)
                .total_cmp(&value(*b))
                .then_with(|| minutes(*b).cmp(&minutes(*a)))
        });
        let gone = goes
            .into_iter()
            .find(|gone| {
                let rest: Vec<usize> = taken.iter().copied().filter(|t| t != gone).collect();
                question.fits(&rest)
            })
            .unwrap_or(job);
        taken.retain(|t| *t != gone);
        left.push(gone);
    }
    // By deadline alone may, now and then, reach more: then that is the start.
    for order in [Order::EarliestDue, Order::LeastToSpare] {
        let all: Vec<usize> = (0..problem.jobs.len()).collect();
        let (_, late) = hour_by_hour(problem, &all, order);
        let worth = |jobs: &[usize]| -> f64 { jobs.iter().map(|j| value(*j)).sum() };
        if worth(&late) + 1e-9 < worth(&left) {
            taken = all.into_iter().filter(|j| !late.contains(j)).collect();
            left = late;
        }
    }
    again(question, &value, &mut taken, &mut left);
    taken.sort_by_key(key);
    left.sort_unstable();
    (taken, left)
}

/// What was left out is tried once more: as it is, for one that is worth less, and two for one.
fn again(
    question: &Question,
    value: &impl Fn(usize) -> f64,
    taken: &mut Vec<usize>,
    left: &mut Vec<usize>,
) {
    let mut tries = 0;
    let mut fits = |jobs: &[usize]| {
        tries += 1;
        (tries <= MOST_TRIES).then(|| question.fits(jobs))
    };
    let with = |taken: &[usize], without: Option<usize>, more: &[usize]| -> Vec<usize> {
        let kept = taken.iter().copied().filter(|t| Some(*t) != without);
        kept.chain(more.iter().copied()).collect()
    };
    'anew: loop {
        for job in left.clone() {
            match fits(&with(taken, None, &[job])) {
                None => return,
                Some(false) => {}
                Some(true) => {
                    taken.push(job);
                    left.retain(|l| *l != job);
                    continue 'anew;
                }
            }
        }
        for out in taken.clone() {
            for (i, a) in left.clone().into_iter().enumerate() {
                for b in left.clone().into_iter().skip(i + 1).map(Some).chain([None]) {
                    let gain = value(a) + b.map_or(0.0, value) - value(out);
                    if gain <= 1e-9 {
                        continue;
                    }
                    let more: Vec<usize> = [Some(a), b].into_iter().flatten().collect();
                    match fits(&with(taken, Some(out), &more)) {
                        None => return,
                        Some(false) => {}
                        Some(true) => {
                            taken.retain(|t| *t != out);
                            taken.extend(&more);
                            left.retain(|l| !more.contains(l));
                            left.push(out);
                            continue 'anew;
                        }
                    }
                }
            }
        }
        return;
    }
}
