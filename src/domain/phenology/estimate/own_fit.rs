//! What a block's own dates make of the carried fits, before any look at this season.

use super::calibrated::ModelChoice;
use super::record::HindcastRecord;
use super::{Question, StageSeen};
use crate::domain::phenology::calibrate::{Borrowed, CALENDAR, MEMBERS, Record, SeriesFit};
use crate::domain::phenology::climatology::Climatology;
use crate::domain::phenology::dormant_year::DormantYear;
use crate::domain::phenology::drift::{Drift, Leftovers};
use crate::domain::phenology::fitted::{FittedGroup, group};
use crate::domain::phenology::species::Species;
use crate::domain::phenology::stage::Stage;

/// Years that the carried requirement counts as beside own years.
const BORROWED_YEARS: f64 = 1.5;
/// Own years that weigh as much as the carried shares.
const POOL_YEARS: f32 = 40.0;

/// What a block's own dates make of the carried fits, before any look at this season.
#[derive(Debug)]
pub(super) struct OwnFit {
    pub(super) group: &'static FittedGroup,
    pub(super) kin: Option<Species>,
    pub(super) requirement: Vec<f64>,
    pub(super) shares: Vec<f32>,
    pub(super) drift: Drift,
    pub(super) leftovers: Leftovers,
    /// Mean of the dates seen; `None` without any.
    pub(super) calendar_day: Option<f32>,
    pub(super) own_years: usize,
    pub(super) record: Option<HindcastRecord>,
}

impl OwnFit {
    pub(super) fn new(climatology: &Climatology, question: &Question<'_>) -> Self {
        let (group, kin) = base_group(question.species, question.stage, question.seen);
        let group = group.unwrap_or(&NO_GROUP);
        let latitude_deg = climatology.latitude_deg();
        let this = DormantYear::after_leaf_drop(question.leaf_drop, latitude_deg).spring_year();
        let mut records: Vec<Record<'_>> = seen_days(question.seen, group.stage, latitude_deg)
            .into_iter()
            .filter(|(year, _)| *year != this)
            .filter_map(|(year, day)| Record::new(climatology.past_year(year)?.went(), day as i64))
            .collect();
        records.sort_by_key(Record::year);
        records.dedup_by_key(|r| r.year());
        let borrowed = Borrowed {
            requirement: &group.requirement,
            years: if kin.is_some() {
                BORROWED_YEARS / 3.0
            } else {
                BORROWED_YEARS
            },
        };
        let fit = SeriesFit::new(&records.iter().collect::<Vec<_>>(), Some(borrowed));
        let own_years = fit.as_ref().map_or(0, SeriesFit::len);
        let shares = own_shares(group, fit.as_ref(), question.model);
        let (requirement, drift, leftovers, calendar_day) = match &fit {
            Some(fit) => {
                let leftovers = if own_years > 1 {
                    fit.leftovers(|_| &shares)
                } else {
                    Leftovers::default()
                };
                (
                    fit.requirement.clone(),
                    few_years(group, own_years),
                    leftovers,
                    Some(fit.calendar_day),
                )
            }
            None => (
                group.requirement.clone(),
                group.between,
                Leftovers::default(),
                None,
            ),
        };
        let record = fit
            .as_ref()
            .and_then(|fit| HindcastRecord::of(fit, &shares));
        Self {
            group,
            kin,
            requirement,
            shares,
            drift,
            leftovers,
            calendar_day,
            own_years,
            record,
        }
    }

    /// What the season must be laid out with.
    pub(super) fn requirement(&self) -> &[f64] {
        &self.requirement
    }
}

/// The carried group that answers for a species and stage: its own, else the later stage with the
/// most dates seen, else the nearest later one; through the kin where the species has none.
fn base_group(
    species: Species,
    stage: Stage,
    seen: &[StageSeen],
) -> (Option<&'static FittedGroup>, Option<Species>) {
    let dates = |stage: Stage| seen.iter().filter(|s| s.stage == stage).count();
    let find = |species: Species| {
        if let Some(own) = group(species, stage) {
            return Some(own);
        }
        let later = Stage::ALL
            .iter()
            .copied()
            .filter(|s| *s >= Stage::FirstBloom);
        let mut found: Vec<&'static FittedGroup> =
            later.filter_map(|s| group(species, s)).collect();
        // Stable sort: among equals the earlier stage, which is the nearer one.
        found.sort_by_key(|g| std::cmp::Reverse(dates(g.stage)));
        found.first().copied()
    };
    if let Some(own) = find(species) {
        return (Some(own), None);
    }
    let kin = species.parent().unwrap_or(Species::Apple);
    (find(kin), Some(kin))
}

/// Dates seen of one stage as spring year and day of the dormant year.
pub(super) fn seen_days(seen: &[StageSeen], stage: Stage, latitude_deg: f64) -> Vec<(i32, f32)> {
    seen.iter()
        .filter(|s| s.stage == stage)
        .map(|s| {
            let year = DormantYear::containing(s.date, latitude_deg);
            (year.spring_year(), year.day_of(s.date) as f32 + 0.5)
        })
        .collect()
}

/// With few own years the series may still lie anywhere the carried series lie; each year of its
/// own takes that away in proportion.
fn few_years(group: &FittedGroup, own_years: usize) -> Drift {
    let left = (BORROWED_YEARS / (BORROWED_YEARS + own_years as f64)).powi(2);
    let between = group.between.offset_days.powi(2);
    Drift {
        offset_days: (group.drift.offset_days.powi(2) + between * left).sqrt(),
        ..group.drift
    }
}

/// Shares for a block: the carried ones, mixed with those its own years call for; without own
/// years, those that did best on series without dates.
fn own_shares(group: &FittedGroup, fit: Option<&SeriesFit>, choice: ModelChoice) -> Vec<f32> {
    let mut shares = match fit {
        Some(fit) if fit.len() >= 5 => {
            let own = fit
                .products()
                .shares(crate::domain::phenology::stacked::RIDGE_DAYS2);
            let rho = fit.len() as f32 / (fit.len() as f32 + POOL_YEARS);
            group
                .shares
                .iter()
                .zip(&own)
                .map(|(g, o)| rho.mul_add(o - g, *g))
                .collect()
        }
        Some(_) => group.shares.clone(),
        None => group.between_shares.clone(),
    };
    for (member, share) in shares.iter_mut().enumerate() {
        // Without dates of its own a place has no calendar mean.
        if !choice.keeps(member) || (fit.is_none() && member == CALENDAR) {
            *share = 0.0;
        }
    }
    let sum: f32 = shares.iter().sum();
    if sum > 1e-6 {
        for share in &mut shares {
            *share /= sum;
        }
        return shares;
    }
    // No member of the chosen family had a share: all of them alike.
    let kept: Vec<bool> = (0..MEMBERS)
        .map(|m| m != CALENDAR && choice.keeps(m))
        .collect();
    let count = kept.iter().filter(|k| **k).count().max(1) as f32;
    kept.into_iter()
        .map(|k| if k { 1.0 / count } else { 0.0 })
        .collect()
}

/// Stands in should the carried table ever be empty: nothing but the calendar, and wide.
static NO_GROUP: FittedGroup = FittedGroup {
    species: Species::Other,
    stage: Stage::FirstBloom,
    series: 0,
    dates: 0,
    sites: 0,
    requirement: Vec::new(),
    shares: Vec::new(),
    drift: NO_DRIFT,
    between_shares: Vec::new(),
    between: NO_DRIFT,
};

const NO_DRIFT: Drift = Drift {
    offset_days: 15.0,
    drift_days: 0.0,
    length_years: 1.0,
    slope: 0.0,
    noise_days: 15.0,
};
