//! What holds of every plan: nobody in two places, nothing outside its window, parts that come to
//! the job; and what it gains over plain earliest-deadline-first.

use crate::made::problem;
use barewood::domain::run_sheet::{Order, hour_by_hour, plan};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_clash_nothing_outside_its_window_and_parts_come_to_the_job(
        seed in 1_000_000u64..2_000_000,
        mixed in any::<bool>(),
        uneven in any::<bool>(),
    ) {
        let mut problem = problem(seed, 20, 6, mixed);
        if uneven {
            // A slow and a quick sprayer.
            for job in &mut problem.jobs {
                for (c, minutes) in job.minutes.iter_mut().enumerate() {
                    *minutes = minutes.map(|m| m + m * u32::try_from(c).unwrap() / 2);
                }
            }
        }
        let made = plan(&problem);
        prop_assert_eq!(made.flaw(&problem), None);
        prop_assert_eq!(made.dropped.is_empty(), made.short_min == 0);
    }

    #[test]
    fn never_fewer_in_time_than_by_deadline_alone(seed in 2_000_000u64..3_000_000) {
        let problem = problem(seed, 20, 6, true);
        let all: Vec<usize> = (0..problem.jobs.len()).collect();
        let (_, late) = hour_by_hour(&problem, &all, Order::EarliestDue);
        prop_assert!(plan(&problem).dropped.len() <= late.len());
    }
}

#[test]
fn over_many_farms_more_blocks_are_in_time_than_by_deadline_alone() {
    let (mut ours, mut plain, mut jobs) = (0, 0, 0);
    for seed in 0..300 {
        let problem = problem(7_000_000 + seed, 30, 10, false);
        let all: Vec<usize> = (0..problem.jobs.len()).collect();
        let (_, late) = hour_by_hour(&problem, &all, Order::EarliestDue);
        jobs += all.len();
        plain += all.len() - late.len();
        ours += all.len() - plan(&problem).dropped.len();
    }
    println!("{jobs} jobs: {ours} in time, by earliest deadline alone {plain}");
    assert!(ours > plain);
}
