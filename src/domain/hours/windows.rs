//! Runs of hours that hold a whole job and let it dry, best first.

use std::ops::Range;

use super::air::Air;
use super::drying::Drying;
use super::job::Job;
use super::verdict::{Fit, Grid};

/// A run of hours in which a job can be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// The hours in which nothing forbids it, as places in the air.
    pub hours: Range<usize>,
    /// Whether every hour of it is fit, or some are doubtful.
    pub grade: Fit,
    /// The best hour to begin.
    pub start: usize,
    /// Whole hours the job holds.
    pub job_hours: usize,
    /// How long the last of it takes to dry.
    pub drying: Drying,
    /// Is it likely dry before dark?
    pub dry_before_dark: bool,
    /// Hours of the job that are doubtful.
    pub doubtful_hours: usize,
    /// Words of advice on the job's hours.
    pub advice: usize,
    /// Less is better; see [`find`].
    pub cost: f64,
}

impl Window {
    /// The hours of the job itself, begun at the best hour.
    pub fn job(&self) -> Range<usize> {
        self.start..self.start + self.job_hours
    }

    /// Why it stands where it stands, in plain words.
    pub fn words(&self, air: &Air) -> String {
        let clock = |hour: usize| air.local(hour).format("%H:%M").to_string();
        let mut parts = vec![format!(
            "{} {} to {}",
            air.local(self.hours.start).format("%a %Y-%m-%d"),
            clock(self.hours.start),
            clock(self.hours.end)
        )];
        parts.push(format!("best begun {}", clock(self.start)));
        if self.doubtful_hours > 0 {
            parts.push(format!(
                "{} of {} hours doubtful",
                self.doubtful_hours, self.job_hours
            ));
        }
        parts.push(self.drying.words());
        if !self.dry_before_dark {
            parts.push("not dry before dark".to_owned());
        }
        parts.join("; ")
    }
}

/// Every run that holds the job: first those fit throughout, then those with doubtful hours.
///
/// Within a grade the order is ours: ten points for each doubtful hour, one for each word of
/// advice, one for each hour of drying (24 if it is not seen to dry), four if it is not dry
/// before dark, two if there is no hour to spare, and one for each day ahead, because a
/// forecast fades. Less is better.
pub fn find(grid: &Grid, air: &Air, job: &Job) -> Vec<Window> {
    find_from(grid, air, job, grid.hours().start)
}

/// The same among the hours from one on: what is over is no window.
pub fn find_from(grid: &Grid, air: &Air, job: &Job, from: usize) -> Vec<Window> {
    let whole = job.whole_hours();
    let mut found: Vec<Window> = Vec::new();
    for least in [Fit::Fit, Fit::Doubtful] {
        for run in runs(grid, least) {
            let run = run.start.max(from)..run.end.max(from);
            let known = found.iter().any(|w| w.hours == run);
            if run.len() < whole || known {
                continue;
            }
            // A run with doubtful hours whose best job is fit holds a window found before.
            found.extend(best_start(grid, air, run, whole).filter(|w| w.grade == least));
        }
    }
    rank(&mut found);
    found
}

/// Puts the best first: fit throughout before doubtful, then by cost, then the earlier.
pub fn rank(found: &mut [Window]) {
    found.sort_by(|a, b| {
        b.grade
            .cmp(&a.grade)
            .then(a.cost.total_cmp(&b.cost))
            .then(a.start.cmp(&b.start))
    });
}

/// What is left of a run where only some hours may be used: itself where all of it may, else its
/// pieces that hold the job, each with its own best start.
pub fn within(
    window: &Window,
    grid: &Grid,
    air: &Air,
    job: &Job,
    allowed: &[Range<usize>],
) -> Vec<Window> {
    let hours = &window.hours;
    let inside = |r: &&Range<usize>| r.start <= hours.start && hours.end <= r.end;
    if allowed.iter().any(|r| inside(&r)) {
        return vec![window.clone()];
    }
    let whole = job.whole_hours();
    allowed
        .iter()
        .map(|r| r.start.max(hours.start)..r.end.min(hours.end))
        .filter(|run| run.end >= run.start + whole)
        .filter_map(|run| best_start(grid, air, run, whole))
        .filter(|w| w.grade == window.grade)
        .collect()
}

/// The next window: the earliest that is fit throughout, else the earliest doubtful one.
pub fn next(windows: &[Window]) -> Option<&Window> {
    windows
        .iter()
        .min_by_key(|w| (std::cmp::Reverse(w.grade), w.start))
}

/// The longest run of hours of at least a grade: what to say when no run holds the job.
pub fn longest_run(grid: &Grid, least: Fit) -> Option<Range<usize>> {
    runs(grid, least)
        .into_iter()
        .max_by_key(ExactSizeIterator::len)
}

fn runs(grid: &Grid, least: Fit) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for hour in grid.hours() {
        if grid.fit(hour).is_none_or(|fit| fit < least) {
            continue;
        }
        match runs.last_mut() {
            Some(run) if run.end == hour => run.end += 1,
            _ => runs.push(hour..hour + 1),
        }
    }
    runs
}

fn best_start(grid: &Grid, air: &Air, run: Range<usize>, whole: usize) -> Option<Window> {
    (run.start..=run.end.checked_sub(whole)?)
        .map(|start| window(grid, air, run.clone(), start, whole))
        .min_by(|a, b| a.cost.total_cmp(&b.cost))
}

/// A job begun at an hour of a run, with what speaks for and against it.
pub(super) fn window(
    grid: &Grid,
    air: &Air,
    run: Range<usize>,
    start: usize,
    whole: usize,
) -> Window {
    let job = start..start + whole;
    let grade = job
        .clone()
        .filter_map(|h| grid.fit(h))
        .min()
        .unwrap_or(Fit::Unfit);
    let doubtful_hours = job
        .clone()
        .filter(|&h| grid.fit(h) == Some(Fit::Doubtful))
        .count();
    let advice = job.clone().map(|h| grid.advice_count(h)).sum();
    let drying = air.drying_from(job.end);
    let dry_before_dark = drying.likely_h.is_some_and(|h| {
        let last = job.end + (h.ceil() as usize).saturating_sub(1);
        air.sun_deg(last).is_some_and(|sun| sun > 0.0)
    });
    let days_ahead = (start - grid.hours().start.min(start)) / 24;
    let cost = 10.0 * doubtful_hours as f64
        + advice as f64
        + drying.likely_h.unwrap_or(24.0).min(24.0)
        + if dry_before_dark { 0.0 } else { 4.0 }
        + if run.len() > whole { 0.0 } else { 2.0 }
        + days_ahead as f64;
    Window {
        hours: run,
        grade,
        start,
        job_hours: whole,
        drying,
        dry_before_dark,
        doubtful_hours,
        advice,
        cost,
    }
}

#[cfg(test)]
mod tests {
    use super::super::limits::Limits;
    use super::super::testing::{air_of, copper, fair, season_with, spray};
    use super::*;
    use crate::domain::climate::hourly_series::Hour;

    fn grid_of(hours: Vec<Hour>) -> (Air, Grid) {
        let season = season_with(vec![copper("copper")]);
        let air = air_of(hours);
        let grid = Grid::new(
            &air,
            Limits::of(&season, &spray("t", &["copper"])),
            0..air.len(),
        );
        (air, grid)
    }

    fn job(hours: f64) -> Job {
        Job {
            hours,
            joined_h: hours,
            spraying_h: Some(hours),
            tanks: Some(1),
        }
    }

    #[test]
    fn each_fair_day_gives_one_window_and_a_wet_one_none() {
        let mut hours = vec![fair(); 6 * 24];
        for hour in &mut hours[2 * 24 + 6..2 * 24 + 18] {
            hour.rain_mm = Some(1.0);
        }
        let (air, grid) = grid_of(hours);
        let windows = find(&grid, &air, &job(2.0));
        let fit: Vec<String> = windows
            .iter()
            .filter(|w| w.grade == Fit::Fit)
            .map(|w| air.local(w.start).date().to_string())
            .collect();
        // The day before the rain is lost to it too, and the day after is too near it.
        for lost in ["2026-02-10", "2026-02-11"] {
            assert!(!fit.contains(&lost.to_owned()), "{fit:?}");
        }
        assert!(fit.contains(&"2026-02-13".to_owned()), "{fit:?}");
    }

    #[test]
    fn a_window_holds_the_job_and_is_inside_the_run() {
        let (air, grid) = grid_of(vec![fair(); 5 * 24]);
        for whole in [1.0, 3.0, 7.0] {
            let windows = find(&grid, &air, &job(whole));
            assert!(!windows.is_empty(), "{whole}");
            for w in &windows {
                assert!(w.hours.start <= w.start && w.job().end <= w.hours.end);
                assert!(w.job().all(|h| grid.fit(h) >= Some(w.grade)));
            }
        }
        assert!(find(&grid, &air, &job(20.0)).is_empty());
        assert!(longest_run(&grid, Fit::Fit).unwrap().len() < 20);
    }

    #[test]
    fn fit_goes_before_doubtful_and_the_next_is_the_earliest_fit() {
        let mut hours = vec![fair(); 6 * 24];
        // Calm at noon on the second day: doubtful in the middle, fit at both ends.
        for hour in &mut hours[24 + 9..24 + 15] {
            hour.wind_ms = Some(0.5);
        }
        let (air, grid) = grid_of(hours);
        let windows = find(&grid, &air, &job(4.0));
        let grades: Vec<Fit> = windows.iter().map(|w| w.grade).collect();
        assert!(grades.is_sorted_by(|a, b| a >= b), "{grades:?}");
        assert!(grades.contains(&Fit::Doubtful));
        let first = next(&windows).unwrap();
        assert_eq!(first.grade, Fit::Fit);
        assert!(
            windows
                .iter()
                .all(|w| w.grade < Fit::Fit || w.start >= first.start)
        );
        assert!(
            first.words(&air).contains("best begun"),
            "{}",
            first.words(&air)
        );
    }

    #[test]
    fn a_morning_is_better_than_an_evening_that_dries_in_the_dark() {
        let (air, grid) = grid_of(vec![fair(); 5 * 24]);
        let windows = find(&grid, &air, &job(1.0));
        let clock = air.local(windows[0].start).format("%H").to_string();
        assert!(windows[0].dry_before_dark);
        assert!(("07"..="14").contains(&clock.as_str()), "{clock}");
    }
}
