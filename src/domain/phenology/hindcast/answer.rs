//! Answers wanted dates, each from the other years.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rayon::prelude::*;

use super::archive::{Archive, Place, Places, Way, key};
use super::pool::{Between, Calendar, Pool, drift_elsewhere};
use super::{Answer, Observation, SeriesName, Wanted};
use crate::domain::phenology::calibrate::Predictor;
use crate::domain::phenology::climatology::{WEATHER_HALF_LIFE_YEARS, carry_over, likeness};
use crate::domain::phenology::drift::Drift;
use crate::domain::phenology::models::{ForcingModel, LIBRARY};
use crate::domain::phenology::spread::spread_out;

/// What may be turned in the method; the defaults are what the hindcasts favour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Years that a pool of other series counts as when a requirement is found.
    pub borrowed_years: f64,
    /// Weight of a series at another place when members' shares are found (1 at the same place).
    pub elsewhere: f32,
    /// Years over which past weather loses half its weight; infinite for none.
    pub weather_half_life_years: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            borrowed_years: 1.0,
            elsewhere: 0.3,
            weather_half_life_years: WEATHER_HALF_LIFE_YEARS,
        }
    }
}

/// Answers every wanted date; `None` where nothing at all is known of the species and stage, or
/// of the place's temperatures. `done` is told the share finished, from several threads.
pub fn answer(
    places: &Places,
    observations: &[Observation],
    wanted: &[Wanted],
    settings: &Settings,
    done: &(dyn Fn(f64) + Sync),
) -> Vec<Option<Answer>> {
    let archive = Archive::new(places, observations);
    let shared = Shared::new(&archive, wanted, settings);
    let desk = Desk {
        places,
        archive: &archive,
        shared: &shared,
        wanted,
        settings,
    };
    let mut tasks: BTreeMap<(String, i32), Vec<usize>> = BTreeMap::new();
    for (i, w) in wanted.iter().enumerate() {
        tasks
            .entry((w.series.site.trim().to_lowercase(), w.year))
            .or_default()
            .push(i);
    }
    let tasks: Vec<_> = tasks.into_iter().collect();
    let finished = std::sync::atomic::AtomicUsize::new(0);
    let answers: Vec<Vec<(usize, Option<Answer>)>> = tasks
        .par_iter()
        .map(|((site, year), rows)| {
            let out = one_spring(&desk, site, *year, rows);
            let so_far = 1 + finished.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            done(so_far as f64 / tasks.len() as f64);
            out
        })
        .collect();
    let mut sorted = vec![None; wanted.len()];
    for (i, answer) in answers.into_iter().flatten() {
        if let Some(slot) = sorted.get_mut(i) {
            *slot = answer;
        }
    }
    sorted
}

/// What every answer is worked out from.
struct Desk<'a> {
    places: &'a Places,
    archive: &'a Archive<'a>,
    shared: &'a Shared,
    wanted: &'a [Wanted],
    settings: &'a Settings,
}

/// All wanted dates of one place and spring: they share the weather and what is left out.
fn one_spring(
    desk: &Desk<'_>,
    site: &str,
    year: i32,
    rows: &[usize],
) -> Vec<(usize, Option<Answer>)> {
    let Desk {
        places,
        archive,
        shared,
        wanted,
        settings,
    } = *desk;
    let Some(place) = places.find(site) else {
        return rows.iter().map(|&i| (i, None)).collect();
    };
    let mut ways: BTreeMap<Option<NaiveDate>, Vec<Way>> = BTreeMap::new();
    let mut pools: BTreeMap<(String, String), Option<Pool<'_>>> = BTreeMap::new();
    let mut predictors: BTreeMap<&SeriesName, Option<(Predictor, Calendar)>> = BTreeMap::new();
    let mut out = Vec::with_capacity(rows.len());
    for &i in rows {
        let Some(want) = wanted.get(i) else { continue };
        let group_key = key(&want.series);
        let pool = pools.entry(group_key.clone()).or_insert_with(|| {
            let group = archive.groups.get(&group_key)?;
            let drift = shared
                .drifts
                .get(&(group_key.clone(), site.to_owned()))
                .copied();
            Some(Pool::without(group, &place.name, year, drift, settings))
        });
        let ready = predictors.entry(&want.series).or_insert_with(|| {
            let pool = pool.as_ref()?;
            match shared.between.get(&group_key) {
                Some(between) if !pool.is_here() => Some(between.predictor()),
                _ => pool.predictor(&want.series, settings),
            }
        });
        let ways = ways
            .entry(want.issue_on)
            .or_insert_with(|| place.ways(year, want.issue_on));
        let answer = ready
            .as_ref()
            .and_then(|r| finish(r, place, year, ways, settings));
        out.push((i, answer));
    }
    out
}

fn finish(
    (predictor, calendar): &(Predictor, Calendar),
    place: &Place,
    year: i32,
    ways: &[Way],
    settings: &Settings,
) -> Option<Answer> {
    if ways.is_empty() {
        return None;
    }
    let mut days: Vec<(f32, f64)> = ways
        .iter()
        .map(|way| {
            let weight = likeness(way.from, year, settings.weather_half_life_years);
            (predictor.mixture_day(&way.curves), weight)
        })
        .collect();
    let warmer_c: Vec<Option<f64>> = ways.iter().map(|way| way.warmer_c).collect();
    carry_over(&mut days, &warmer_c);
    let total: f64 = days.iter().map(|d| d.1).sum();
    let mean = days.iter().map(|d| f64::from(d.0) * d.1).sum::<f64>() / total;
    let correction = predictor.correction(year, mean as f32);
    let season = place.season(year);
    let date = spread_out(season, &days, correction);
    let first = season.day_of(date.first_day()) as f64;
    Some(Answer {
        mean_offset_days: mean + correction.mean_days - first - 0.5,
        date,
        model: words(predictor.shares()),
        own_years: calendar.years,
        calendar: Some((calendar.day - first - 0.5, calendar.sd_days)),
    })
}

/// The members that weigh most.
fn words(shares: &[f32]) -> String {
    let mut order: Vec<usize> = (0..shares.len()).collect();
    order.sort_by(|&a, &b| shares[b].total_cmp(&shares[a]));
    let name = |i: usize| {
        LIBRARY
            .get(i)
            .map_or_else(|| "calendar".to_owned(), ForcingModel::name)
    };
    let best: Vec<String> = order
        .iter()
        .take(2)
        .map(|&i| format!("{} {:.0}%", name(i), 100.0 * shares[i]))
        .collect();
    format!("mixture: {}", best.join(", "))
}

/// What hangs on the place but not on the spring left out, worked out once.
struct Shared {
    /// Leftovers of the series at other places, by group and place, where there are enough.
    drifts: BTreeMap<(GroupKey, String), Drift>,
    /// What answers for places that have no series of a group.
    between: BTreeMap<GroupKey, Between>,
}

type GroupKey = (String, String);

impl Shared {
    fn new(archive: &Archive<'_>, wanted: &[Wanted], settings: &Settings) -> Self {
        let pairs: BTreeSet<(GroupKey, String)> = wanted
            .iter()
            .map(|w| (key(&w.series), w.series.site.trim().to_lowercase()))
            .collect();
        let drifts = pairs
            .par_iter()
            .filter_map(|pair| {
                let group = archive.groups.get(&pair.0)?;
                Some((pair.clone(), drift_elsewhere(group, &pair.1)?))
            })
            .collect();
        let strangers: BTreeSet<&GroupKey> = pairs
            .iter()
            .filter(|(group, site)| {
                archive
                    .groups
                    .get(group)
                    .is_some_and(|g| !g.series.iter().any(|s| s.stands_at(site)))
            })
            .map(|(group, _)| group)
            .collect();
        let between = strangers
            .par_iter()
            .filter_map(|group| {
                let pool = Pool::everywhere(archive.groups.get(*group)?, settings);
                Some(((*group).clone(), pool.between_series(true)?))
            })
            .collect();
        Self { drifts, between }
    }
}
