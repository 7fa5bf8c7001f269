//! The pooled fit of every species and stage, for the table that travels with the program.

use std::collections::BTreeSet;

use chrono::TimeDelta;
use rayon::prelude::*;

use super::answer::Settings;
use super::archive::{Archive, Places};
use super::pool::Pool;
use super::{Observation, SeriesName};
use crate::domain::phenology::calibrate::SeriesFit;
use crate::domain::phenology::chain::first_to_full_days;
use crate::domain::phenology::fitted::FittedGroup;
use crate::domain::phenology::species::Species;
use crate::domain::phenology::stage::Stage;

/// Fits every species and stage on all records. Groups whose species or stage the estimate does
/// not know are left out.
pub fn fit_groups(
    places: &Places,
    observations: &[Observation],
    settings: &Settings,
) -> Vec<FittedGroup> {
    let observations = with_both_blooms(observations);
    let archive = Archive::new(places, &observations);
    let mut groups: Vec<FittedGroup> = archive
        .groups
        .par_iter()
        .filter_map(|((species, stage), group)| {
            let (species, stage) = (
                Species::from_text(species).unwrap_or(Species::Other),
                Stage::from_text(stage)?,
            );
            let pool = Pool::everywhere(group, settings);
            let between = pool.between_series(true)?;
            let fits = || group.series.iter().filter_map(|s| s.fit.as_ref());
            let mut sites: Vec<&str> = group.series.iter().map(|s| s.name.site.trim()).collect();
            sites.sort_unstable();
            sites.dedup();
            (species != Species::Other).then(|| FittedGroup {
                species,
                stage,
                series: fits().count(),
                dates: fits().map(SeriesFit::len).sum(),
                sites: sites.len(),
                requirement: between.requirement,
                shares: pool.shares().to_vec(),
                drift: pool.drift(),
                between_shares: between.shares,
                between: between.drift,
                aging: between.aging,
                winters_c: sites
                    .iter()
                    .filter_map(|site| places.find(site)?.winter_c())
                    .map(|c| (c * 10.0).round() / 10.0)
                    .collect(),
            })
        })
        .collect();
    groups.sort_by_key(|g| (g.species, g.stage));
    groups
}

/// Springs of which one stage of bloom was recorded lend their date to the other too, set apart by
/// the kind's usual gap: every date of bloom has its say in both.
fn with_both_blooms(observations: &[Observation]) -> Vec<Observation> {
    let key = |o: &Observation, stage: Stage| {
        (
            o.series.species.trim().to_lowercase(),
            o.series.site.trim().to_lowercase(),
            o.series.cultivar.trim().to_lowercase(),
            o.year,
            stage,
        )
    };
    let of = |o: &Observation| Stage::from_text(&o.series.stage);
    let known: BTreeSet<_> = observations
        .iter()
        .filter_map(|o| Some(key(o, of(o)?)))
        .collect();
    let mut all = observations.to_vec();
    for o in observations {
        let (other, sign) = match of(o) {
            Some(Stage::FirstBloom) => (Stage::FullBloom, 1),
            Some(Stage::FullBloom) => (Stage::FirstBloom, -1),
            _ => continue,
        };
        let Some(species) = Species::from_text(&o.series.species) else {
            continue;
        };
        if known.contains(&key(o, other)) {
            continue;
        }
        let apart = first_to_full_days(species).round() as i64 * sign;
        all.push(Observation {
            series: SeriesName {
                stage: other.words().to_owned(),
                ..o.series.clone()
            },
            year: o.year,
            date: o.date + TimeDelta::days(apart),
        });
    }
    all
}
