//! The figures in the program judged: every date answered by the very path that answers a grower.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rayon::prelude::*;

use super::{Answer, Observation, SeriesName, Wanted};
use crate::domain::climate::daily::DailySeries;
use crate::domain::phenology::climatology::Climatology;
use crate::domain::phenology::dormant_year::{DormantYear, SOLSTICE};
use crate::domain::phenology::estimate::{ModelChoice, Question, StageSeen, stages_on};
use crate::domain::phenology::normals::MonthlyNormals;
use crate::domain::phenology::species::Species;
use crate::domain::phenology::stage::Stage;

/// A place of the hindcast: name, latitude in degrees, temperatures.
pub type PlaceInput = (String, f64, DailySeries);

/// Whose path is walked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Walker {
    /// The owner's: dates of the same series in other springs are own dates.
    #[default]
    Owner,
    /// The newcomer's: no own dates.
    Newcomer,
    /// A newcomer who has no weather file either, only monthly normals of the place.
    WithoutWeather,
}

/// Leaves are down so many days before the shortest day (mid November), common practice, no source.
const LEAF_DROP_BEFORE_SOLSTICE: usize = 36;
/// Day of the dormant year by which the whole season is known (mid June in the north).
const SEASON_KNOWN: usize = 284;

/// Answers every wanted date with the carried fits; `None` where the species or stage is not known
/// or its place has no temperatures. A place's weather is taken only up to each issue day, and only
/// earlier springs lend theirs.
pub fn answer_shipped(
    places: &[PlaceInput],
    observations: &[Observation],
    wanted: &[Wanted],
    walker: Walker,
    done: &(dyn Fn(f64) + Sync),
) -> Vec<Option<Answer>> {
    let named: BTreeSet<String> = wanted.iter().map(|w| lower(&w.series.site)).collect();
    let climates: BTreeMap<String, (Climatology, Option<MonthlyNormals>)> = places
        .par_iter()
        .filter(|place| named.contains(&lower(&place.0)))
        .map(|(name, latitude, temperatures)| {
            let (kept, normals) = if walker == Walker::WithoutWeather {
                let nothing = DailySeries::empty(temperatures.first());
                (nothing, MonthlyNormals::from_series(temperatures))
            } else {
                (temperatures.clone(), None)
            };
            (
                lower(name),
                (Climatology::prepare(*latitude, &kept), normals),
            )
        })
        .collect();
    let mut own: BTreeMap<&SeriesKey, Vec<StageSeen>> = BTreeMap::new();
    let keys: Vec<SeriesKey> = observations.iter().map(|o| series_key(&o.series)).collect();
    if walker == Walker::Owner {
        for (o, key) in observations.iter().zip(&keys) {
            if let Some(stage) = Stage::from_text(&o.series.stage) {
                let seen = StageSeen {
                    stage,
                    date: o.date,
                };
                own.entry(key).or_default().push(seen);
            }
        }
    }
    let mut tasks: BTreeMap<(String, i32), Vec<usize>> = BTreeMap::new();
    for (i, w) in wanted.iter().enumerate() {
        tasks
            .entry((lower(&w.series.site), w.year))
            .or_default()
            .push(i);
    }
    let tasks: Vec<_> = tasks.into_iter().collect();
    let finished = std::sync::atomic::AtomicUsize::new(0);
    let answers: Vec<(usize, Answer)> = tasks
        .par_iter()
        .flat_map_iter(|((site, year), rows)| {
            let out = climates
                .get(site)
                .map(|(place, normals)| {
                    one_spring(place, normals.as_ref(), *year, rows, wanted, &own)
                })
                .unwrap_or_default();
            let so_far = 1 + finished.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            done(so_far as f64 / tasks.len() as f64);
            out
        })
        .collect();
    let mut sorted = vec![None; wanted.len()];
    for (i, answer) in answers {
        if let Some(slot) = sorted.get_mut(i) {
            *slot = Some(answer);
        }
    }
    sorted
}

/// Species, place and cultivar: the trees whose dates of any stage are own dates.
type SeriesKey = (String, String, String);

fn lower(text: &str) -> String {
    text.trim().to_lowercase()
}

fn series_key(name: &SeriesName) -> SeriesKey {
    (
        lower(&name.species),
        lower(&name.site),
        lower(&name.cultivar),
    )
}

fn one_spring(
    place: &Climatology,
    normals: Option<&MonthlyNormals>,
    year: i32,
    rows: &[usize],
    wanted: &[Wanted],
    own: &BTreeMap<&SeriesKey, Vec<StageSeen>>,
) -> Vec<(usize, Answer)> {
    let latitude_deg = place.latitude_deg();
    let season = DormantYear::of_spring(year, latitude_deg);
    let then = place.before(year);
    let leaf_drop = season.date(SOLSTICE - LEAF_DROP_BEFORE_SOLSTICE);
    let observed = DailySeries::empty(leaf_drop);
    let mut by_issue: BTreeMap<Option<NaiveDate>, Vec<usize>> = BTreeMap::new();
    for &i in rows {
        if let Some(want) = wanted.get(i) {
            by_issue.entry(want.issue_on).or_default().push(i);
        }
    }
    let mut out = Vec::with_capacity(rows.len());
    for (issue_on, rows) in by_issue {
        let known: Vec<(usize, Species, Stage, Vec<StageSeen>)> = rows
            .iter()
            .filter_map(|&i| {
                let series = &wanted.get(i)?.series;
                let species = Species::from_text(&series.species)?;
                let stage = Stage::from_text(&series.stage)?;
                let mut seen = own.get(&series_key(series)).cloned().unwrap_or_default();
                seen.retain(|s| {
                    DormantYear::containing(s.date, latitude_deg).spring_year() != year
                });
                Some((i, species, stage, seen))
            })
            .collect();
        let questions: Vec<Question<'_>> = known
            .iter()
            .map(|(_, species, stage, seen)| Question {
                species: *species,
                cultivar: None,
                stage: *stage,
                latitude_deg,
                leaf_drop,
                today: issue_on.unwrap_or_else(|| season.date(SEASON_KNOWN)),
                observed: &observed,
                forecast: None,
                normals,
                degree_day_readings: &[],
                bud_readings: &[],
                seen,
                model: ModelChoice::Auto,
            })
            .collect();
        let stages: Vec<[Stage; 1]> = known.iter().map(|k| [k.2]).collect();
        let asked: Vec<(&Question<'_>, &[Stage])> = questions
            .iter()
            .zip(&stages)
            .map(|(q, s)| (q, s.as_slice()))
            .collect();
        for ((i, _, stage, seen), told) in known.iter().zip(stages_on(&then, &asked)) {
            let Some(estimate) = told.estimates.into_iter().next() else {
                continue;
            };
            let first = estimate.date.first_day();
            out.push((
                *i,
                Answer {
                    mean_offset_days: estimate.date.mean_offset_days(),
                    calendar: calendar(seen, *stage, season, first, latitude_deg),
                    own_years: seen.iter().filter(|s| s.stage == *stage).count(),
                    model: estimate.model,
                    date: estimate.date,
                },
            ));
        }
    }
    out
}

/// Mean and standard deviation of the own dates of a stage, as days from `first` in this season.
fn calendar(
    seen: &[StageSeen],
    stage: Stage,
    season: DormantYear,
    first: NaiveDate,
    latitude_deg: f64,
) -> Option<(f64, f64)> {
    let days: Vec<f64> = seen
        .iter()
        .filter(|s| s.stage == stage)
        .map(|s| DormantYear::containing(s.date, latitude_deg).day_of(s.date) as f64)
        .collect();
    if days.is_empty() {
        return None;
    }
    let n = days.len() as f64;
    let mean = days.iter().sum::<f64>() / n;
    let squares: f64 = days.iter().map(|d| (d - mean).powi(2)).sum();
    let sd = (squares / (n - 1.0).max(1.0)).sqrt();
    Some((mean - season.day_of(first) as f64, sd))
}
