//! The chance to finish: the hours of whole past winters replayed with the work that is still to
//! do, as it would be done, hour by hour and without knowing what comes. A winter brings its own
//! hours and its own swell, so that early springs and their hours go together.

mod of_season;
mod winters;

pub use of_season::{JobChance, chances_of};
pub use winters::{Winter, winters};

use super::run_sheet::{Crew, HourSet, Job, Order, Problem, hour_by_hour};
use chrono::{Datelike, Days, NaiveDate};

/// Work to replay: a spray on a block.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// How long each crew takes; `None` for one that cannot do it.
    pub minutes: Vec<Option<u32>>,
    /// Which of the winter's kinds of fit hours it wants, by place.
    pub mix: usize,
    /// Which of the winter's blocks it is on, by place.
    pub block: usize,
    /// The first day of its window.
    pub opens: NaiveDate,
    /// The last safe day as it is now known: what is planned by.
    pub last_safe: NaiveDate,
    /// Days between swell and the end of the window: guard days (negative), or days past swell.
    pub days_from_swell: i64,
}

/// How often a piece of work gets done.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Chance {
    /// Winters in which it was done in time.
    pub done: usize,
    /// Winters replayed.
    pub of: usize,
    /// The last day to begin all of the work with nine chances in ten for this piece; `None`
    /// where not even today gives them.
    pub begin_by: Option<NaiveDate>,
    /// Winters in which, its first fit hours let go by, others still came in time.
    pub again: usize,
}

impl Chance {
    /// The share of winters; `None` where none are known.
    pub fn share(&self) -> Option<f64> {
        (self.of > 0).then(|| self.done as f64 / self.of as f64)
    }

    /// `34 of 40 past winters`.
    pub fn words(&self) -> String {
        match self.of {
            0 => "no hours of past winters are on file".to_owned(),
            1 => format!("{} of 1 past winter", self.done),
            of => format!("{} of {of} past winters", self.done),
        }
    }
}

/// Days of the year on which the work is tried to be begun: today, then a few later ones.
const BEGINS: u64 = 8;

/// Replays the work in every winter from `today` (a day of this season) on.
pub fn chances(
    winters: &[Winter],
    work: &[Work],
    crews: &[WorkHours],
    today: NaiveDate,
) -> Vec<Chance> {
    let mut chances = vec![
        Chance {
            of: winters.len(),
            ..Chance::default()
        };
        work.len()
    ];
    let Some(last) = work.iter().map(|w| w.last_safe).max() else {
        return chances;
    };
    let span = u64::try_from((last - today).num_days().max(0)).unwrap_or(0);
    let step = (span / BEGINS).max(1);
    let mut day = today;
    while day <= last {
        let mut done = vec![0usize; work.len()];
        for winter in winters {
            for (place, in_time) in replay(winter, work, crews, day).into_iter().enumerate() {
                if let Some(count) = done.get_mut(place).filter(|_| in_time) {
                    *count += 1;
                }
            }
        }
        for (chance, count) in chances.iter_mut().zip(&done) {
            if day == today {
                chance.done = *count;
            }
            // Nine in ten, in whole winters.
            if chance.of > 0 && *count * 10 >= chance.of * 9 {
                chance.begin_by = Some(day);
            }
        }
        let Some(next) = day.checked_add_days(Days::new(step)) else {
            break;
        };
        day = next;
    }
    for winter in winters {
        for (place, again) in again(winter, work, today).into_iter().enumerate() {
            if let Some(chance) = chances.get_mut(place).filter(|_| again) {
                chance.again += 1;
            }
        }
    }
    chances
}

/// When a crew works: hours of the day for each day of the week, from Monday.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkHours {
    /// `[weekday][hour]`.
    pub week: [[bool; 24]; 7],
}

impl WorkHours {
    /// The same hours every day of the week.
    pub fn daily(from: u32, to: u32) -> Self {
        let mut day = [false; 24];
        for (hour, is_in) in day.iter_mut().enumerate() {
            *is_in = (from as usize..to as usize).contains(&hour);
        }
        Self { week: [day; 7] }
    }

    fn has(&self, day: NaiveDate, hour: usize) -> bool {
        let weekday = day.weekday().num_days_from_monday() as usize;
        self.week.get(weekday).and_then(|d| d.get(hour)) == Some(&true)
    }
}

/// The days a piece of work may be done in a winter, as places among its days.
fn window(winter: &Winter, work: &Work, from: NaiveDate) -> (usize, usize) {
    let place = |day: NaiveDate| usize::try_from((day - winter.first).num_days()).unwrap_or(0);
    let opens = place(work.opens.max(from));
    let ends = winter
        .swell
        .get(work.block)
        .copied()
        .flatten()
        .and_then(|swell| swell.checked_add_signed(chrono::TimeDelta::days(work.days_from_swell)))
        .map_or(0, |d| place(d.max(winter.first)) + 1);
    (opens, ends)
}

/// Which of the work is done in time in one winter, begun on a day.
pub fn replay(winter: &Winter, work: &[Work], crews: &[WorkHours], from: NaiveDate) -> Vec<bool> {
    let hours = winter.days * 24;
    let first = usize::try_from((from - winter.first).num_days()).unwrap_or(0) * 24;
    let length = hours.saturating_sub(first);
    let day_of = |hour: usize| {
        winter
            .first
            .checked_add_days(Days::new(((first + hour) / 24) as u64))
    };
    let problem = Problem {
        crews: crews
            .iter()
            .map(|crew| Crew {
                free: HourSet::of(length, |h| {
                    day_of(h).is_some_and(|d| crew.has(d, (first + h) % 24))
                }),
            })
            .collect(),
        jobs: work
            .iter()
            .map(|w| {
                let (opens, ends) = window(winter, w, from);
                Job {
                    minutes: w.minutes.clone(),
                    hours: HourSet::of(length, |h| {
                        let hour = first + h;
                        (opens..ends).contains(&(hour / 24)) && winter.is_fit(w.mix, hour)
                    }),
                    value: 1.0,
                    mix: w.mix,
                    // What is planned by is what is known now, not how that winter ended.
                    last_day: (w.last_safe - winter.first).num_days(),
                }
            })
            .collect(),
    };
    let all: Vec<usize> = (0..work.len()).collect();
    let (_, unfinished) = hour_by_hour(&problem, &all, Order::EarliestDue);
    (0..work.len()).map(|w| !unfinished.contains(&w)).collect()
}

/// Whether, the first stretch of fit hours let go by, enough others come in time.
fn again(winter: &Winter, work: &[Work], today: NaiveDate) -> Vec<bool> {
    work.iter()
        .map(|w| {
            let (opens, ends) = window(winter, w, today);
            let wants = w
                .minutes
                .iter()
                .flatten()
                .min()
                .map_or(1, |m| m.div_ceil(60).max(1));
            let mut left = wants;
            let mut stretches = 0;
            let mut was_fit = false;
            for hour in opens * 24..ends * 24 {
                let is_fit = winter.is_fit(w.mix, hour);
                if is_fit && !was_fit {
                    stretches += 1;
                }
                was_fit = is_fit;
                if is_fit && stretches > 1 {
                    left = left.saturating_sub(1);
                }
            }
            left == 0
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// A winter of twenty days whose fit hours are 10 to 14 on some days.
    fn winter(fit: &[usize], swell: usize) -> Winter {
        let first = day("2027-02-01");
        Winter {
            year: 2000,
            first,
            days: 20,
            swell: vec![first.checked_add_days(Days::new(swell as u64))],
            fit: vec![
                (0..20 * 24)
                    .map(|h| fit.contains(&(h / 24)) && (10..14).contains(&(h % 24)))
                    .collect(),
            ],
        }
    }

    fn work(minutes: u32) -> Work {
        Work {
            minutes: vec![Some(minutes)],
            mix: 0,
            block: 0,
            opens: day("2027-02-01"),
            last_safe: day("2027-02-12"),
            days_from_swell: -3,
        }
    }

    #[test]
    fn a_winter_counts_where_its_own_hours_come_before_its_own_swell() {
        let crews = [WorkHours::daily(7, 17)];
        let winters = [
            // Four fit hours on day 2, in time.
            winter(&[2], 15),
            // Fit hours only after swell.
            winter(&[14], 10),
            // Two short days that together are enough.
            winter(&[3, 5], 12),
            // An early spring: swell on day 4, its window ends with day 1.
            winter(&[2], 4),
        ];
        let found = chances(&winters, &[work(240)], &crews, day("2027-02-01"));
        assert_eq!((found[0].done, found[0].of), (2, 4));
        assert_eq!(found[0].words(), "2 of 4 past winters");
        assert_eq!(found[0].begin_by, None);
        // Five hours need two days.
        let found = chances(&winters, &[work(300)], &crews, day("2027-02-01"));
        assert_eq!(found[0].done, 1);
        assert_eq!(found[0].again, 0);
    }

    #[test]
    fn the_last_day_to_begin_is_the_last_with_nine_in_ten() {
        let crews = [WorkHours::daily(7, 17)];
        let winters: Vec<Winter> = (0..10).map(|_| winter(&[2, 8], 15)).collect();
        let found = chances(&winters, &[work(240)], &crews, day("2027-02-01"));
        // Fit on 3 and 9 February; the window ends with the 13th.
        assert_eq!(found[0].begin_by, Some(day("2027-02-09")));
        assert_eq!(found[0].again, 10);
        let late = chances(&winters, &[work(240)], &crews, day("2027-02-10"));
        assert_eq!((late[0].done, late[0].begin_by), (0, None));
    }

    #[test]
    fn without_winters_nothing_is_said() {
        let found = chances(
            &[],
            &[work(60)],
            &[WorkHours::daily(7, 17)],
            day("2027-02-01"),
        );
        assert_eq!(found[0].share(), None);
        assert!(found[0].words().contains("no hours"));
    }
}
