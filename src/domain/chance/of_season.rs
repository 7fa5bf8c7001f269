//! The chances of what is still to do in a season.

use super::{Chance, Work, WorkHours, chances, winters};
use crate::domain::climate::weather::Weather;
use crate::domain::outlook::Estimates;
use crate::domain::run_sheet::{RunSheet, SheetJob, Standing};
use crate::domain::season::{Season, Task, WorkTime};
use chrono::{Days, NaiveDate, Weekday};

/// Hours of the day taken where neither orchard nor people name any: common practice, no source.
const USUAL_HOURS: [u32; 2] = [7, 18];
/// Days beyond the latest likely swell that a late winter may still need.
const BEYOND_DAYS: u64 = 30;

/// One spray on one block with its chance.
#[derive(Debug, Clone, PartialEq)]
pub struct JobChance {
    /// The place of the job on the run sheet.
    pub job: usize,
    /// Its chance.
    pub chance: Chance,
}

/// The chance of everything on a run sheet that is not closed, from the hours of past winters on
/// file; empty where none are.
pub fn chances_of(
    season: &Season,
    estimates: &Estimates,
    weather: &Weather,
    sheet: &RunSheet,
    today: NaiveDate,
) -> Vec<JobChance> {
    let jobs: Vec<(usize, &SheetJob)> = sheet
        .jobs
        .iter()
        .enumerate()
        .filter(|(_, j)| j.standing != Standing::Closed && j.last_safe.is_some())
        .collect();
    let mut tasks: Vec<&Task> = Vec::new();
    for (_, job) in &jobs {
        if let Some(task) = season.task(&job.task)
            && !tasks.iter().any(|t| t.mix == task.mix)
        {
            tasks.push(task);
        }
    }
    let latest = estimates.blocks.iter().map(|b| b.swell.p90()).max();
    let until = jobs
        .iter()
        .filter_map(|(_, j)| j.last_safe)
        .chain(latest)
        .max()
        .and_then(|d| d.checked_add_days(Days::new(BEYOND_DAYS)));
    let Some(until) = until.filter(|u| *u >= today) else {
        return Vec::new();
    };
    let found = winters(season, weather, &tasks, (today, until));
    if found.is_empty() {
        return Vec::new();
    }
    let work: Vec<Work> = jobs
        .iter()
        .filter_map(|(_, job)| work_of(season, estimates, &tasks, job))
        .collect();
    if work.len() != jobs.len() {
        return Vec::new();
    }
    let crews = crews(season, sheet);
    chances(&found, &work, &crews, today)
        .into_iter()
        .zip(&jobs)
        .map(|(chance, (job, _))| JobChance { job: *job, chance })
        .collect()
}

fn work_of(
    season: &Season,
    estimates: &Estimates,
    tasks: &[&Task],
    job: &SheetJob,
) -> Option<Work> {
    let task = season.task(&job.task)?;
    let block = season.blocks.iter().position(|b| b.id == job.block)?;
    let last_safe = job.last_safe?;
    // How far this spray's window ends from the middle of swell stays as it is this year, but for
    // what the estimate's own width takes off: a past winter's swell is known.
    let estimate = estimates.of(&job.block)?;
    let guard = season
        .blocks
        .get(block)
        .and_then(|b| b.guard_days)
        .unwrap_or(season.orchard.guard_days);
    let width = (estimate.swell.p50() - estimate.swell.p10()).num_days();
    let days = (last_safe - estimate.swell.p50()).num_days() + width;
    Some(Work {
        minutes: job.minutes.clone(),
        mix: tasks.iter().position(|t| t.mix == task.mix)?,
        block,
        opens: job.opens,
        last_safe,
        days_from_swell: days.min(i64::from(guard) + 60),
    })
}

fn crews(season: &Season, sheet: &RunSheet) -> Vec<WorkHours> {
    let orchard = WorkTime {
        hours: season.orchard.work_hours.or(Some(USUAL_HOURS)),
        days: season.orchard.work_days.clone(),
        away: Vec::new(),
    };
    sheet
        .crews
        .iter()
        .enumerate()
        .map(|(c, crew)| {
            let sprayer = crew.sprayer.as_ref().and_then(|id| season.sprayer(id));
            let person = season.people.get(c);
            // With fewer people than sprayers the last ones stand still.
            let is_driven = season.people.is_empty() || person.is_some();
            let times = [
                Some(&orchard),
                sprayer.map(|s| &s.time),
                person.map(|p| &p.time),
            ];
            let has = |weekday: Weekday, hour: u32| {
                let name = weekday.to_string().to_lowercase();
                is_driven
                    && times.iter().flatten().all(|t| {
                        t.hours.is_none_or(|[from, to]| (from..to).contains(&hour))
                            && (t.days.is_empty() || t.days.contains(&name))
                    })
            };
            let mut week = [[false; 24]; 7];
            for (d, day) in week.iter_mut().enumerate() {
                let weekday = Weekday::try_from(u8::try_from(d).unwrap_or(0));
                for (h, slot) in day.iter_mut().enumerate() {
                    let hour = u32::try_from(h).unwrap_or(0);
                    *slot = weekday.is_ok_and(|w| has(w, hour));
                }
            }
            WorkHours { week }
        })
        .collect()
}
