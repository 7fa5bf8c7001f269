//! What the estimate is compared with: the calendar mean, chill then heat, and degree days with
//! base and start day, each fitted on the same rows by the smallest error in days.

use std::collections::BTreeMap;

use barewood::domain::climate::hours::HourlyShape;
use barewood::domain::phenology::dormant_year::DormantYear;
use barewood::domain::phenology::drivers::Drivers;
use barewood::domain::phenology::hindcast::Observation;
use barewood::domain::phenology::models::{ForcingModel, Model, crossing};
use barewood::domain::phenology::rates::Rate;
use rayon::prelude::*;

use crate::data::Set;

/// A simple model of comparison.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Baseline {
    Sequential,
    DegreeDays,
}

impl Baseline {
    fn candidates(self) -> Vec<Model> {
        match self {
            Self::Sequential => (1_u8..=20)
                .map(|step| Model::ChillThenHeat {
                    rate: Rate::Asymmetric,
                    portions: f32::from(step) * 5.0,
                })
                .collect(),
            Self::DegreeDays => [
                Rate::AboveMinus1,
                Rate::Above2,
                Rate::UncappedAbove4_7,
                Rate::Above7,
            ]
            .into_iter()
            .flat_map(|rate| {
                [-20, -5, 11, 25, 42, 56, 70]
                    .map(|start_day| Model::ThermalTime { rate, start_day })
            })
            .collect(),
        }
    }
}

/// Day of the dormant year up to which a season's temperatures must be known, and the days that may
/// lack all the same: a sum over gaps would be no fair comparison.
const NEEDED_UNTIL: usize = 280;
const FORGIVEN_DAYS: usize = 3;

type Curves = BTreeMap<(String, i32), Vec<Vec<f32>>>;

/// Every candidate's curve in every season with temperatures.
pub struct Baselines {
    sequential: Curves,
    degree_days: Curves,
    latitude_deg: BTreeMap<String, f64>,
}

impl Baselines {
    pub fn new(set: &Set) -> Self {
        let mut seasons: Vec<(&str, i32)> = set
            .observations
            .iter()
            .map(|o| (o.series.site.as_str(), o.year))
            .collect();
        seasons.sort_unstable();
        seasons.dedup();
        let curves = |which: Baseline| -> Curves {
            let candidates = which.candidates();
            seasons
                .par_iter()
                .filter_map(|&(site, year)| {
                    let (lat, daily) = set.temperatures.get(site)?;
                    let shape = HourlyShape::new(*lat);
                    let season = DormantYear::of_spring(year, *lat);
                    let drivers = Drivers::new(season, daily, &shape, None);
                    if drivers.missing_before(NEEDED_UNTIL) > FORGIVEN_DAYS {
                        return None;
                    }
                    let curves = candidates
                        .iter()
                        .map(|model| {
                            let mut curve = Vec::new();
                            model.accumulate(&drivers, &mut curve);
                            curve
                        })
                        .collect();
                    Some(((site.to_owned(), year), curves))
                })
                .collect()
        };
        Self {
            sequential: curves(Baseline::Sequential),
            degree_days: curves(Baseline::DegreeDays),
            latitude_deg: set
                .temperatures
                .iter()
                .map(|(name, (lat, _))| (name.clone(), *lat))
                .collect(),
        }
    }

    /// Day of the dormant year on which a date falls, at its middle.
    pub fn day(&self, o: &Observation) -> f64 {
        let lat = self
            .latitude_deg
            .get(&o.series.site)
            .copied()
            .unwrap_or(0.0);
        DormantYear::of_spring(o.year, lat).day_of(o.date) as f64 + 0.5
    }

    /// Days answered for each of `wanted` by the candidate that did best on `train`.
    pub fn answers(
        &self,
        which: Baseline,
        train: &[&Observation],
        wanted: &[&Observation],
    ) -> Vec<Option<f64>> {
        let curves = match which {
            Baseline::Sequential => &self.sequential,
            Baseline::DegreeDays => &self.degree_days,
        };
        let curve = |o: &Observation, candidate: usize| {
            curves
                .get(&(o.series.site.clone(), o.year))
                .and_then(|c| c.get(candidate))
        };
        let mut best: Option<(f64, usize, f32)> = None;
        for candidate in 0..which.candidates().len() {
            let seen: Vec<(&Vec<f32>, f64)> = train
                .iter()
                .filter_map(|o| Some((curve(o, candidate)?, self.day(o))))
                .collect();
            let level = |(curve, day): &(&Vec<f32>, f64)| {
                let day = *day as usize;
                f32::midpoint(
                    curve.get(day).copied().unwrap_or(0.0),
                    curve.get(day + 1).copied().unwrap_or(0.0),
                )
            };
            if seen.is_empty() {
                continue;
            }
            let need = seen.iter().map(level).sum::<f32>() / seen.len() as f32;
            let error: f64 = seen
                .iter()
                .map(|(curve, day)| (f64::from(crossing(curve, need)) - day).powi(2).min(3600.0))
                .sum();
            if best.is_none_or(|b| error < b.0) {
                best = Some((error, candidate, need));
            }
        }
        wanted
            .iter()
            .map(|o| {
                let (_, candidate, need) = best?;
                Some(f64::from(crossing(curve(o, candidate)?, need)))
            })
            .collect()
    }
}
