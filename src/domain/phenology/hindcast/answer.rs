//! Answers wanted dates, each from the other years.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rayon::prelude::*;

use super::archive::{Archive, Place, Places, Series, Way, key};
use super::pool::{Between, Calendar, Pool, drift_elsewhere};
use super::{Answer, Observation, SeriesName, Wanted};
use crate::domain::phenology::calibrate::{Predictor, far_from};
use crate::domain::phenology::chain::{Anchor, Chain, Gaps, Way as LinkedWay, first_to_full_days};
use crate::domain::phenology::climatology::{WEATHER_HALF_LIFE_YEARS, carry_over, likeness};
use crate::domain::phenology::drift::{Correction, Drift};
use crate::domain::phenology::models::{ForcingModel, LIBRARY};
use crate::domain::phenology::species::Species;
use crate::domain::phenology::spread::spread_out;
use crate::domain::phenology::stage::Stage;

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
    let shared = Shared::new(places, &archive, wanted, settings);
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
    let Desk { places, wanted, .. } = *desk;
    let Some(place) = places.find(site) else {
        return rows.iter().map(|&i| (i, None)).collect();
    };
    let mut ways: BTreeMap<Option<NaiveDate>, Vec<Way>> = BTreeMap::new();
    let mut bench = Bench {
        desk,
        place,
        year,
        pools: BTreeMap::new(),
        ready: BTreeMap::new(),
    };
    let mut out = Vec::with_capacity(rows.len());
    for &i in rows {
        let Some(want) = wanted.get(i) else { continue };
        let ways = ways
            .entry(want.issue_on)
            .or_insert_with(|| place.ways(year, want.issue_on));
        let answer = bench.answer(&want.series, ways);
        out.push((i, answer));
    }
    out
}

/// What answers for the series of one place in one spring, made as it is asked for.
struct Bench<'d, 'a> {
    desk: &'d Desk<'a>,
    place: &'a Place,
    year: i32,
    pools: BTreeMap<GroupKey, Option<Pool<'a>>>,
    ready: BTreeMap<SeriesName, Option<Ready>>,
}

/// A predictor with the calendar's answer, and whether it rests on dates of the series itself.
#[derive(Clone)]
struct Ready {
    predictor: Predictor,
    calendar: Calendar,
    own: bool,
}

impl<'a> Bench<'_, 'a> {
    /// The predictor of a series, if there is any record of its species and stage.
    fn ready(&mut self, name: &SeriesName) -> Option<Ready> {
        if let Some(known) = self.ready.get(name) {
            return known.clone();
        }
        let Desk {
            archive,
            shared,
            settings,
            ..
        } = *self.desk;
        let group_key = key(name);
        let (place, year) = (self.place, self.year);
        let pool = self.pools.entry(group_key.clone()).or_insert_with(|| {
            let group = archive.groups.get(&group_key)?;
            let site = name.site.trim().to_lowercase();
            let drift = shared.drifts.get(&(group_key.clone(), site)).copied();
            Some(Pool::without(group, &place.name, year, drift, settings))
        });
        let made = pool.as_ref().and_then(|pool| {
            let (predictor, calendar) = match shared.between.get(&group_key) {
                Some((between, winters_c)) if !pool.is_here() => {
                    let travels = Species::from_text(&name.species).is_none_or(Species::travels);
                    let far = far_from(winters_c, place.winter_c());
                    between.predictor(if travels { far } else { 0.0 })
                }
                _ => pool.predictor(name, settings)?,
            };
            Some(Ready {
                own: calendar.years > 0,
                predictor,
                calendar,
            })
        });
        self.ready.insert(name.clone(), made.clone());
        made
    }

    /// The series of another stage of the same trees, as its records spell the stage.
    fn beside(&self, name: &SeriesName, stage: Stage) -> Option<SeriesName> {
        let species = key(name).0;
        let groups = self.desk.archive.groups.iter();
        let mut spelled = groups
            .filter(|(k, _)| k.0 == species && Stage::from_text(&k.1) == Some(stage))
            .map(|(k, group)| {
                let same = |s: &&Series<'_>| {
                    s.stands_at(&name.site) && s.name.cultivar.trim() == name.cultivar.trim()
                };
                group.series.iter().find(same).map_or_else(
                    || SeriesName {
                        stage: k.1.clone(),
                        ..name.clone()
                    },
                    |s| s.name.clone(),
                )
            });
        spelled.next()
    }

    fn answer(&mut self, name: &SeriesName, ways: &[Way]) -> Option<Answer> {
        let own = self.ready(name);
        let settings = self.desk.settings;
        let stage = Stage::from_text(&name.stage);
        let species = Species::from_text(&name.species).unwrap_or(Species::Other);
        if ways.is_empty() {
            return None;
        }
        let alone = |ready: &Ready| finish(ready, self.place, self.year, ways, settings);
        let Some(stage) = stage.filter(|s| *s != Stage::FirstBloom) else {
            return alone(own.as_ref()?);
        };
        let bloom = |bench: &mut Self, of: Stage| {
            let named = bench.beside(name, of)?;
            bench.ready(&named)
        };
        let first = bloom(self, Stage::FirstBloom);
        let (anchor, ready) = match (stage, first) {
            (_, Some(first)) => (Anchor::First, first),
            (Stage::FullBloom, None) => {
                return finish(own.as_ref()?, self.place, self.year, ways, settings);
            }
            (_, None) => match bloom(self, Stage::FullBloom) {
                Some(full) => (Anchor::Full, full),
                None => return finish(own.as_ref()?, self.place, self.year, ways, settings),
            },
        };
        let green = if stage == Stage::FullBloom {
            None
        } else {
            bloom(self, Stage::Burst)
        };
        let full = if stage == Stage::FullBloom {
            own.clone()
        } else {
            None
        };
        let link = Linked {
            species,
            year: self.year,
            ways,
            settings,
            anchor,
            bloom: &ready,
            green: green.as_ref(),
            full: full.as_ref(),
        };
        let chain = link.chain(self.place);
        let date = chain.date(stage.bbch());
        let first = self.place.season(self.year).day_of(date.first_day()) as f64;
        let calendar = own.as_ref().map(|r| r.calendar);
        Some(Answer {
            mean_offset_days: chain.mean_day(stage.bbch()) - first - 0.5,
            date,
            model: format!("{}; in one chain", words(ready.predictor.shares())),
            own_years: calendar.map_or(0, |c| c.years),
            calendar: calendar.map(|c| (c.day - first - 0.5, c.sd_days)),
        })
    }
}

/// The days a predictor leads to in every way, with their weights, and its correction.
fn led_to(
    ready: &Ready,
    year: i32,
    ways: &[Way],
    settings: &Settings,
) -> (Vec<(f32, f64)>, f64, Correction) {
    let mut days: Vec<(f32, f64)> = ways
        .iter()
        .map(|way| {
            let weight = likeness(way.from, year, settings.weather_half_life_years);
            (ready.predictor.mixture_day(&way.curves), weight)
        })
        .collect();
    let warmer_c: Vec<Option<f64>> = ways.iter().map(|way| way.warmer_c).collect();
    carry_over(&mut days, &warmer_c);
    let total: f64 = days.iter().map(|d| d.1).sum();
    let mean = days.iter().map(|d| f64::from(d.0) * d.1).sum::<f64>() / total;
    let correction = ready.predictor.correction(year, mean as f32);
    (days, mean, correction)
}

fn finish(
    ready: &Ready,
    place: &Place,
    year: i32,
    ways: &[Way],
    settings: &Settings,
) -> Option<Answer> {
    if ways.is_empty() {
        return None;
    }
    let (days, mean, correction) = led_to(ready, year, ways, settings);
    let season = place.season(year);
    let date = spread_out(season, &days, correction);
    let first = season.day_of(date.first_day()) as f64;
    let calendar = ready.calendar;
    Some(Answer {
        mean_offset_days: mean + correction.mean_days - first - 0.5,
        date,
        model: words(ready.predictor.shares()),
        own_years: calendar.years,
        calendar: Some((calendar.day - first - 0.5, calendar.sd_days)),
    })
}

/// A stage linked to bloom.
struct Linked<'a> {
    species: Species,
    year: i32,
    ways: &'a [Way],
    settings: &'a Settings,
    anchor: Anchor,
    bloom: &'a Ready,
    green: Option<&'a Ready>,
    full: Option<&'a Ready>,
}

impl Linked<'_> {
    /// The chain; where first green or full bloom have dates of their own series, its range keeps
    /// the width that these ask for.
    fn chain(&self, place: &Place) -> Chain {
        let of = |ready: &Ready| led_to(ready, self.year, self.ways, self.settings);
        let (anchors, _, at_bloom) = of(self.bloom);
        let greens = self.green.map(of);
        let fulls = self.full.map(of);
        let usual = first_to_full_days(self.species);
        let mut gaps = Gaps::of(self.species, self.green.is_some());
        let own_green = self.green.is_some_and(|g| g.own);
        let ways: Vec<LinkedWay> = self
            .ways
            .iter()
            .zip(&anchors)
            .enumerate()
            .map(|(i, (way, (day, weight)))| {
                let anchor_day = day + at_bloom.mean_days as f32;
                let first = match self.anchor {
                    Anchor::First => anchor_day,
                    Anchor::Full => anchor_day - usual,
                };
                let at = |led: &Led| Some(led.0.get(i)?.0 + led.2.mean_days as f32);
                let to_bloom = match greens.as_ref().and_then(at) {
                    Some(green) if own_green => (first - green).max(2.5),
                    Some(green) => Gaps::fitted_green_days(self.species, first - green),
                    None => Gaps::heat_green_days(self.species, &way.heat, first),
                };
                let to_full = fulls
                    .as_ref()
                    .and_then(at)
                    .map_or(usual, |full| (full - first).max(1.0));
                let green = first - to_bloom;
                LinkedWay {
                    weight: *weight,
                    anchor_day,
                    gap_days: [
                        Gaps::swell_days(self.species, &way.heat, green, first),
                        to_bloom,
                        to_full,
                    ],
                }
            })
            .collect();
        let middle =
            |i: usize| ways.iter().map(|w| w.gap_days[i]).sum::<f32>() / ways.len().max(1) as f32;
        if let Some((_, _, own)) = greens.as_ref().filter(|_| own_green) {
            let kept = (-gaps.to_bloom.per_error_day).mul_add(middle(1), 1.0);
            gaps.to_bloom.sd = scatter(
                own.sd_days as f32,
                at_bloom.sd_days as f32 * kept,
                middle(1),
            );
        }
        if let Some((_, _, own)) = &fulls {
            gaps.to_full.sd = scatter(own.sd_days as f32, at_bloom.sd_days as f32, middle(2));
        }
        Chain::new(
            place.season(self.year),
            self.anchor,
            at_bloom.sd_days,
            &gaps,
            &ways,
        )
    }
}

type Led = (Vec<(f32, f64)>, f64, Correction);

/// Scatter of a gap's logarithm that gives its stage the spread `wanted` beside that of bloom.
fn scatter(wanted: f32, of_bloom: f32, gap: f32) -> f32 {
    let own = (wanted * wanted - of_bloom * of_bloom).max(0.0).sqrt();
    (own / gap.max(1.0)).clamp(0.2, 0.7)
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
    /// What answers for places that have no series of a group, and the winters (°C) it was taught.
    between: BTreeMap<GroupKey, (Between, Vec<f64>)>,
}

type GroupKey = (String, String);

impl Shared {
    fn new(places: &Places, archive: &Archive<'_>, wanted: &[Wanted], settings: &Settings) -> Self {
        // A stage is answered in one chain with the others of its trees.
        let pairs: BTreeSet<(GroupKey, String)> = wanted
            .iter()
            .map(|w| (key(&w.series).0, w.series.site.trim().to_lowercase()))
            .collect::<BTreeSet<_>>()
            .into_iter()
            .flat_map(|(species, site)| {
                let of = move |k: &&GroupKey| k.0 == species;
                let pair = move |k: &GroupKey| (k.clone(), site.clone());
                archive.groups.keys().filter(of).map(pair)
            })
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
                let found = archive.groups.get(*group)?;
                let sites: BTreeSet<&str> =
                    found.series.iter().map(|s| s.name.site.trim()).collect();
                let winters_c = sites
                    .into_iter()
                    .filter_map(|site| places.find(site)?.winter_c())
                    .collect();
                let pool = Pool::everywhere(found, settings);
                Some(((*group).clone(), (pool.between_series(true)?, winters_c)))
            })
            .collect();
        Self { drifts, between }
    }
}
