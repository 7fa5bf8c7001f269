//! From bloom down the ladder: a stage that has no records of its own is placed by its share of
//! the heat between the end of chilling and bloom.
//!
//! The shares come from the one confirmed set that begins at swelling, a nectarine: 786, 1385 and
//! 4016 growing degree hours (above 4.7 °C, no upper limit) to swelling, to the calyx in view and
//! to first bloom, counted from 62.5 chill portions, and 5518 to the end of bloom (Miranda,
//! Santesteban & Royo 2013, Agric. For. Meteorol. 178–179:129–139). Full bloom is taken half-way
//! between its beginning and end. For other species the same shares are an assumption, and the
//! spread says so.

use super::climatology::Member;
use super::models::crossing;
use super::species::Species;
use super::stage::Stage;

/// Growing degree hours of the confirmed set, from the end of chilling.
const SWELL_GDH: f32 = 786.0;
const BURST_GDH: f32 = 1385.0;
const FIRST_BLOOM_GDH: f32 = 4016.0;
const END_OF_BLOOM_GDH: f32 = 5518.0;

/// How a stage hangs on a later one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rung {
    /// The later stage.
    pub from: Stage,
    /// Share of the heat between the end of chilling and the later stage.
    pub share: f32,
    /// Spread that deriving adds, days (standard deviation).
    pub sd_days: f64,
    /// Chill portions taken as the end of chilling.
    pub portions: f32,
    /// Shortest and longest time believed between the two stages, days.
    pub lag_days: (f32, f32),
}

const fn gdh(stage: Stage) -> f32 {
    match stage {
        Stage::Swell => SWELL_GDH,
        Stage::Burst => BURST_GDH,
        Stage::FirstBloom => FIRST_BLOOM_GDH,
        Stage::FullBloom => f32::midpoint(FIRST_BLOOM_GDH, END_OF_BLOOM_GDH),
    }
}

impl Rung {
    /// The rung from `stage` down from `from`; `None` unless `from` is later.
    pub fn new(species: Species, stage: Stage, from: Stage, portions: f32) -> Option<Self> {
        // Between single springs the confirmed set swells 24–40 days before bloom, most of which
        // the heat explains; a share uncertain by a third moves swelling by about a week.
        let confirmed = matches!(species, Species::Nectarine | Species::Peach);
        let sd_days = match (stage, confirmed) {
            (Stage::Swell, true) => 5.0,
            (Stage::Swell, false) => 7.0,
            (Stage::Burst, true) => 4.0,
            (Stage::Burst, false) => 5.5,
            (Stage::FirstBloom | Stage::FullBloom, _) => 2.0,
        };
        // The confirmed set takes 24–40 days from swelling to bloom; twice that range is believed.
        let lag_days = match stage {
            Stage::Swell => (10.0, 60.0),
            Stage::Burst => (5.0, 45.0),
            Stage::FirstBloom | Stage::FullBloom => (1.0, 15.0),
        };
        (from > stage).then_some(Self {
            from,
            share: gdh(stage) / gdh(from),
            sd_days,
            portions,
            lag_days,
        })
    }

    /// Day of the stage in one possible season, from the day of the later one.
    pub fn day(&self, member: &Member, later_day: f32) -> f32 {
        let chilled = crossing(&member.chill, self.portions)
            .clamp(EARLIEST_DAY, (later_day - SHORTEST_DAYS).max(EARLIEST_DAY));
        let (from, to) = (level(&member.heat, chilled), level(&member.heat, later_day));
        let by_heat = crossing(&member.heat, (to - from).mul_add(self.share, from));
        by_heat.clamp(later_day - self.lag_days.1, later_day - self.lag_days.0)
    }
}

/// Chill does not end before this day of the dormant year (1 November in the north).
const EARLIEST_DAY: f32 = 61.0;
/// Shortest time from the end of chilling to the later stage, days.
const SHORTEST_DAYS: f32 = 20.0;

/// A running sum at a day with fractions.
fn level(sum: &[f32], day: f32) -> f32 {
    let end = sum.len().saturating_sub(1);
    let at = |i: usize| sum.get(i.min(end)).copied().unwrap_or(0.0);
    let low = day.max(0.0).floor();
    let share = day.max(0.0) - low;
    let low = low as usize;
    (at(low + 1) - at(low)).mul_add(share, at(low))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn shares_are_those_of_the_confirmed_set() {
        let rung = Rung::new(Species::Nectarine, Stage::Swell, Stage::FirstBloom, 62.5).unwrap();
        assert_abs_diff_eq!(rung.share, 0.196, epsilon = 0.001);
        assert!(Rung::new(Species::Apple, Stage::FullBloom, Stage::FirstBloom, 50.0).is_none());
    }

    #[test]
    fn levels_lie_between_the_days() {
        assert_abs_diff_eq!(level(&[0.0, 2.0, 6.0], 1.5), 4.0);
        assert_abs_diff_eq!(level(&[0.0, 2.0, 6.0], 9.0), 6.0);
    }
}
