//! The stage dates of one block, each worked out when it is first asked for.

use crate::domain::outlook::BlockEstimate;
use crate::domain::phenology::distribution::StageDate;
use std::cell::OnceCell;

/// The first stage kept apart: what lies before is swell.
const FIRST: u8 = 51;
/// Stages kept: swell to the end of bloom.
const COUNT: usize = 19;

#[derive(Default)]
pub(super) struct Stages {
    dates: [OnceCell<StageDate>; COUNT],
}

impl Stages {
    pub(super) fn at(&self, estimate: &BlockEstimate, bbch: u8) -> &StageDate {
        let place = usize::from(bbch.max(FIRST) - FIRST).min(COUNT - 1);
        let [first, ..] = &self.dates;
        self.dates
            .get(place)
            .unwrap_or(first)
            .get_or_init(|| estimate.at_bbch(bbch))
    }
}
