//! What is to be put into hours: jobs, crews, and the hours each may have.

/// Minutes in the cell of time that hours of weather and of people are known in.
pub const CELL_MIN: u32 = 60;

/// A set of hours from the first hour of the plan on.
#[derive(Debug, Clone, PartialEq, Eq, Default, Hash)]
pub struct HourSet(Vec<bool>);

impl HourSet {
    /// The hours for which this is true.
    pub fn of(hours: usize, is_in: impl FnMut(usize) -> bool) -> Self {
        Self((0..hours).map(is_in).collect())
    }

    /// Is this hour in it?
    pub fn has(&self, hour: usize) -> bool {
        self.0.get(hour) == Some(&true)
    }

    /// Adds an hour or takes it out.
    pub fn set(&mut self, hour: usize, is_in: bool) {
        if self.0.len() <= hour {
            self.0.resize(hour + 1, false);
        }
        if let Some(slot) = self.0.get_mut(hour) {
            *slot = is_in;
        }
    }

    /// One past its last hour; zero where it is empty.
    pub fn end(&self) -> usize {
        self.0.iter().rposition(|h| *h).map_or(0, |h| h + 1)
    }

    /// How many hours.
    pub fn count(&self) -> usize {
        self.0.iter().filter(|h| **h).count()
    }

    /// One past the last hour it says anything about.
    pub fn reach(&self) -> usize {
        self.0.len()
    }
}

/// A sprayer with somebody to drive it: it works on one block at a time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Crew {
    /// The hours in which sprayer and driver are both there.
    pub free: HourSet,
}

/// One spray on one block.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// How long each crew takes; `None` for one that cannot do it.
    pub minutes: Vec<Option<u32>>,
    /// The hours that are fit for it and lie in its window.
    pub hours: HourSet,
    /// What is lost where it is left out.
    pub value: f64,
    /// Jobs with the same number have the same mix and share tanks.
    pub mix: usize,
    /// The last day that is safe, as a number: what ends first goes first.
    pub last_day: i64,
}

impl Job {
    /// One past the last hour in which it may be worked on.
    pub fn due(&self) -> usize {
        self.hours.end()
    }

    /// The crews that can do it.
    pub fn crews(&self) -> impl Iterator<Item = usize> + '_ {
        self.minutes
            .iter()
            .enumerate()
            .filter(|(_, m)| m.is_some())
            .map(|(crew, _)| crew)
    }

    /// How long it takes where all of its crews are equally quick.
    pub fn even_minutes(&self) -> Option<u32> {
        let mut all = self.minutes.iter().flatten();
        let first = *all.next()?;
        all.all(|m| *m == first).then_some(first)
    }

    /// The same job for one crew alone.
    #[must_use]
    pub fn only(&self, crew: usize) -> Self {
        let mut one = self.clone();
        for (c, minutes) in one.minutes.iter_mut().enumerate() {
            if c != crew {
                *minutes = None;
            }
        }
        one
    }
}

/// What is to be planned.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Problem {
    /// Who works.
    pub crews: Vec<Crew>,
    /// What is to be done.
    pub jobs: Vec<Job>,
}

/// A stretch of work of one crew on one job; minutes from the first hour of the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Piece {
    /// Begins.
    pub from_min: u32,
    /// Ends.
    pub to_min: u32,
    /// Which crew.
    pub crew: usize,
    /// Which job.
    pub job: usize,
}

/// Who does what when, and what is left out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// The work, in the order of time, then of crews.
    pub pieces: Vec<Piece>,
    /// Jobs that cannot be done in time, in the order given.
    pub dropped: Vec<usize>,
    /// Minutes that are missing for all of them to be done.
    pub short_min: u32,
}

impl Plan {
    /// What is wrong with it, in words for whoever changes this room; nothing where it is right.
    pub fn flaw(&self, problem: &Problem) -> Option<String> {
        for (i, a) in self.pieces.iter().enumerate() {
            let Some(job) = problem.jobs.get(a.job) else {
                return Some(format!("{a:?} is of no job"));
            };
            if a.from_min >= a.to_min || job.minutes.get(a.crew).copied().flatten().is_none() {
                return Some(format!("{a:?} is empty or not for this crew"));
            }
            let hours = (a.from_min / CELL_MIN)..=((a.to_min - 1) / CELL_MIN);
            for hour in hours {
                let free = problem
                    .crews
                    .get(a.crew)
                    .is_some_and(|c| c.free.has(hour as usize));
                if !free || !job.hours.has(hour as usize) {
                    return Some(format!("{a:?} lies outside its window or its crew's hours"));
                }
            }
            for b in self.pieces.iter().skip(i + 1) {
                let meet = a.from_min < b.to_min && b.from_min < a.to_min;
                if meet && (a.crew == b.crew || a.job == b.job) {
                    return Some(format!("{a:?} and {b:?} clash"));
                }
            }
        }
        for (ix, job) in problem.jobs.iter().enumerate() {
            let share: f64 = self
                .pieces
                .iter()
                .filter(|p| p.job == ix)
                .map(|p| {
                    let whole = job.minutes.get(p.crew).copied().flatten().unwrap_or(1);
                    f64::from(p.to_min - p.from_min) / f64::from(whole.max(1))
                })
                .sum();
            let wanted =
                if self.dropped.contains(&ix) || job.minutes.iter().flatten().all(|m| *m == 0) {
                    0.0
                } else {
                    1.0
                };
            if (share - wanted).abs() > 1e-9 {
                return Some(format!("job {ix} is done {share} times"));
            }
        }
        None
    }
}
