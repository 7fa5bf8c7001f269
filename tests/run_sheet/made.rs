//! Invented cases: jobs with windows and fit hours, one to three sprayers. Every case comes from
//! a number, so that a failure can be looked at again.

use barewood::domain::run_sheet::{Crew, HourSet, Job, Problem};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

pub struct Dice(ChaCha8Rng);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    pub fn under(&mut self, n: u32) -> u32 {
        self.0.next_u32() % n.max(1)
    }

    pub fn chance(&mut self, percent: u32) -> bool {
        self.under(100) < percent
    }
}

/// A farm of some days: fit hours come in stretches, jobs open and close on days.
pub fn problem(seed: u64, most_jobs: u32, days: u32, mixed_crews: bool) -> Problem {
    let d = &mut Dice::new(seed);
    let hours = (days * 24) as usize;
    let crews = 1 + d.under(3) as usize;
    let (from, to) = (7 + d.under(4) as usize, 12 + d.under(7) as usize);
    let fit: Vec<bool> = {
        let mut is_fit = false;
        (0..hours)
            .map(|_| {
                if d.chance(25) {
                    is_fit = !is_fit;
                }
                is_fit
            })
            .collect()
    };
    let at_work = |h: usize| (from..to).contains(&(h % 24));
    let jobs = 2 + d.under(most_jobs - 1);
    Problem {
        crews: (0..crews)
            .map(|_| {
                let away = d.under(days * 2) as usize;
                Crew {
                    free: HourSet::of(hours, |h| at_work(h) && h / 24 != away),
                }
            })
            .collect(),
        jobs: (0..jobs)
            .map(|_| {
                let opens = d.under(days) as usize;
                let last = opens + d.under(days) as usize;
                let minutes = 20 * (1 + d.under(15));
                let other = d.chance(20);
                let mut minutes: Vec<Option<u32>> = (0..crews)
                    .map(|_| (!mixed_crews || d.chance(70)).then_some(minutes))
                    .collect();
                if minutes.iter().all(Option::is_none) {
                    minutes[0] = Some(60);
                }
                Job {
                    minutes,
                    hours: HourSet::of(hours, |h| {
                        (opens..=last).contains(&(h / 24)) && (fit[h] || (other && h % 3 == 0))
                    }),
                    value: 1.0,
                    mix: usize::from(other),
                    last_day: last as i64,
                }
            })
            .collect(),
    }
}
