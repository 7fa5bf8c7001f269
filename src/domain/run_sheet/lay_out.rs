//! From chosen jobs to stretches of work: earliest last hour first, without leaving a block or
//! changing the tank for nothing; where that is not enough, as the flow says.

use super::flow::{Group, Share};
use super::problem::{CELL_MIN, Piece, Problem};

/// Which job a crew takes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// The one whose last hour comes first.
    EarliestDue,
    /// The one with the least time to spare.
    LeastToSpare,
}

/// Hour by hour, each crew takes what is most urgent. Gives the work and the jobs not finished.
pub fn hour_by_hour(problem: &Problem, jobs: &[usize], order: Order) -> (Vec<Piece>, Vec<usize>) {
    let reach = jobs
        .iter()
        .filter_map(|j| problem.jobs.get(*j))
        .map(|j| j.hours.end())
        .max()
        .unwrap_or(0);
    // Shares of the whole, so that crews of unlike pace can go on with each other's work.
    let mut left: Vec<f64> = problem.jobs.iter().map(|_| 0.0).collect();
    for j in jobs {
        let is_any = problem
            .jobs
            .get(*j)
            .is_some_and(|job| job.minutes.iter().flatten().any(|m| *m > 0));
        if let Some(l) = left.get_mut(*j).filter(|_| is_any) {
            *l = 1.0;
        }
    }
    let mut pieces: Vec<Piece> = Vec::new();
    let mut last: Vec<Option<usize>> = vec![None; problem.crews.len()];
    for hour in 0..reach {
        let start = u32::try_from(hour).unwrap_or(u32::MAX / CELL_MIN) * CELL_MIN;
        // Minutes of this hour up to which a crew, and a job, is busy.
        let mut crew_at = vec![0u32; problem.crews.len()];
        let mut job_at = vec![0u32; problem.jobs.len()];
        // The crew that is free first takes the next job.
        while let Some(crew) = (0..problem.crews.len())
            .filter(|c| {
                problem.crews.get(*c).is_some_and(|c| c.free.has(hour))
                    && crew_at.get(*c).is_some_and(|at| *at < CELL_MIN)
            })
            .min_by_key(|c| crew_at.get(*c).copied())
        {
            let at = crew_at.get(crew).copied().unwrap_or(CELL_MIN);
            let before = last.get(crew).copied().flatten();
            let open = |j: &usize| -> Option<(usize, u32)> {
                let job = problem.jobs.get(*j)?;
                let share = left.get(*j).copied()?;
                let minutes = job.minutes.get(crew).copied().flatten()?;
                let busy = job_at.get(*j).copied()?;
                let wants = (share * f64::from(minutes)).round() as u32;
                (wants > 0 && busy <= at && job.hours.has(hour)).then_some((*j, wants))
            };
            let key = |(j, wants): &(usize, u32)| {
                let job = problem.jobs.get(*j);
                let due = job.map_or(0, |j| j.due());
                let spare = || {
                    let hours = (hour..due).filter(|h| job.is_some_and(|j| j.hours.has(*h)));
                    i64::try_from(hours.count()).unwrap_or(0) * i64::from(CELL_MIN)
                        - i64::from(*wants)
                };
                let urgent = match order {
                    Order::EarliestDue => job.map_or(0, |j| j.last_day),
                    Order::LeastToSpare => spare(),
                };
                let goes_on = before == Some(*j);
                let mix = |j: usize| problem.jobs.get(j).map(|j| j.mix);
                let same_mix = before.is_some_and(|b| mix(b) == mix(*j));
                (urgent, !goes_on, !same_mix, due, *j)
            };
            let Some((job, wants)) = jobs.iter().filter_map(open).min_by_key(key) else {
                // Perhaps a job is only busy elsewhere for a part of this hour.
                let later = jobs
                    .iter()
                    .filter(|j| {
                        left.get(**j).is_some_and(|l| *l > 0.0)
                            && problem.jobs.get(**j).is_some_and(|job| {
                                job.hours.has(hour)
                                    && job.minutes.get(crew).copied().flatten().is_some()
                            })
                    })
                    .filter_map(|j| job_at.get(*j).copied())
                    .filter(|busy| *busy > at && *busy < CELL_MIN)
                    .min();
                if let Some(slot) = crew_at.get_mut(crew) {
                    *slot = later.unwrap_or(CELL_MIN);
                }
                continue;
            };
            let takes = wants.min(CELL_MIN - at);
            let whole = problem
                .jobs
                .get(job)
                .and_then(|j| j.minutes.get(crew).copied().flatten())
                .unwrap_or(1)
                .max(1);
            if let Some(l) = left.get_mut(job) {
                *l = if takes == wants {
                    0.0
                } else {
                    *l - f64::from(takes) / f64::from(whole)
                };
            }
            pieces.push(Piece {
                from_min: start + at,
                to_min: start + at + takes,
                crew,
                job,
            });
            for (slots, ix) in [(&mut crew_at, crew), (&mut job_at, job)] {
                if let Some(slot) = slots.get_mut(ix) {
                    *slot = at + takes;
                }
            }
            if let Some(slot) = last.get_mut(crew) {
                *slot = Some(job);
            }
        }
    }
    let unfinished = jobs
        .iter()
        .copied()
        .filter(|j| left.get(*j).is_some_and(|l| *l > 0.0))
        .collect();
    (joined(pieces), unfinished)
}

/// Pieces of one crew on one job that follow on each other become one.
pub fn joined(mut pieces: Vec<Piece>) -> Vec<Piece> {
    pieces.sort_by_key(|p| (p.crew, p.from_min));
    let mut out: Vec<Piece> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        match out.last_mut() {
            Some(last)
                if last.crew == piece.crew
                    && last.job == piece.job
                    && last.to_min == piece.from_min =>
            {
                last.to_min = piece.to_min;
            }
            _ => out.push(piece),
        }
    }
    out.sort_by_key(|p| (p.from_min, p.crew));
    out
}

/// Puts the shares of a flow into times: in each group the rows (jobs) and columns (crews) hold
/// at most its length, so that they can be cut into steps in which no job and no crew is asked
/// for twice (a matrix of equal sums is a sum of permutations: Birkhoff 1946).
pub fn spread(groups: &[Group], shares: &[Share]) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for (g, group) in groups.iter().enumerate() {
        let own: Vec<&Share> = shares.iter().filter(|s| s.group == g).collect();
        let mut jobs: Vec<usize> = own.iter().map(|s| s.job).collect();
        jobs.sort_unstable();
        jobs.dedup();
        let crews = &group.crews;
        let (n, m) = (jobs.len(), crews.len());
        let size = n + m;
        let mut table = vec![vec![0u32; size]; size];
        let mut put = |row: usize, column: usize, minutes: u32| {
            if let Some(cell) = table.get_mut(row).and_then(|r| r.get_mut(column)) {
                *cell += minutes;
            }
        };
        let place = |list: &[usize], wanted: usize| list.iter().position(|x| *x == wanted);
        let mut rows = vec![group.minutes(); n];
        let mut columns = vec![group.minutes(); m];
        for share in &own {
            let (Some(i), Some(c)) = (place(&jobs, share.job), place(crews, share.crew)) else {
                continue;
            };
            put(i, c, share.minutes);
            // The other half mirrors it, so that all sums are the group's length.
            put(n + c, m + i, share.minutes);
            if let Some(row) = rows.get_mut(i) {
                *row -= share.minutes;
            }
            if let Some(column) = columns.get_mut(c) {
                *column -= share.minutes;
            }
        }
        for (i, rest) in rows.iter().enumerate() {
            put(i, m + i, *rest);
        }
        for (c, rest) in columns.iter().enumerate() {
            put(n + c, c, *rest);
        }
        let mut at = 0;
        while at < group.minutes() {
            let Some(step) = matching(&table) else { break };
            let length = step
                .iter()
                .enumerate()
                .filter_map(|(row, column)| table.get(row)?.get(*column).copied())
                .min()
                .unwrap_or(0);
            if length == 0 {
                break;
            }
            for (row, column) in step.iter().enumerate() {
                if let Some(cell) = table.get_mut(row).and_then(|r| r.get_mut(*column)) {
                    *cell -= length;
                }
                if let (Some(job), Some(crew)) = (jobs.get(row), crews.get(*column)) {
                    pieces.extend(in_hours(group, at, length, *job, *crew));
                }
            }
            at += length;
        }
    }
    joined(pieces)
}

/// A stretch of a group's own minutes as stretches of the plan's.
fn in_hours(group: &Group, from: u32, length: u32, job: usize, crew: usize) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let (mut at, end) = (from, from + length);
    while at < end {
        let Some(hour) = group.hours.get((at / CELL_MIN) as usize) else {
            break;
        };
        let within = at % CELL_MIN;
        let takes = (CELL_MIN - within).min(end - at);
        let start = u32::try_from(*hour).unwrap_or(0) * CELL_MIN + within;
        pieces.push(Piece {
            from_min: start,
            to_min: start + takes,
            crew,
            job,
        });
        at += takes;
    }
    pieces
}

/// For each row a column of its own with something in it.
fn matching(table: &[Vec<u32>]) -> Option<Vec<usize>> {
    fn find(
        table: &[Vec<u32>],
        row: usize,
        seen: &mut [bool],
        taken: &mut Vec<Option<usize>>,
    ) -> bool {
        for column in 0..table.len() {
            let is_open = table
                .get(row)
                .and_then(|r| r.get(column))
                .is_some_and(|v| *v > 0);
            let Some(was_seen) = seen.get_mut(column).filter(|s| is_open && !**s) else {
                continue;
            };
            *was_seen = true;
            let holder = taken.get(column).copied().flatten();
            if holder.is_none_or(|other| find(table, other, seen, taken)) {
                if let Some(slot) = taken.get_mut(column) {
                    *slot = Some(row);
                }
                return true;
            }
        }
        false
    }
    let mut taken: Vec<Option<usize>> = vec![None; table.len()];
    for row in 0..table.len() {
        if !find(table, row, &mut vec![false; table.len()], &mut taken) {
            return None;
        }
    }
    let mut of_row = vec![0; table.len()];
    for (column, row) in taken.iter().enumerate() {
        if let Some(slot) = row.and_then(|r| of_row.get_mut(r)) {
            *slot = column;
        }
    }
    Some(of_row)
}
