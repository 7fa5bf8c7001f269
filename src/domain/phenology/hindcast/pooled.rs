//! The pooled fit of every species and stage, for the table that travels with the program.

use rayon::prelude::*;

use super::Observation;
use super::answer::Settings;
use super::archive::{Archive, Places};
use super::pool::Pool;
use crate::domain::phenology::calibrate::SeriesFit;
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
    let archive = Archive::new(places, observations);
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
            })
        })
        .collect();
    groups.sort_by_key(|g| (g.species, g.stage));
    groups
}
