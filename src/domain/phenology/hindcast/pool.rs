//! What a species' records know about a stage once one spring at one place is left out.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::SeriesName;
use super::answer::Settings;
use super::archive::{Group, Series};
use crate::domain::phenology::calibrate::{Borrowed, Predictor, Record, SeriesFit, SpringOff};
use crate::domain::phenology::drift::{Drift, Leftovers};
use crate::domain::phenology::models::LIBRARY;
use crate::domain::phenology::stacked::Stacked;

/// The calendar's answer: years, mean day, standard deviation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Calendar {
    pub(super) years: usize,
    pub(super) day: f64,
    pub(super) sd_days: f64,
}

/// What the group knows without one spring at one place.
pub(super) struct Pool<'a> {
    group: &'a Group<'a>,
    site: String,
    year: i32,
    fits: Vec<Option<Cow<'a, SeriesFit>>>,
    weights: Vec<f32>,
    stacked: Stacked,
    leftovers: Vec<Leftovers>,
    drift: Drift,
}

/// Fewest series at other places that tell how leftovers drift.
const ENOUGH_ELSEWHERE: usize = 3;

/// How leftovers of the series at other places drift, where there are enough.
pub(super) fn drift_elsewhere(group: &Group<'_>, site: &str) -> Option<Drift> {
    let fits: Vec<&SeriesFit> = group
        .series
        .iter()
        .filter(|s| !s.stands_at(site))
        .filter_map(|s| s.fit.as_ref().filter(|f| f.len() > 1))
        .collect();
    if fits.len() < ENOUGH_ELSEWHERE {
        return None;
    }
    let stacked = Stacked::new(None, fits.iter().map(|f| (*f, 1.0)));
    let leftovers: Vec<Leftovers> = fits.iter().map(|f| stacked.leftovers(f)).collect();
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
    pub(super) fn predictor(&self) -> (Predictor, Calendar) {
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

/// How far places may lie from each other where only one is known, days (from the species recorded
/// at more than one).
const OTHER_PLACE_DAYS: f64 = 10.0;
/// Places that this counts as.
const OTHER_PLACE_WEIGHT: f64 = 0.5;

/// Requirements and calendar day from several series, and which.
struct Centre {
    requirement: Vec<f64>,
    calendar_day: f32,
    chosen: Vec<usize>,
}

impl<'a> Pool<'a> {
    /// Everything known, nothing left out.
    pub(super) fn everywhere(group: &'a Group<'a>, settings: &Settings) -> Self {
        Self::without(group, "", i32::MIN, None, settings)
    }

    pub(super) fn shares(&self) -> &[f32] {
        self.stacked.shares()
    }

    pub(super) const fn drift(&self) -> Drift {
        self.drift
    }

    /// Whether any series of the group stands at the place in question.
    pub(super) fn is_here(&self) -> bool {
        self.weights.iter().any(|w| *w >= 1.0)
    }

    pub(super) fn without(
        group: &'a Group<'a>,
        site: &str,
        year: i32,
        drift: Option<Drift>,
        settings: &Settings,
    ) -> Self {
        let fits: Vec<Option<Cow<'a, SeriesFit>>> = group
            .series
            .iter()
            .map(|s| {
                if s.stands_at(site) && s.has(year) {
                    s.fit_without(year).map(Cow::Owned)
                } else {
                    s.fit.as_ref().map(Cow::Borrowed)
                }
            })
            .collect();
        let weights: Vec<f32> = group
            .series
            .iter()
            .map(|s| {
                if s.stands_at(site) {
                    1.0
                } else {
                    settings.elsewhere
                }
            })
            .collect();
        let several = |f: &&Cow<'_, SeriesFit>| f.len() > 1;
        let stacked = Stacked::new(
            None,
            fits.iter()
                .zip(&weights)
                .filter_map(|(fit, weight)| Some((&**fit.as_ref().filter(several)?, *weight))),
        );
        let leftovers: Vec<Leftovers> = fits
            .iter()
            .map(|fit| {
                fit.as_ref()
                    .filter(several)
                    .map(|f| stacked.leftovers(f))
                    .unwrap_or_default()
            })
            .collect();
        let drift = drift.unwrap_or_else(|| Drift::fit(&leftovers));
        Self {
            group,
            site: site.to_owned(),
            year,
            fits,
            weights,
            stacked,
            leftovers,
            drift,
        }
    }

    fn records(&self, of: &'a Series<'a>) -> Vec<&'a Record<'a>> {
        let here = of.stands_at(&self.site);
        of.records
            .iter()
            .filter(|r| !(here && r.year() == self.year))
            .collect()
    }

    /// Requirements and calendar day of the series that `take` names, each counting by how sharply
    /// its records tell a requirement, so that the mean is one in days and not in heat.
    fn centre(&self, take: impl Fn(usize) -> bool) -> Option<Centre> {
        let chosen: Vec<usize> = (0..self.fits.len())
            .filter(|&i| self.fits[i].is_some() && take(i))
            .collect();
        let fits: Vec<&SeriesFit> = chosen
            .iter()
            .filter_map(|&i| self.fits[i].as_deref())
            .collect();
        if fits.is_empty() {
            return None;
        }
        let mean = |model: usize| {
            let (sum, total) = fits.iter().fold((0.0, 0.0), |(sum, total), f| {
                let weight = f.sharpness[model];
                (weight.mul_add(f.requirement[model], sum), total + weight)
            });
            sum / f64::max(total, f64::MIN_POSITIVE)
        };
        Some(Centre {
            requirement: (0..LIBRARY.len()).map(mean).collect(),
            calendar_day: fits.iter().map(|f| f.calendar_day).sum::<f32>() / fits.len() as f32,
            chosen,
        })
    }

    /// The centre of the other series: of those at this place if there are two, else of all.
    fn borrowed(&self, but: Option<usize>) -> Option<Centre> {
        let near = |i: usize| Some(i) != but && self.weights[i] >= 1.0;
        let count = (0..self.fits.len())
            .filter(|&i| near(i) && self.fits[i].is_some())
            .count();
        if count >= 2 {
            self.centre(near)
        } else {
            self.centre(|i| Some(i) != but)
        }
    }

    pub(super) fn predictor(
        &self,
        name: &SeriesName,
        settings: &Settings,
    ) -> Option<(Predictor, Calendar)> {
        let own = self.group.series.iter().position(|s| s.name == *name);
        match own.filter(|&i| self.fits[i].is_some()) {
            Some(i) => self.own_predictor(i, settings),
            None => Some(self.between_series(false)?.predictor()),
        }
    }

    /// What each spring was off for the other series at this place.
    fn springs(&self, but: usize) -> BTreeMap<i32, SpringOff> {
        let mut sums: BTreeMap<i32, (f64, f64, f64)> = BTreeMap::new();
        for (i, leftovers) in self.leftovers.iter().enumerate() {
            if i == but || self.weights[i] < 1.0 {
                continue;
            }
            // A series with few years does not know its own mean well.
            let years = leftovers.len() as f64;
            let weight = years / (years + UNSURE_YEARS);
            for ((year, departure), error) in leftovers
                .year
                .iter()
                .zip(&leftovers.departure_days)
                .zip(&leftovers.error_days)
            {
                let sum = sums.entry(year.round() as i32).or_default();
                sum.0 += weight;
                sum.1 += weight * error;
                sum.2 += weight * (departure + error);
            }
        }
        // What all springs have in common is no matter of single springs: the series itself tells it.
        let springs = sums.len().max(1) as f64;
        let common = |of: fn(&(f64, f64, f64)) -> f64| {
            sums.values().map(|sum| of(sum) / sum.0).sum::<f64>() / springs
        };
        let (error, anomaly) = (common(|s| s.1), common(|s| s.2));
        sums.iter()
            .map(|(&year, sum)| {
                let part = sum.0 / (sum.0 + OWN_PART);
                let off = SpringOff {
                    mixture_days: (part * (sum.1 / sum.0 - error)) as f32,
                    calendar_days: (part * (sum.2 / sum.0 - anomaly)) as f32,
                };
                (year, off)
            })
            .collect()
    }

    fn own_predictor(&self, own: usize, settings: &Settings) -> Option<(Predictor, Calendar)> {
        let records = self.records(&self.group.series[own]);
        let pool = self.borrowed(Some(own));
        let borrowed = pool.as_ref().map(|centre| Borrowed {
            requirement: &centre.requirement,
            years: settings.borrowed_years,
        });
        let springs = self.springs(own);
        let off: Vec<SpringOff> = records
            .iter()
            .map(|r| springs.get(&r.year()).copied().unwrap_or_default())
            .collect();
        let fit = SeriesFit::with_springs(&records, &off, borrowed)?;
        let others = self.fits.iter().zip(&self.weights).enumerate();
        let stacked = Stacked::new(
            Some(&fit),
            others.filter_map(|(i, (other, weight))| {
                let other = other.as_deref().filter(|f| i != own && f.len() > 1)?;
                Some((other, *weight))
            }),
        );
        let leftovers = if fit.len() > 1 {
            let mut leftovers = stacked.leftovers(&fit);
            for (error, off) in leftovers.error_days.iter_mut().zip(&off) {
                *error -= NOT_SLOW * f64::from(off.mixture_days);
            }
            leftovers
        } else {
            Leftovers::default()
        };
        let calendar = Calendar {
            years: fit.len(),
            day: f64::from(fit.calendar_day),
            sd_days: f64::from(fit.calendar_sd),
        };
        let predictor = Predictor::new(
            fit.requirement,
            fit.calendar_day,
            stacked.shares().to_vec(),
            self.drift,
            leftovers,
        );
        Some((predictor, calendar))
    }

    /// Requirements of the others, judged on each other in turn: for a stranger to every place,
    /// whole places in turn.
    pub(super) fn between_series(&self, new_place: bool) -> Option<Between> {
        let centre = self.borrowed(None)?;
        let site = |i: usize| &self.group.series[i].name.site;
        let same_site = |i: usize, j: usize| site(i).trim().eq_ignore_ascii_case(site(j).trim());
        let mut sites: Vec<String> = centre
            .chosen
            .iter()
            .map(|&i| site(i).trim().to_lowercase())
            .collect();
        sites.sort_unstable();
        sites.dedup();
        let whole_places = new_place && sites.len() > 1;
        let mut judged = Vec::new();
        for &i in &centre.chosen {
            let others = self.centre(|j| {
                centre.chosen.contains(&j) && j != i && !(whole_places && same_site(i, j))
            });
            let Some(others) = others else { continue };
            let records = self.records(&self.group.series[i]);
            judged.extend(SeriesFit::judged(
                &records,
                &others.requirement,
                others.calendar_day,
            ));
        }
        let (shares, leftovers) = if judged.is_empty() {
            (self.shares().to_vec(), self.leftovers.clone())
        } else {
            let stacked = Stacked::new(None, judged.iter().map(|f| (f, 1.0)));
            let leftovers = judged.iter().map(|f| stacked.leftovers(f)).collect();
            (stacked.shares().to_vec(), leftovers)
        };
        let mut drift = Drift::fit_between(&leftovers);
        if new_place {
            let more = sites.len() as f64 - 1.0;
            let place = OTHER_PLACE_DAYS.powi(2);
            let found = drift.offset_days.powi(2);
            drift.offset_days = if more > 0.0 {
                let total = more + OTHER_PLACE_WEIGHT;
                (more.mul_add(found, OTHER_PLACE_WEIGHT * place) / total).sqrt()
            } else {
                // What series of one place differ by says nothing about places.
                (found + place).sqrt()
            };
        }
        let spreads: Vec<f32> = centre
            .chosen
            .iter()
            .filter_map(|&i| self.fits[i].as_deref())
            .map(|f| f.calendar_sd)
            .collect();
        Some(Between {
            requirement: centre.requirement,
            calendar_day: centre.calendar_day,
            calendar_sd: spreads.iter().sum::<f32>() / spreads.len().max(1) as f32,
            shares,
            drift,
        })
    }
}

/// Series that a spring's own part counts as when what it was off is shrunk: variance of a single
/// series' error in a spring over that of the part all series of a place share.
const OWN_PART: f64 = 1.0;
/// Part of what a spring was off that is taken from the errors neighbouring springs correct by: the
/// rest is the place's own slow change, which they ought to show.
const NOT_SLOW: f64 = 0.6;
/// Years at which a series' errors tell half as much of a spring as those of a long one.
const UNSURE_YEARS: f64 = 4.0;
