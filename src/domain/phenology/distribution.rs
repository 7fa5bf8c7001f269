//! When a stage comes, as chance by day.

use std::sync::Arc;

use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};

/// The date of a stage as a distribution over civil days: every day in the window has a chance,
/// and the chances sum to 1. A clone shares them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StageDate {
    first: NaiveDate,
    /// `cumulative[i]` is the chance that the stage has come by the end of day `first + i`.
    #[serde(with = "shared")]
    cumulative: Arc<Vec<f64>>,
}

/// Chances as a plain list, whoever shares them.
mod shared {
    use serde::{Deserialize, Deserializer, Serialize, Serializer};
    use std::sync::Arc;

    pub(super) fn serialize<S: Serializer>(list: &Arc<Vec<f64>>, to: S) -> Result<S::Ok, S::Error> {
        list.as_slice().serialize(to)
    }

    pub(super) fn deserialize<'a, D: Deserializer<'a>>(from: D) -> Result<Arc<Vec<f64>>, D::Error> {
        Vec::deserialize(from).map(Arc::new)
    }
}

/// Chances are kept in single precision for the next start: equal is not above.
const LAST_DIGIT: f64 = 1e-6;

/// Is a chance above what is accepted? Chances are held in single precision: equal is not above.
pub(crate) fn exceeds(chance: f64, tolerance: f64) -> bool {
    chance > tolerance + LAST_DIGIT
}

/// Days within which half of the buds follow the first few
/// ([`FIRST_FEW`](crate::domain::sources::FIRST_FEW)).
pub const FEW_TO_HALF_DAYS: i64 = 7;
/// The chance that half of the buds are there on the day the first few were seen: just under even,
/// since the observer counted fewer than half.
const FEW_CHANCE: f64 = 0.49;

impl StageDate {
    /// From weights per day starting at `first`. Negative and non-finite weights count as 0;
    /// when nothing is left, the whole chance lies on `first`.
    pub fn from_weights(first: NaiveDate, weights: &[f64]) -> Self {
        let clean = |w: f64| if w.is_finite() && w > 0.0 { w } else { 0.0 };
        let total: f64 = weights.iter().map(|&w| clean(w)).sum();
        if total <= 0.0 {
            return Self {
                first,
                cumulative: Arc::new(vec![1.0]),
            };
        }
        let mut sum = 0.0;
        let mut cumulative: Vec<f64> = weights
            .iter()
            .map(|&w| {
                sum += clean(w) / total;
                sum.min(1.0)
            })
            .collect();
        if let Some(last) = cumulative.last_mut() {
            *last = 1.0;
        }
        Self {
            first,
            cumulative: Arc::new(cumulative),
        }
    }

    /// From the chances of having come by the end of consecutive days; made to lie in 0–1 and
    /// never to fall. The last day takes what is left.
    pub fn new(first: NaiveDate, by_day: impl IntoIterator<Item = f64>) -> Self {
        let mut highest = 0.0_f64;
        let mut weights: Vec<f64> = by_day
            .into_iter()
            .map(|by| {
                let before = highest;
                highest = highest.max(if by.is_finite() {
                    by.clamp(0.0, 1.0)
                } else {
                    0.0
                });
                highest - before
            })
            .collect();
        if let Some(last) = weights.last_mut() {
            *last += 1.0 - highest;
        }
        Self::from_weights(first, &weights)
    }

    /// First day with any chance in the window.
    pub const fn first_day(&self) -> NaiveDate {
        self.first
    }

    /// Every day of the window with the chance that the stage comes on that day.
    pub fn days(&self) -> impl Iterator<Item = (NaiveDate, f64)> + '_ {
        let mut before = 0.0;
        self.cumulative.iter().enumerate().map(move |(i, &by)| {
            let on = by - before;
            before = by;
            (self.date_at(i), on)
        })
    }

    /// Every day of the window with the chance that the stage has come by its end.
    pub fn by_days(&self) -> impl Iterator<Item = (NaiveDate, f64)> + '_ {
        self.cumulative
            .iter()
            .enumerate()
            .map(|(i, &by)| (self.date_at(i), by))
    }

    /// Chance (0–1) that the stage has come by the end of `date`.
    pub fn chance_by(&self, date: NaiveDate) -> f64 {
        let Ok(index) = usize::try_from((date - self.first).num_days()) else {
            return 0.0;
        };
        self.cumulative.get(index).copied().unwrap_or(1.0)
    }

    /// First day by which the chance reaches `p` (taken as 0–1).
    pub fn quantile(&self, p: f64) -> NaiveDate {
        let index = self
            .cumulative
            .partition_point(|&by| by < p.clamp(1e-9, 1.0) - 1e-12);
        self.date_at(index.min(self.cumulative.len().saturating_sub(1)))
    }

    /// Early edge: one chance in ten to be earlier.
    pub fn p10(&self) -> NaiveDate {
        self.quantile(0.1)
    }

    /// The middle.
    pub fn p50(&self) -> NaiveDate {
        self.quantile(0.5)
    }

    /// Late edge: one chance in ten to be later.
    pub fn p90(&self) -> NaiveDate {
        self.quantile(0.9)
    }

    /// Mean in days after [`StageDate::first_day`].
    pub fn mean_offset_days(&self) -> f64 {
        self.cumulative.iter().map(|by| 1.0 - by).sum()
    }

    /// The mean, to the nearest day.
    pub fn mean(&self) -> NaiveDate {
        self.date_at(self.mean_offset_days().round() as usize)
    }

    /// Latest day `d` for which the chance of the stage by `d + guard_days` is at most
    /// `tolerance`: the last day on which a spray that must be on before the stage is safe. When
    /// even the day before the window is too late, the answer lies before the window all the same.
    pub fn last_safe(&self, tolerance: f64, guard_days: u32) -> NaiveDate {
        let allowed = self
            .cumulative
            .partition_point(|&by| by <= tolerance.clamp(0.0, 1.0) + LAST_DIGIT);
        let before = Days::new(u64::from(guard_days) + 1);
        let first_unsafe = self.date_at(allowed);
        first_unsafe
            .checked_sub_days(before)
            .unwrap_or(first_unsafe)
    }

    /// The same where it is known to have come by a day: what lay later lies on that day.
    #[must_use]
    pub fn come_by(&self, day: NaiveDate) -> Self {
        let first = self.first.min(day);
        let by_day = first
            .iter_days()
            .take_while(|d| *d <= day)
            .map(|d| if d == day { 1.0 } else { self.chance_by(d) });
        Self::new(first, by_day)
    }

    /// The same where it is known not to have come by a day; where all of it lay before, the day
    /// after.
    #[must_use]
    pub fn after(&self, day: NaiveDate) -> Self {
        let before = self.chance_by(day);
        let next = day.succ_opt().unwrap_or(day);
        let left = 1.0 - before;
        if before <= 0.0 {
            return self.clone();
        }
        if left <= 1e-9 {
            return Self::from_weights(next, &[1.0]);
        }
        let by_day: Vec<f64> = self
            .by_days()
            .filter(|(d, _)| *d > day)
            .map(|(_, by)| (by - before) / left)
            .collect();
        if by_day.is_empty() {
            return Self::from_weights(next, &[1.0]);
        }
        Self::new(next, by_day)
    }

    /// The same where the first few buds showed it on a day: half of them, which makes the stage,
    /// may be there as well as not, and are there within [`FEW_TO_HALF_DAYS`]. Never later than
    /// before: a look in doubt must not make anything look safer.
    #[must_use]
    pub fn under_way_from(&self, day: NaiveDate) -> Self {
        let first = self.first.min(day);
        let by_day = first.iter_days().map_while(|d| {
            let since = (d - day).num_days();
            let least = match since {
                _ if since < 0 => 0.0,
                _ if since > FEW_TO_HALF_DAYS => return None,
                _ => FEW_CHANCE + (1.0 - FEW_CHANCE) * since as f64 / FEW_TO_HALF_DAYS as f64,
            };
            Some(self.chance_by(d).max(least))
        });
        Self::new(first, by_day)
    }

    /// Continuous ranked probability score against the day seen, in days: 0 is perfect, and for a
    /// single date it is the distance (Gneiting & Raftery 2007, J. Am. Stat. Assoc. 102:359–378;
    /// from memory).
    pub fn crps(&self, observed: NaiveDate) -> f64 {
        let seen = (observed - self.first).num_days();
        let end = i64::try_from(self.cumulative.len()).unwrap_or(i64::MAX);
        // Outside the window the cumulative chance is 0 before and 1 after: each day adds 1.
        let outside = if seen < 0 { -seen } else { (seen - end).max(0) };
        let inside: f64 = self
            .cumulative
            .iter()
            .zip(0..)
            .map(|(&by, day): (_, i64)| (by - if day >= seen { 1.0 } else { 0.0 }).powi(2))
            .sum();
        inside + outside as f64
    }

    /// The distribution with each day's chance multiplied by `likelihood(date)`: Bayes' rule.
    /// Where the likelihood rules out everything, the distribution stays as it was.
    #[must_use]
    pub fn conditioned(&self, likelihood: impl Fn(NaiveDate) -> f64) -> Self {
        let weights: Vec<f64> = self.days().map(|(day, on)| on * likelihood(day)).collect();
        if weights.iter().any(|w| w.is_finite() && *w > 0.0) {
            Self::from_weights(self.first, &weights)
        } else {
            self.clone()
        }
    }

    fn date_at(&self, index: usize) -> NaiveDate {
        self.first
            .checked_add_days(Days::new(index as u64))
            .unwrap_or(NaiveDate::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default()
    }

    fn flat() -> StageDate {
        StageDate::from_weights(day(2024, 2, 25), &[1.0; 10])
    }

    #[test]
    fn ten_equal_days_over_a_leap_day() {
        let d = flat();
        assert_eq!(d.p10(), day(2024, 2, 25));
        assert_eq!(d.p50(), day(2024, 2, 29));
        assert_eq!(d.p90(), day(2024, 3, 4));
        assert_abs_diff_eq!(d.chance_by(day(2024, 2, 29)), 0.5, epsilon = 1e-12);
        assert_eq!(d.chance_by(day(2024, 2, 24)), 0.0);
        assert_eq!(d.chance_by(day(2025, 1, 1)), 1.0);
    }

    #[test]
    fn last_safe_day_keeps_tolerance_and_guard() {
        let d = flat();
        assert_eq!(d.last_safe(0.1, 0), day(2024, 2, 25));
        assert_eq!(d.last_safe(0.1, 3), day(2024, 2, 22));
        assert_eq!(d.last_safe(0.0, 0), day(2024, 2, 24));
    }

    #[test]
    fn a_look_is_a_fact() {
        let d = flat();
        let seen = day(2024, 2, 27);
        let come = d.come_by(seen);
        assert_abs_diff_eq!(come.chance_by(seen), 1.0);
        let before = seen.pred_opt().unwrap();
        assert_abs_diff_eq!(come.chance_by(before), d.chance_by(before), epsilon = 1e-9);
        let not_yet = d.after(seen);
        assert_abs_diff_eq!(not_yet.chance_by(seen), 0.0);
        assert!(not_yet.p50() > d.p50() || d.p50() > seen);
        // All of it lay before: the day after, and never a gap.
        let late = day(2025, 1, 1);
        assert_eq!(d.after(late).p50(), day(2025, 1, 2));
        assert_abs_diff_eq!(d.come_by(day(2023, 1, 1)).chance_by(day(2023, 1, 1)), 1.0);
    }

    #[test]
    fn crps_of_a_single_date_is_the_distance() {
        let sure = StageDate::from_weights(day(2023, 3, 10), &[1.0]);
        assert_abs_diff_eq!(sure.crps(day(2023, 3, 10)), 0.0);
        assert_abs_diff_eq!(sure.crps(day(2023, 3, 14)), 4.0);
        assert_abs_diff_eq!(sure.crps(day(2023, 3, 3)), 7.0);
    }

    #[test]
    fn nothing_left_is_still_an_answer() {
        let d = StageDate::from_weights(day(2023, 3, 1), &[f64::NAN, -1.0]);
        assert_eq!(d.p50(), day(2023, 3, 1));
        assert_eq!(flat().conditioned(|_| 0.0), flat());
    }

    proptest! {
        #[test]
        fn quantiles_rise_and_the_chance_never_falls(weights in prop::collection::vec(0.0..5.0_f64, 1..80)) {
            let d = StageDate::from_weights(day(2023, 12, 20), &weights);
            prop_assert!(d.p10() <= d.p50() && d.p50() <= d.p90());
            let mut before = 0.0;
            for (date, on) in d.days() {
                prop_assert!(on >= -1e-12);
                let by = d.chance_by(date);
                prop_assert!(by >= before);
                before = by;
                prop_assert!(d.chance_by(d.last_safe(0.2, 0)) <= 0.2);
                prop_assert!(d.crps(date) >= 0.0);
            }
            prop_assert!((before - 1.0).abs() < 1e-12);
        }
    }
}
