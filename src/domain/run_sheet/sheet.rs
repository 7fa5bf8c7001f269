//! The run sheet of a season: its open sprays, block by block, put into the fit hours ahead.

use super::crews::{self, SheetCrew};
use super::problem::{CELL_MIN, HourSet, Job, Piece, Problem};
use super::span::{Span, span_of};
use super::{Plan, plan};
use crate::domain::hours::fits::Fits;
use crate::domain::hours::job;
use crate::domain::hours::verdict::Fit;
use crate::domain::mix::volume;
use crate::domain::outlook::Estimates;
use crate::domain::records;
use crate::domain::rules::{Facts, Spray};
use crate::domain::season::{Block, BlockId, MixPart, Season, Sprayer, Task, TaskId, TaskKind};
use chrono::{NaiveDate, NaiveDateTime, TimeDelta, Timelike};

/// What is asked of the run sheet beside the plan itself.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ask {
    /// Are doubtful hours taken too?
    pub doubtful: bool,
    /// May a spray go out with another sprayer than the one it names?
    pub any_sprayer: bool,
    /// Drivers beside those of the season.
    pub extra_drivers: usize,
    /// Hours earlier than the people named begin.
    pub earlier_h: u32,
    /// These sprays alone, whole or on one block; what else is planned keeps its hours.
    pub only: Option<Vec<(TaskId, Option<BlockId>)>>,
}

impl Ask {
    /// Is a spray on a block asked for?
    fn wants(&self, task: &TaskId, block: &BlockId) -> bool {
        self.only.as_ref().is_none_or(|only| {
            only.iter()
                .any(|(t, b)| t == task && b.as_ref().is_none_or(|b| b == block))
        })
    }
}

/// One spray on one block.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetJob {
    /// The task.
    pub task: TaskId,
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// What is sprayed, in the materials' names.
    pub mix: String,
    /// How long it takes with each crew.
    pub minutes: Vec<Option<u32>>,
    /// Was the length assumed for want of a calibration, a size or a refill time?
    pub is_assumed: bool,
    /// Spray for it, L.
    pub litres: Option<f64>,
    /// The first day of its window.
    pub opens: NaiveDate,
    /// The last safe day, where an estimate tells it.
    pub last_safe: Option<NaiveDate>,
    /// How it stands on the sheet.
    pub standing: Standing,
}

impl SheetJob {
    /// How long it takes with the quickest crew.
    pub fn shortest_min(&self) -> u32 {
        self.minutes.iter().flatten().copied().min().unwrap_or(0)
    }
}

/// How a job stands on the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Its last safe day has passed.
    Closed,
    /// It cannot be done by its last safe day in the hours there are.
    TooLate,
    /// It is on the sheet.
    Planned,
    /// Not on the sheet, and time is left after the hours that are known.
    Waits,
    /// Its window opens after the hours that are known.
    NotYet,
}

/// A stretch of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stint {
    /// Which job, by its place.
    pub job: usize,
    /// Which crew, by its place.
    pub crew: usize,
    /// Begins, local time.
    pub from: NaiveDateTime,
    /// Ends, local time.
    pub to: NaiveDateTime,
}

/// The run sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct RunSheet {
    /// The moment it starts from, local time.
    pub from: NaiveDateTime,
    /// The last moment whose weather is known.
    pub to: NaiveDateTime,
    /// The crews.
    pub crews: Vec<SheetCrew>,
    /// Every spray on every block that is still to do.
    pub jobs: Vec<SheetJob>,
    /// The work, in order.
    pub stints: Vec<Stint>,
    /// Minutes short of doing all that must be done within the hours known.
    pub short_min: u32,
    /// Days of the sheet with the fit minutes of each crew.
    pub days: Vec<(NaiveDate, Vec<u32>)>,
}

impl RunSheet {
    /// Jobs that stand so.
    pub fn standing(&self, standing: Standing) -> impl Iterator<Item = &SheetJob> {
        self.jobs.iter().filter(move |j| j.standing == standing)
    }

    /// The stints of a job.
    pub fn of(&self, job: usize) -> impl Iterator<Item = &Stint> {
        self.stints.iter().filter(move |s| s.job == job)
    }
}

struct Made {
    job: SheetJob,
    span: Span,
    hours: HourSet,
    mix: usize,
    round: usize,
    value: f64,
}

/// The run sheet from now on; `None` where no hour ahead is known.
pub fn run_sheet(
    season: &Season,
    estimates: &Estimates,
    fits: &Fits,
    today: NaiveDate,
    ask: &Ask,
) -> Option<RunSheet> {
    let air = fits.air();
    let (now, end) = (fits.now(), air.len());
    if now >= end {
        return None;
    }
    let facts = Facts::new(season, estimates, today).with_fits(fits);
    let local: Vec<NaiveDateTime> = (now..end).map(|h| air.local(h)).collect();
    let last_day = local.last().map(|t| t.date())?;
    let sprayers = crews::sprayers(season);
    let reentries = records::reentries(season, *local.first()?);
    let mut mixes: Vec<(&[MixPart], Option<f64>)> = Vec::new();
    let mut made: Vec<Made> = Vec::new();
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let Some(fit) = fits.of(&spray.task.id) else {
            continue;
        };
        let key = (spray.task.mix.as_slice(), spray.task.water_ph);
        let mix = mixes.iter().position(|m| *m == key).unwrap_or_else(|| {
            mixes.push(key);
            mixes.len() - 1
        });
        for ix in &spray.blocks {
            let Some(block) = season.blocks.get(*ix) else {
                continue;
            };
            if !ask.wants(&spray.task.id, &block.id) {
                continue;
            }
            let span = span_of(&facts, spray, *ix);
            let closed = keep_out(&reentries, &block.id);
            let hours = HourSet::of(local.len(), |h| {
                let day = local.get(h).map(|t| t.date());
                let verdict = fit.grid.fit(now + h);
                let is_fit =
                    verdict == Some(Fit::Fit) || (ask.doubtful && verdict == Some(Fit::Doubtful));
                let is_closed = closed.is_some_and(|c| local.get(h).is_none_or(|t| *t < c));
                is_fit && !is_closed && day.is_some_and(|d| span.has(d))
            });
            made.push(Made {
                job: job_of(season, spray, block, &sprayers, ask, &span),
                span,
                hours,
                mix,
                round: 0,
                value: 1.0,
            });
        }
    }
    in_rounds(&mut made);
    let trees: f64 = season.blocks.iter().map(|b| f64::from(b.trees)).sum();
    for m in &mut made {
        let of = season
            .block(&m.job.block)
            .map_or(0.0, |b| f64::from(b.trees));
        let is_due = m.span.last_safe.is_some_and(|d| d <= last_day);
        // What can wait is left out before what cannot; of equals the one with fewer trees.
        m.value = if is_due { 1.0 } else { 0.01 } * (1.0 + 0.1 * of / trees.max(1.0));
    }
    let mut crews = crews::pair(season, &sprayers, &local, ask);
    if ask.only.is_some() {
        hold(season, ask, &mut crews, &local);
    }
    let mut sheet = RunSheet {
        from: local.first().copied()?,
        to: local.last().copied()? + TimeDelta::hours(1),
        crews: Vec::new(),
        jobs: Vec::new(),
        stints: Vec::new(),
        short_min: 0,
        days: fit_days(&made, &crews, &local),
    };
    let rounds = made.iter().map(|m| m.round).max().map_or(0, |r| r + 1);
    for round in 0..rounds {
        let own: Vec<usize> = (0..made.len())
            .filter(|i| made.get(*i).is_some_and(|m| m.round == round))
            .collect();
        let (plan, pieces) = plan_round(&made, &own, &crews);
        sheet.short_min += due_short(&made, &own, &plan, last_day);
        for piece in &pieces {
            sheet.stints.extend(stint(piece, &local));
            take_hours(&mut crews, piece);
        }
        let ends: Vec<(usize, NaiveDate)> = pieces
            .iter()
            .filter_map(|p| {
                Some((
                    p.job,
                    local
                        .get((p.to_min / CELL_MIN).saturating_sub(1) as usize)?
                        .date(),
                ))
            })
            .collect();
        for i in own {
            let done = ends.iter().filter(|e| e.0 == i).map(|e| e.1).max();
            let standing = standing(made.get(i), done.is_some(), today, last_day);
            if let Some(m) = made.get_mut(i) {
                m.job.standing = standing;
            }
            after_it(&facts, &mut made, i, done, &local);
        }
    }
    sheet.stints.sort_by_key(|s| (s.from, s.crew));
    sheet.crews = crews;
    sheet.jobs = made.into_iter().map(|m| m.job).collect();
    Some(sheet)
}

fn standing(made: Option<&Made>, is_done: bool, today: NaiveDate, last_day: NaiveDate) -> Standing {
    let span = made.map(|m| m.span);
    let last = span.and_then(|s| s.last_safe);
    if is_done {
        Standing::Planned
    } else if last.is_some_and(|l| l < today) {
        Standing::Closed
    } else if last.is_some_and(|l| l <= last_day) {
        Standing::TooLate
    } else if span.is_some_and(|s| s.opens > last_day) {
        Standing::NotYet
    } else {
        Standing::Waits
    }
}

/// Until when nobody may go into a block, where an hour says so.
fn keep_out(reentries: &[records::ReentryState], block: &BlockId) -> Option<NaiveDateTime> {
    let own = reentries.iter().filter(|r| r.blocks.contains(block));
    own.filter_map(|r| match r.standing {
        records::Standing::Runs { until, .. } => Some(until),
        _ => None,
    })
    .max()
}

/// What is not asked for keeps the hours it is planned in: they are no longer free.
fn hold(season: &Season, ask: &Ask, crews: &mut [SheetCrew], local: &[NaiveDateTime]) {
    let stays = |t: &&Task| {
        t.kind == TaskKind::Spray
            && t.state.is_open()
            && season
                .open_blocks(t)
                .iter()
                .any(|b| !ask.wants(&t.id, &b.id))
    };
    for task in season.tasks.iter().filter(stays) {
        let Some(start) = task.hour.and_then(|h| task.date.and_hms_opt(h, 0, 0)) else {
            continue;
        };
        let length = job::Job::of(season, task).whole_hours() as i64;
        let end = start + TimeDelta::hours(length);
        let own = job::sprayer(season, task).map(|s| &s.id);
        for crew in crews
            .iter_mut()
            .filter(|c| own.is_none() || c.sprayer.as_ref() == own)
        {
            for (hour, at) in local.iter().enumerate() {
                if (start..end).contains(at) {
                    crew.crew.free.set(hour, false);
                }
            }
        }
    }
}

/// Several sprays of one block follow on each other: by their last safe day, one a round.
fn in_rounds(made: &mut [Made]) {
    let mut order: Vec<usize> = (0..made.len()).collect();
    order.sort_by_key(|i| {
        made.get(*i).map(|m| {
            (
                m.span.last_safe.unwrap_or(NaiveDate::MAX),
                m.span.opens,
                m.job.task.clone(),
            )
        })
    });
    let mut seen: Vec<BlockId> = Vec::new();
    for i in order {
        if let Some(m) = made.get_mut(i) {
            m.round = seen.iter().filter(|b| **b == m.job.block).count();
            seen.push(m.job.block.clone());
        }
    }
}

fn plan_round(made: &[Made], own: &[usize], crews: &[SheetCrew]) -> (Plan, Vec<Piece>) {
    let problem = Problem {
        crews: crews.iter().map(|c| c.crew.clone()).collect(),
        jobs: own
            .iter()
            .filter_map(|i| made.get(*i))
            .map(|m| Job {
                minutes: m.job.minutes.clone(),
                hours: m.hours.clone(),
                value: m.value,
                mix: m.mix,
                last_day: m.span.last_safe.map_or(i64::MAX, |d| {
                    d.signed_duration_since(NaiveDate::default()).num_days()
                }),
            })
            .collect(),
    };
    let plan = plan(&problem);
    let pieces = plan
        .pieces
        .iter()
        .filter_map(|p| {
            Some(Piece {
                job: *own.get(p.job)?,
                ..*p
            })
        })
        .collect();
    (plan, pieces)
}

/// Minutes short for what must be done within the hours known: what is left out, less what the
/// plan could still give it.
fn due_short(made: &[Made], own: &[usize], plan: &Plan, last_day: NaiveDate) -> u32 {
    let of = |place: &usize| -> Option<u32> {
        let m = made.get(*own.get(*place)?)?;
        let is_due = m.span.last_safe.is_some_and(|d| d <= last_day);
        is_due.then(|| m.job.shortest_min())
    };
    let left_out: u32 = plan.dropped.iter().filter_map(of).sum();
    left_out.min(plan.short_min.max(u32::from(left_out > 0)))
}

fn stint(piece: &Piece, local: &[NaiveDateTime]) -> Option<Stint> {
    let at = |min: u32| {
        let hour = local.get((min / CELL_MIN) as usize)?;
        Some(*hour + TimeDelta::minutes(i64::from(min % CELL_MIN)))
    };
    let last = piece.to_min.checked_sub(1)?;
    Some(Stint {
        job: piece.job,
        crew: piece.crew,
        from: at(piece.from_min)?,
        to: at(last)? + TimeDelta::minutes(1),
    })
}

/// Hours that one round took are no longer there for the next.
fn take_hours(crews: &mut [SheetCrew], piece: &Piece) {
    for hour in (piece.from_min / CELL_MIN)..=(piece.to_min.saturating_sub(1) / CELL_MIN) {
        if let Some(crew) = crews.get_mut(piece.crew) {
            crew.crew.free.set(hour as usize, false);
        }
    }
}

/// Later sprays of the same block keep their distance.
fn after_it(
    facts: &Facts<'_>,
    made: &mut [Made],
    done: usize,
    day: Option<NaiveDate>,
    local: &[NaiveDateTime],
) {
    let (Some(day), Some(first)) = (day, made.get(done)) else {
        return;
    };
    let (task, block, round) = (first.job.task.clone(), first.job.block.clone(), first.round);
    for later in made
        .iter_mut()
        .filter(|m| m.job.block == block && m.round > round)
    {
        let wait = super::span::wait_days(facts, &task, &later.job.task);
        let opens = day.checked_add_signed(TimeDelta::days(wait)).unwrap_or(day);
        later.span.opens = later.span.opens.max(opens);
        later.job.opens = later.span.opens;
        for (hour, time) in local.iter().enumerate() {
            if time.date() < opens {
                later.hours.set(hour, false);
            }
        }
    }
}

fn fit_days(
    made: &[Made],
    crews: &[SheetCrew],
    local: &[NaiveDateTime],
) -> Vec<(NaiveDate, Vec<u32>)> {
    let mut days: Vec<(NaiveDate, Vec<u32>)> = Vec::new();
    for (hour, time) in local.iter().enumerate() {
        if days.last().is_none_or(|d| d.0 != time.date()) {
            days.push((time.date(), vec![0; crews.len()]));
        }
        let Some((_, minutes)) = days.last_mut() else {
            continue;
        };
        for (c, crew) in crews.iter().enumerate() {
            let is_fit = crew.crew.free.has(hour)
                && made.iter().any(|m| {
                    m.hours.has(hour) && m.job.minutes.get(c).copied().flatten().is_some()
                });
            if let Some(m) = minutes.get_mut(c).filter(|_| is_fit) {
                *m += CELL_MIN;
            }
        }
    }
    days
}

fn job_of(
    season: &Season,
    spray: &Spray<'_>,
    block: &Block,
    sprayers: &[Option<&Sprayer>],
    ask: &Ask,
    span: &Span,
) -> SheetJob {
    let task = spray.task;
    let named = task.sprayer.as_ref().and_then(|id| season.sprayer(id));
    let may = |sprayer: Option<&Sprayer>| match (named, sprayer) {
        (Some(own), Some(other)) if !ask.any_sprayer => own.id == other.id,
        _ => true,
    };
    let lengths: Vec<Option<(u32, bool)>> = sprayers
        .iter()
        .map(|s| may(*s).then(|| length_min(season, spray, block, *s)))
        .collect();
    let mixed: Vec<&str> = spray.parts.iter().map(|p| p.1.name.as_str()).collect();
    SheetJob {
        task: task.id.clone(),
        block: block.id.clone(),
        name: block.name.clone(),
        mix: mixed.join(" + "),
        minutes: lengths.iter().map(|l| l.map(|l| l.0)).collect(),
        is_assumed: lengths.iter().flatten().any(|l| l.1),
        litres: volume::of_part(
            season,
            &[block],
            task,
            named.or_else(|| sprayers.first().copied().flatten()),
        )
        .total_l,
        opens: span.opens,
        last_safe: span.last_safe,
        standing: Standing::Waits,
    }
}

/// Minutes of a block: spraying, and its share of the tanks, which go on from block to block.
fn length_min(
    season: &Season,
    spray: &Spray<'_>,
    block: &Block,
    sprayer: Option<&Sprayer>,
) -> (u32, bool) {
    let one = job::Job::of_blocks(season, spray.task, &[block], sprayer);
    let hours = if one.is_assumed() {
        // The assumed length is of the whole task.
        let trees: u32 = season.blocks_of(spray.task).map(|b| b.trees).sum();
        let share = f64::from(block.trees.max(1)) / f64::from(trees.max(1));
        one.hours * share.min(1.0)
    } else {
        one.joined_h
    };
    let minutes = (hours * 60.0 - 1e-6).ceil().clamp(1.0, 60_000.0) as u32;
    (minutes, one.is_assumed())
}

/// The hour of the day a moment lies in, for a task's own field.
pub fn hour_of(at: NaiveDateTime) -> u32 {
    at.hour()
}
