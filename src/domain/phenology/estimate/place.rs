//! What own dates of any stage say about a place: how far first bloom, first green and swell lie
//! from the answer of other orchards there.
//!
//! A place's offsets `u` and a spring's errors `e` are jointly normal; `u` of an earlier stage is
//! that of the later one and something of its own, and so is `e`. Dates seen are `u + e`, whichever
//! stages were seen in a spring, and each updates all (Kalman's scalar step). Spreads after the
//! Korean records, twelve stations left out in turn.

use crate::domain::phenology::drift::Correction;
use crate::domain::phenology::fitted::FittedGroup;
use crate::domain::phenology::species::Species;
use crate::domain::phenology::stage::Stage;

/// Standard deviations, days, of what a stage has of its own.
#[derive(Debug, Clone, Copy)]
pub(super) struct Prior {
    /// First bloom, first green, swell of a place.
    place: [f64; 3],
    /// The same of a spring.
    spring: [f64; 3],
}

/// What is left of the bloom offset where own bloom dates have set the models already, days.
const SET_BY_OWN_DATES: f64 = 0.8;
/// Part of a spring's bloom error that its first green shares.
const SHARED: f64 = 0.75;

impl Prior {
    pub(super) fn of(
        species: Species,
        bloom: &FittedGroup,
        fitted_green: bool,
        own_bloom_years: usize,
        kin: bool,
    ) -> Self {
        let between = if kin {
            bloom.between.offset_days.hypot(7.0)
        } else {
            bloom.between.offset_days
        };
        let place_bloom = if own_bloom_years > 0 {
            SET_BY_OWN_DATES
        } else {
            between
        };
        let stubborn = species == Species::JapaneseApricot;
        let green = if stubborn {
            4.0
        } else if fitted_green {
            2.4
        } else {
            5.0
        };
        Self {
            place: [place_bloom, green, 5.0],
            spring: [
                bloom.between.noise_days.max(2.5),
                if stubborn { 7.5 } else { 5.2 },
                5.0,
            ],
        }
    }
}

/// Offsets of first bloom, first green and swell, then the errors of the spring in hand.
const STATES: usize = 6;

/// What is known of a place.
#[derive(Debug, Clone)]
pub(super) struct Place {
    mean: [f64; STATES],
    cov: [[f64; STATES]; STATES],
    bloom_noise: f64,
    own_bloom: bool,
    springs: usize,
    of_stage: [usize; 3],
}

impl Place {
    pub(super) fn new(prior: &Prior) -> Self {
        let mut place = Self {
            mean: [0.0; STATES],
            cov: [[0.0; STATES]; STATES],
            bloom_noise: prior.spring[0],
            own_bloom: prior.place[0] <= SET_BY_OWN_DATES,
            springs: 0,
            of_stage: [0; 3],
        };
        // Each offset is that of the stage after it and its own.
        place.set(0, &prior.place, 1.0);
        place
    }

    /// Fills one block of the covariance: variances pile up stage by stage.
    fn set(&mut self, at: usize, own: &[f64; 3], kept: f64) {
        let mut block = [[0.0; 3]; 3];
        block[0][0] = own[0] * own[0];
        for i in 1..3 {
            let keep = if i == 1 { kept } else { 1.0 };
            for j in 0..i {
                block[i][j] = keep * block[i - 1][j];
                block[j][i] = block[i][j];
            }
            block[i][i] = (keep * keep).mul_add(block[i - 1][i - 1], own[i] * own[i]);
        }
        for (i, row) in block.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                self.cov[at + i][at + j] = *value;
            }
        }
    }

    /// Own dates of one spring, as days later than answered: first bloom, first green, swell.
    pub(super) fn spring(&mut self, prior: &Prior, later_days: [Option<f64>; 3]) {
        if later_days.iter().all(Option::is_none) {
            return;
        }
        self.springs += 1;
        for i in 0..STATES {
            for j in 3..STATES {
                self.cov[i][j] = 0.0;
                self.cov[j][i] = 0.0;
            }
        }
        for error in &mut self.mean[3..] {
            *error = 0.0;
        }
        self.set(3, &prior.spring, SHARED);
        for (stage, later) in later_days.iter().enumerate() {
            if let Some(later) = later {
                self.of_stage[stage] += 1;
                self.update(stage, *later);
            }
        }
    }

    /// One date: `u + e` of its stage, a wrong one pulling in proportion only.
    fn update(&mut self, stage: usize, later: f64) {
        let along: [f64; STATES] =
            std::array::from_fn(|i| self.cov[i][stage] + self.cov[i][stage + 3]);
        let variance = (along[stage] + along[stage + 3]).max(0.05);
        let misses = later - self.mean[stage] - self.mean[stage + 3];
        let most = 3.0 * variance.sqrt();
        let misses = misses.clamp(-most, most);
        for i in 0..STATES {
            self.mean[i] += along[i] / variance * misses;
        }
        for (i, row) in self.cov.iter_mut().enumerate() {
            for (j, value) in row.iter_mut().enumerate() {
                *value -= along[i] * along[j] / variance;
            }
        }
    }

    /// Days that bloom comes later here.
    pub(super) const fn bloom_days(&self) -> f64 {
        self.mean[0]
    }

    /// Spread of bloom about the answer: as fitted, but for what own dates of other stages took
    /// from the place's part.
    pub(super) fn bloom_sd_days(&self, fitted: &Correction) -> f64 {
        if self.own_bloom || self.springs == 0 {
            return fitted.sd_days;
        }
        self.bloom_noise
            .hypot(self.cov[0][0].max(0.0).sqrt())
            .min(fitted.sd_days)
    }

    /// What the place still adds to the spread of the gap before bloom, days; that of a place
    /// without dates is in the kind's own spread.
    pub(super) fn gap_sd_days(&self) -> f64 {
        let left = self.cov[0][0] + self.cov[1][1] - 2.0 * self.cov[0][1];
        left.max(0.0).sqrt() * 0.5
    }

    /// The gap before bloom here, from the middle of other places.
    pub(super) fn green_gap(&self, days: f32) -> f32 {
        stretched(days, self.mean[0] - self.mean[1])
    }

    /// The gap from swell to first green here.
    pub(super) fn swell_gap(&self, days: f32) -> f32 {
        stretched(days, self.mean[1] - self.mean[2])
    }

    /// Springs with any date.
    pub(super) const fn springs(&self) -> usize {
        self.springs
    }

    /// Springs with a date of a stage.
    pub(super) fn springs_of(&self, stage: Stage) -> usize {
        let place = match stage {
            Stage::FirstBloom | Stage::FullBloom => 0,
            Stage::Burst => 1,
            Stage::Swell => 2,
        };
        self.of_stage.get(place).copied().unwrap_or(0)
    }
}

/// A gap made longer or shorter, never below a third of itself.
fn stretched(days: f32, by: f64) -> f32 {
    (days + by as f32).max(days / 3.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn prior() -> Prior {
        Prior {
            place: [3.0, 2.0, 4.0],
            spring: [3.0, 5.0, 5.0],
        }
    }

    #[test]
    fn one_bloom_date_is_shrunk_as_bayes_says_and_moves_all_stages() {
        let mut place = Place::new(&prior());
        place.spring(&prior(), [Some(6.0), None, None]);
        assert_abs_diff_eq!(place.bloom_days(), 3.0, epsilon = 1e-9);
        // First green moves with it: its gap stays.
        assert_abs_diff_eq!(f64::from(place.green_gap(20.0)), 20.0, epsilon = 1e-5);
    }

    #[test]
    fn many_dates_of_first_green_find_its_offset_and_little_of_bloom() {
        let mut place = Place::new(&prior());
        for _ in 0..40 {
            place.spring(&prior(), [None, Some(-5.0), None]);
        }
        let green = place.bloom_days() - f64::from(place.green_gap(20.0) - 20.0);
        assert_abs_diff_eq!(green, -4.0, epsilon = 1.2);
        assert_eq!(place.springs_of(Stage::Burst), 40);
    }

    #[test]
    fn gaps_never_close() {
        let mut place = Place::new(&prior());
        for _ in 0..10 {
            place.spring(&prior(), [Some(-20.0), Some(30.0), Some(-40.0)]);
        }
        assert!(place.green_gap(6.0) >= 2.0 && place.swell_gap(3.0) >= 1.0);
    }
}
