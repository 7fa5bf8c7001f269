//! Against the exact answer of a mixed-integer solver (crate `microlp`): how many jobs can be
//! done in time at most, whatever the order.

use crate::made::problem;
use barewood::domain::run_sheet::{Problem, plan};
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem as Program, Variable};

/// The most jobs that can be done: every job whole or not at all, each hour of a crew given once,
/// no job with two crews in one hour for more than the hour. That such hours can be put into
/// minutes without a clash is the theorem on the preemptive open shop (Gonzalez and Sahni 1976).
fn most_done(problem: &Problem) -> usize {
    let mut program = Program::new(OptimizationDirection::Maximize);
    let reach = problem
        .jobs
        .iter()
        .map(|j| j.hours.reach())
        .max()
        .unwrap_or(0);
    // By hour, then by crew.
    let mut given: Vec<Vec<Vec<Variable>>> = vec![vec![Vec::new(); problem.crews.len()]; reach];
    for job in &problem.jobs {
        let done = program.add_binary_var(1.0);
        let minutes = f64::from(job.even_minutes().unwrap());
        let mut all = LinearExpr::empty();
        for (hour, of_crew) in given.iter_mut().enumerate() {
            let mut here = LinearExpr::empty();
            let mut any = false;
            for (c, crew) in problem.crews.iter().enumerate() {
                if job.minutes[c].is_some() && crew.free.has(hour) && job.hours.has(hour) {
                    let share = program.add_var(0.0, (0.0, 60.0));
                    of_crew[c].push(share);
                    here.add(share, 1.0);
                    all.add(share, 1.0);
                    any = true;
                }
            }
            if any {
                program.add_constraint(here, ComparisonOp::Le, 60.0);
            }
        }
        all.add(done, -minutes);
        program.add_constraint(all, ComparisonOp::Eq, 0.0);
    }
    for hours in &given {
        for shares in hours.iter().filter(|s| !s.is_empty()) {
            let sum: Vec<(Variable, f64)> = shares.iter().map(|s| (*s, 1.0)).collect();
            program.add_constraint(sum.as_slice(), ComparisonOp::Le, 60.0);
        }
    }
    let best = program
        .solve()
        .expect("nothing done is always a solution")
        .into_solution()
        .expect("solved to the end");
    best.objective().round() as usize
}

#[test]
fn no_feasible_deadline_is_missed_and_at_most_one_block_more_is_dropped() {
    let (mut all_in_time, mut same, mut one_more, mut worse) = (0, 0, 0, Vec::new());
    let cases = 1000;
    for seed in 0..cases {
        let problem = problem(seed, 7, 3, seed % 2 == 1);
        let made = plan(&problem);
        assert_eq!(made.flaw(&problem), None, "case {seed}");
        let best = most_done(&problem);
        let done = problem.jobs.len() - made.dropped.len();
        assert!(
            done <= best,
            "case {seed}: {done} done, the solver says {best}"
        );
        if best == problem.jobs.len() {
            assert!(
                made.dropped.is_empty(),
                "case {seed}: all can be done, {:?} dropped",
                made.dropped
            );
            assert_eq!(made.short_min, 0, "case {seed}");
            all_in_time += 1;
        } else {
            assert!(made.short_min > 0, "case {seed}");
        }
        match best - done {
            0 => same += 1,
            1 => one_more += 1,
            n => worse.push((seed, n)),
        }
    }
    println!(
        "{cases} cases: {all_in_time} can all be done; as the optimum {same}, one block more dropped {one_more}, worse {}",
        worse.len()
    );
    assert!(
        all_in_time > 100,
        "too few cases that can all be done: {all_in_time}"
    );
    assert!((same + one_more) * 100 >= cases * 95, "{worse:?}");
}
