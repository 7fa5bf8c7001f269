//! What the rules look at: the uses, their windows and the fit hours.

use super::Warning;
use crate::domain::hours::air::Air;
use crate::domain::hours::fits::Fits;
use crate::domain::mix::dose;
use crate::domain::outlook::Estimates;
use crate::domain::season::{Material, Season, Task};
use crate::domain::units::Rate;
use crate::domain::uses::Uses;
pub use crate::domain::uses::{Event, Spray, Use};
use crate::domain::window::Windows;
use chrono::NaiveDate;
use std::ops::Deref;

/// The season, the estimates and the day, with every look-up done once.
pub struct Facts<'a> {
    uses: Uses<'a>,
    windows: Windows<'a>,
    fits: Option<&'a Fits>,
}

impl<'a> Deref for Facts<'a> {
    type Target = Uses<'a>;

    fn deref(&self) -> &Uses<'a> {
        &self.uses
    }
}

impl<'a> Facts<'a> {
    /// Gathers the facts.
    pub fn new(season: &'a Season, estimates: &'a Estimates, today: NaiveDate) -> Self {
        let uses = Uses::new(season, estimates, today);
        let windows = Windows::new(&uses);
        Self {
            uses,
            windows,
            fits: None,
        }
    }

    /// The same with the hours of weather at the orchard.
    #[must_use]
    pub fn with_fits(mut self, fits: &'a Fits) -> Self {
        self.fits = Some(fits);
        self
    }

    /// Each material of each open spray once, with the rate it is used at.
    pub fn open_materials(&self) -> impl Iterator<Item = (&Spray<'a>, &'a Material, Option<Rate>)> {
        self.all_sprays()
            .iter()
            .filter(|s| s.is_open())
            .flat_map(|spray| {
                spray
                    .parts
                    .iter()
                    .enumerate()
                    .filter(|(i, p)| spray.parts.iter().position(|q| q.3 == p.3) == Some(*i))
                    .map(move |(_, (part, material, ..))| {
                        (spray, *material, dose::rate_of(part.rate, material))
                    })
            })
    }

    /// The windows of every spray.
    pub fn windows(&self) -> &Windows<'a> {
        &self.windows
    }

    /// The fit hours of the open sprays, where there is hourly weather.
    pub fn fits(&self) -> Option<&'a Fits> {
        self.fits
    }

    /// The hours of weather, where there are any.
    pub fn air(&self) -> Option<&'a Air> {
        self.fits.map(Fits::air)
    }

    /// Has the grower quietened this rule for the task it is about, or, where no task is
    /// to blame, for this block?
    pub(super) fn is_quiet(&self, warning: &Warning, task: Option<&Task>) -> bool {
        if warning.task.is_some() {
            return task.is_some_and(|task| task.quiet.iter().any(|q| q.rule == warning.rule));
        }
        warning
            .block
            .as_ref()
            .and_then(|id| self.season.block(id))
            .is_some_and(|block| {
                block
                    .quiet
                    .iter()
                    .any(|q| q.rule == warning.rule && q.target == warning.target)
            })
    }
}
