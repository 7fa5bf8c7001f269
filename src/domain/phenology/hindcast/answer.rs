//! Answers wanted dates, each from the other years.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rayon::prelude::*;

use super::archive::{Archive, Group, Place, Places, Series, key};
use super::{Answer, Observation, SeriesName, Wanted};
use crate::domain::phenology::calibrate::{
    Borrowed, CALENDAR, CALIBRATED_WIDTH, Curves, Predictor, Record, SeriesFit, shares, spread_out,
};
use crate::domain::phenology::climatology::{WEATHER_HALF_LIFE_YEARS, likeness};
use crate::domain::phenology::drift::{Drift, Leftovers};
use crate::domain::phenology::models::{ForcingModel, LIBRARY};
use crate::domain::phenology::stacking::ErrorProducts;

/// What may be turned in the method; the defaults are what the hindcasts favour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Years that a pool of other series counts as when a requirement is found.
    pub borrowed_years: f64,
    /// Weight of a series at another place when members' shares are found (1 at the same place).
    pub elsewhere: f32,
    /// Factor on the spread around each member.
    pub widen: f64,
    /// Years over which past weather loses half its weight; infinite for none.
    pub weather_half_life_years: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            borrowed_years: 1.0,
            elsewhere: 0.3,
            widen: CALIBRATED_WIDTH,
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
    let mut ways: BTreeMap<Option<NaiveDate>, Vec<(i32, Curves)>> = BTreeMap::new();
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

/// The calendar's answer: years, mean day, standard deviation.
#[derive(Debug, Clone, Copy)]
struct Calendar {
    years: usize,
    day: f64,
    sd_days: f64,
}

fn finish(
    (predictor, calendar): &(Predictor, Calendar),
    place: &Place,
    year: i32,
    ways: &[(i32, Curves)],
    settings: &Settings,
) -> Option<Answer> {
    if ways.is_empty() {
        return None;
    }
    let days: Vec<(f32, f64)> = ways
        .iter()
        .map(|(from, curves)| {
            let weight = likeness(*from, year, settings.weather_half_life_years);
            (predictor.mixture_day(curves), weight)
        })
        .collect();
    let total: f64 = days.iter().map(|d| d.1).sum();
    let mean = days.iter().map(|d| f64::from(d.0) * d.1).sum::<f64>() / total;
    let correction = predictor.correction(year, mean as f32);
    let season = place.season(year);
    let date = spread_out(season, &days, correction, settings.widen);
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

/// What the group knows without one spring at one place.
pub(super) struct Pool<'a> {
    group: &'a Group<'a>,
    site: String,
    year: i32,
    fits: Vec<Option<Cow<'a, SeriesFit>>>,
    weights: Vec<f32>,
    shares: Vec<f32>,
    leftovers: Vec<Leftovers>,
    drift: Drift,
}

/// What hangs on the place but not on the spring left out, worked out once.
struct Shared {
    /// Leftovers of the series at other places, by group and place, where there are enough.
    drifts: BTreeMap<(GroupKey, String), Drift>,
    /// What answers for places that have no series of a group.
    between: BTreeMap<GroupKey, Between>,
}

type GroupKey = (String, String);

/// Fewest series at other places that tell how leftovers drift.
const ENOUGH_ELSEWHERE: usize = 3;

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
                let here = |s: &Series<'_>| s.name.site.trim().eq_ignore_ascii_case(site);
                archive
                    .groups
                    .get(group)
                    .is_some_and(|g| !g.series.iter().any(here))
            })
            .map(|(group, _)| group)
            .collect();
        let between = strangers
            .par_iter()
            .filter_map(|group| {
                let pool = Pool::everywhere(archive.groups.get(*group)?, settings);
                Some(((*group).clone(), pool.between_series()?))
            })
            .collect();
        Self { drifts, between }
    }
}

fn drift_elsewhere(group: &Group<'_>, site: &str) -> Option<Drift> {
    let fits: Vec<&SeriesFit> = group
        .series
        .iter()
        .filter(|s| !s.name.site.trim().eq_ignore_ascii_case(site))
        .filter_map(|s| s.fit.as_ref().filter(|f| f.len() > 1))
        .collect();
    if fits.len() < ENOUGH_ELSEWHERE {
        return None;
    }
    let mut products = ErrorProducts::new(CALENDAR + 1);
    for fit in &fits {
        products.add_scaled(&fit.products, 1.0);
    }
    let shares = shares(None, &products);
    let leftovers: Vec<Leftovers> = fits.iter().map(|f| f.leftovers(&shares)).collect();
    Some(Drift::fit(&leftovers))
}

/// What a series without dates is answered by.
pub(super) struct Between {
    pub(super) requirement: Vec<f64>,
    pub(super) calendar_day: f32,
    pub(super) calendar_sd: f32,
    pub(super) shares: Vec<f32>,
    pub(super) drift: Drift,
}

impl Between {
    fn predictor(&self) -> (Predictor, Calendar) {
        let calendar = Calendar {
            years: 0,
            day: f64::from(self.calendar_day),
            sd_days: f64::from(self.calendar_sd),
        };
        let predictor = Predictor::new(
            self.requirement.clone(),
            self.calendar_day,
            self.shares.clone(),
            self.drift,
            Leftovers::default(),
        );
        (predictor, calendar)
    }
}

impl<'a> Pool<'a> {
    /// Everything known, nothing left out.
    pub(super) fn everywhere(group: &'a Group<'a>, settings: &Settings) -> Self {
        Self::without(group, "", i32::MIN, None, settings)
    }

    pub(super) fn shares(&self) -> &[f32] {
        &self.shares
    }

    pub(super) const fn drift(&self) -> Drift {
        self.drift
    }

    /// Whether any series of the group stands at the place in question.
    fn is_here(&self) -> bool {
        self.weights.iter().any(|w| *w >= 1.0)
    }

    fn without(
        group: &'a Group<'a>,
        site: &str,
        year: i32,
        drift: Option<Drift>,
        settings: &Settings,
    ) -> Self {
        let here = |s: &Series<'_>| s.name.site.trim().eq_ignore_ascii_case(site.trim());
        let fits: Vec<Option<Cow<'a, SeriesFit>>> = group
            .series
            .iter()
            .map(|s| {
                if here(s) && s.has(year) {
                    s.fit_without(year).map(Cow::Owned)
                } else {
                    s.fit.as_ref().map(Cow::Borrowed)
                }
            })
            .collect();
        let weights: Vec<f32> = group
            .series
            .iter()
            .map(|s| if here(s) { 1.0 } else { settings.elsewhere })
            .collect();
        let mut products = ErrorProducts::new(CALENDAR + 1);
        for (fit, weight) in fits.iter().zip(&weights) {
            if let Some(fit) = fit.as_ref().filter(|f| f.len() > 1) {
                products.add_scaled(&fit.products, *weight);
            }
        }
        let shares = shares(None, &products);
        let leftovers: Vec<Leftovers> = fits
            .iter()
            .flatten()
            .filter(|f| f.len() > 1)
            .map(|f| f.leftovers(&shares))
            .collect();
        let drift = drift.unwrap_or_else(|| Drift::fit(&leftovers));
        Self {
            group,
            site: site.to_owned(),
            year,
            fits,
            weights,
            shares,
            leftovers,
            drift,
        }
    }

    fn records(&self, of: &'a Series<'a>) -> Vec<&'a Record<'a>> {
        let here = of.name.site.trim().eq_ignore_ascii_case(&self.site);
        of.records
            .iter()
            .filter(|r| !(here && r.year() == self.year))
            .collect()
    }

    /// Mean requirement and calendar day of the other series: of those at this place if there
    /// are two, else of all.
    fn borrowed(&self, but: &[usize], here: Option<bool>) -> Option<(Vec<f64>, f32, Vec<usize>)> {
        let others = |only_here: bool| -> Vec<usize> {
            (0..self.fits.len())
                .filter(|i| !but.contains(i) && self.fits[*i].is_some())
                .filter(|&i| !only_here || self.weights[i] >= 1.0)
                .collect()
        };
        let near = others(true);
        let chosen = match here {
            Some(true) => near,
            None if near.len() >= 2 => near,
            Some(false) | None => others(false),
        };
        if chosen.is_empty() {
            return None;
        }
        let fits: Vec<&SeriesFit> = chosen
            .iter()
            .filter_map(|&i| self.fits[i].as_deref())
            .collect();
        let mean = |model: usize| {
            fits.iter().map(|f| f.requirement[model]).sum::<f64>() / fits.len() as f64
        };
        let requirement = (0..LIBRARY.len()).map(mean).collect();
        let day = fits.iter().map(|f| f.calendar_day).sum::<f32>() / fits.len() as f32;
        Some((requirement, day, chosen))
    }

    fn predictor(&self, name: &SeriesName, settings: &Settings) -> Option<(Predictor, Calendar)> {
        let own = self.group.series.iter().position(|s| s.name == *name);
        let own = own.filter(|&i| self.fits[i].is_some());
        match own {
            Some(i) => self.own_predictor(i, settings),
            None => self.pooled_predictor(),
        }
    }

    fn own_predictor(&self, own: usize, settings: &Settings) -> Option<(Predictor, Calendar)> {
        let records = self.records(&self.group.series[own]);
        let pool = self.borrowed(&[own], None);
        let borrowed = pool.as_ref().map(|(requirement, _, _)| Borrowed {
            requirement,
            years: settings.borrowed_years,
        });
        let fit = SeriesFit::new(&records, borrowed)?;
        let mut products = ErrorProducts::new(CALENDAR + 1);
        for (i, other) in self.fits.iter().enumerate() {
            if let Some(other) = other.as_ref().filter(|f| i != own && f.len() > 1) {
                products.add_scaled(&other.products, self.weights[i]);
            }
        }
        let shares = shares(Some(&fit), &products);
        let leftovers = if fit.len() > 1 {
            fit.leftovers(&shares)
        } else {
            Leftovers::default()
        };
        let calendar = Calendar {
            years: fit.len(),
            day: f64::from(fit.calendar_day),
            sd_days: f64::from(fit.calendar_sd),
        };
        Some((
            Predictor::new(
                fit.requirement,
                fit.calendar_day,
                shares,
                self.drift,
                leftovers,
            ),
            calendar,
        ))
    }

    /// Requirements of the others, judged on each other in turn.
    pub(super) fn between_series(&self) -> Option<Between> {
        let (requirement, calendar_day, chosen) = self.borrowed(&[], None)?;
        let near = chosen.iter().all(|&i| self.weights[i] >= 1.0);
        let mut products = ErrorProducts::new(CALENDAR + 1);
        let mut judged = Vec::new();
        for &i in &chosen {
            let Some((others, other_day, _)) = self.borrowed(&[i], Some(near)) else {
                continue;
            };
            let records = self.records(&self.group.series[i]);
            if let Some(fit) = SeriesFit::judged(&records, &others, other_day) {
                products.add_scaled(&fit.products, 1.0);
                judged.push(fit);
            }
        }
        let (shares, leftovers) = if judged.is_empty() {
            (self.shares.clone(), self.leftovers.clone())
        } else {
            let shares = shares(None, &products);
            let leftovers = judged.iter().map(|f| f.leftovers(&shares)).collect();
            (shares, leftovers)
        };
        let spreads: Vec<f32> = chosen
            .iter()
            .filter_map(|&i| self.fits[i].as_deref())
            .map(|f| f.calendar_sd)
            .collect();
        Some(Between {
            requirement,
            calendar_day,
            calendar_sd: spreads.iter().sum::<f32>() / spreads.len().max(1) as f32,
            shares,
            drift: Drift::fit_between(&leftovers),
        })
    }

    fn pooled_predictor(&self) -> Option<(Predictor, Calendar)> {
        Some(self.between_series()?.predictor())
    }
}
