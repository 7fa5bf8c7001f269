//! The last safe start: a job of several days begins so that it ends by the last safe day.

use crate::domain::hours::job::Job;
use crate::domain::hours::limits::OwnTime;
use crate::domain::season::{Block, Season};
use crate::domain::uses::Spray;
use chrono::{Datelike, NaiveDate};

/// Hours of a day's work where the owner gave none: common practice, no source.
const DAY_H: u32 = 8;

/// The day by which a job must begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LastStart {
    /// The day.
    pub day: NaiveDate,
    /// Days of work it takes.
    pub work_days: u32,
}

/// When a spray must begin to be over by its last safe day, by its hours of work and the hours and
/// days the owner works; none where its length is not known or a day does.
pub fn last_start(season: &Season, spray: &Spray<'_>, last_safe: NaiveDate) -> Option<LastStart> {
    let blocks: Vec<&Block> = spray
        .blocks
        .iter()
        .filter_map(|ix| season.blocks.get(*ix))
        .collect();
    let job = Job::of_blocks(season, spray.task, &blocks, spray.sprayer);
    if job.is_assumed() {
        return None;
    }
    let own = OwnTime::of(&season.orchard);
    let day_h = own.hours.map_or(
        DAY_H,
        |(from, to)| {
            if from < to { to - from } else { 24 - from + to }
        },
    );
    of_job(job.hours, day_h, last_safe, |day| {
        own.holds_day(day.weekday())
    })
}

fn of_job(
    hours: f64,
    day_h: u32,
    last_safe: NaiveDate,
    works_on: impl Fn(NaiveDate) -> bool,
) -> Option<LastStart> {
    let work_days = ((hours - 1e-9) / f64::from(day_h.max(1)))
        .ceil()
        .clamp(1.0, 366.0) as u32;
    if work_days < 2 {
        return None;
    }
    let mut left = work_days;
    let mut day = last_safe;
    // A week holds a working day at least, whatever the file says.
    for _ in 0..8 * work_days {
        if works_on(day) {
            left -= 1;
        }
        if left == 0 {
            return Some(LastStart { day, work_days });
        }
        day = day.pred_opt()?;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::Weekday;

    fn day(n: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, 1, n).unwrap()
    }

    #[test]
    fn a_job_of_a_day_has_no_start_of_its_own_and_a_longer_one_counts_back() {
        let always = |_| true;
        assert_eq!(of_job(8.0, 8, day(21), always), None);
        for (hours, work_days, by) in [(8.1, 2, 20), (16.0, 2, 20), (16.1, 3, 19)] {
            let start = of_job(hours, 8, day(21), always).unwrap();
            assert_eq!(
                (start.work_days, start.day),
                (work_days, day(by)),
                "{hours}"
            );
        }
    }

    #[test]
    fn days_off_do_not_count() {
        // The 21st of January 2027 is a Thursday; three days without Sunday reach back to Tuesday,
        // five to Saturday.
        let not_sunday = |d: NaiveDate| d.weekday() != Weekday::Sun;
        assert_eq!(of_job(20.0, 8, day(21), not_sunday).unwrap().day, day(19));
        assert_eq!(of_job(40.0, 8, day(21), not_sunday).unwrap().day, day(16));
        assert_eq!(of_job(20.0, 8, day(21), |_| false), None);
    }
}
