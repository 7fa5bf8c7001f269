//! From bloom down the ladder: a stage that has no records of its own is placed by its distance in
//! days before a later one.
//!
//! Heat between the stages was tried first: shares of the heat from the end of chilling to bloom,
//! as a nectarine needs it (786, 1385 and 4016 growing degree hours above 4.7 °C after 62.5 chill
//! portions to swelling, to the calyx in view and to first bloom; Miranda, Santesteban & Royo 2013,
//! Agric. For. Meteorol. 178–179:129–139). On 2,041 springs with both bud burst and first bloom on
//! record (Korea Meteorological Administration, twelve stations, four kinds) that share explains
//! nothing of the distance: correlations of −0.03 to 0.11, errors of 11–15 d against 6–9 d for the
//! plain mean distance, and in mild winters it puts swelling two months before bloom. So the
//! distance is a number of days with a wide spread:
//!
//! - swelling to first bloom: 32 d on average, 24–40 d in single springs (the nectarine's
//!   requirements run over ten springs at Tudela);
//! - bud burst to first bloom: 12–17 d on average by kind, 5–9 d either way between springs and
//!   observers (the Korean records); 24 d for the calyx in view of the nectarine. For other kinds
//!   the middle of these is taken.

use super::species::Species;
use super::stage::Stage;

/// How a stage hangs on a later one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rung {
    /// The later stage.
    pub from: Stage,
    /// Days before the later stage.
    pub before_days: f32,
    /// How far the mean distance of this kind and place may lie from that, days (standard
    /// deviation); dates seen of the stage narrow it.
    pub place_sd_days: f64,
    /// Spread from spring to spring, days (standard deviation).
    pub spring_sd_days: f64,
}

/// Days before first bloom.
const fn before_first_bloom(stage: Stage) -> f32 {
    match stage {
        Stage::Swell => 32.0,
        Stage::Burst => 18.0,
        Stage::FirstBloom => 0.0,
        // Median distance in the carried records of first and full bloom.
        Stage::FullBloom => -4.0,
    }
}

impl Rung {
    /// The rung from `stage` down from `from`; `None` unless `from` is later.
    pub fn new(species: Species, stage: Stage, from: Stage) -> Option<Self> {
        let confirmed = matches!(species, Species::Nectarine | Species::Peach);
        // 24–40 d in single springs is about five days either way; between kinds nothing is
        // published, so as much again is allowed where the set is of another kind.
        let (place_sd_days, spring_sd_days) = match (stage, confirmed) {
            (Stage::Swell, true) => (2.5, 5.0),
            (Stage::Swell, false) => (6.0, 5.0),
            (Stage::Burst, _) => (5.0, 5.0),
            (Stage::FirstBloom | Stage::FullBloom, _) => (1.5, 1.5),
        };
        (from > stage).then_some(Self {
            from,
            before_days: before_first_bloom(stage) - before_first_bloom(from),
            place_sd_days,
            spring_sd_days,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn distances_are_those_of_the_records() {
        let rung = Rung::new(Species::Nectarine, Stage::Swell, Stage::FirstBloom).unwrap();
        assert_abs_diff_eq!(rung.before_days, 32.0);
        let other = Rung::new(Species::Apple, Stage::Swell, Stage::FullBloom).unwrap();
        assert_abs_diff_eq!(other.before_days, 36.0);
        assert!(other.place_sd_days > rung.place_sd_days);
        assert!(Rung::new(Species::Apple, Stage::FullBloom, Stage::FirstBloom).is_none());
    }
}
