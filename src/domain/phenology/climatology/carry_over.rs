//! Warmth carries over: after a warm month the weeks that follow are warmer than average too, and
//! after a cold one colder. Past years lend their weather to a season that began unlike theirs, so
//! each is moved to where a year that began like this one would have ended.
//!
//! How far is found from the past years themselves, place by place and stage by stage: the slope
//! of the day they lead to on the warmth of their own last weeks. On the recorded dates named in
//! [`crate::domain::phenology`] this takes 1 to 3 % off the error from mid January on.

use crate::domain::climate::daily::DailySeries;
use crate::domain::phenology::dormant_year::DormantYear;

/// Days whose warmth tells of the weeks after them (20, 30, 45, 60 and 90 tried).
const WINDOW_DAYS: usize = 30;
/// Fewest known days among them.
const FEWEST_DAYS: usize = 15;
/// Past years below which nothing is said.
const FEWEST_YEARS: usize = 10;
/// Years that "no slope at all" counts as: few years show a slope by luck.
const DOUBT_YEARS: f64 = 30.0;
/// A season stranger than this many standard deviations counts as this strange.
const STRANGEST: f64 = 2.0;

/// Mean temperature, °C, of the last days before day `until` of a dormant year; `None` where too
/// few are known.
pub fn last_warmth_c(temperatures: &DailySeries, year: DormantYear, until: usize) -> Option<f64> {
    let days: Vec<f64> = (until.saturating_sub(WINDOW_DAYS)..until)
        .filter_map(|day| temperatures.day(year.date(day)))
        .map(|(tmin_c, tmax_c)| f64::midpoint(tmin_c, tmax_c))
        .collect();
    (days.len() >= FEWEST_DAYS).then(|| days.iter().sum::<f64>() / days.len() as f64)
}

/// Moves the days that past years lead to. Each comes with its weight and with how much warmer
/// (°C) this season's last weeks were than its own; those without that stay where they are.
pub fn carry_over(days: &mut [(f32, f64)], warmer_c: &[Option<f64>]) {
    let told: Vec<(f64, f64, f64)> = days
        .iter()
        .zip(warmer_c)
        .filter_map(|((day, weight), warmer)| Some((f64::from(*day), *weight, (*warmer)?)))
        .collect();
    let total: f64 = told.iter().map(|t| t.1).sum();
    let squares: f64 = told.iter().map(|t| t.1 * t.1).sum();
    if told.len() < FEWEST_YEARS || total <= 0.0 {
        return;
    }
    let mean = |of: &dyn Fn(&(f64, f64, f64)) -> f64| {
        told.iter().map(|t| t.1 * of(t)).sum::<f64>() / total
    };
    let (usual_day, usual_warmer) = (mean(&|t| t.0), mean(&|t| t.2));
    let spread = mean(&|t| (t.2 - usual_warmer).powi(2));
    if spread <= 1e-9 {
        return;
    }
    let together = mean(&|t| (t.2 - usual_warmer) * (t.0 - usual_day));
    // Years as many as evenly weighted ones would be.
    let years = total * total / squares;
    let slope = together / spread * years / (years + DOUBT_YEARS);
    let far = STRANGEST * spread.sqrt();
    let stranger = usual_warmer.clamp(-far, far);
    for ((day, _), warmer) in days.iter_mut().zip(warmer_c) {
        if let Some(warmer) = warmer {
            *day -= (slope * (warmer - usual_warmer + stranger)) as f32;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    /// Past years whose ends follow their beginnings: 3 days earlier for each degree.
    fn years(this_c: f64) -> (Vec<(f32, f64)>, Vec<Option<f64>>) {
        (0..40)
            .map(|i| {
                let own_c = f64::from(i % 8) - 3.5;
                (((100.0 - 3.0 * own_c) as f32, 1.0), Some(this_c - own_c))
            })
            .unzip()
    }

    fn mean(days: &[(f32, f64)]) -> f64 {
        days.iter().map(|d| f64::from(d.0)).sum::<f64>() / days.len() as f64
    }

    #[test]
    fn a_warm_start_moves_the_end_as_past_years_did_with_doubt() {
        let (mut days, warmer) = years(2.0);
        carry_over(&mut days, &warmer);
        let part = 40.0 / (40.0 + DOUBT_YEARS);
        assert_abs_diff_eq!(mean(&days), 100.0 - 3.0 * 2.0 * part, epsilon = 1e-4);
        // What the beginning explains is no spread any more.
        let widest = |d: &[(f32, f64)]| {
            d.iter().map(|d| d.0).fold(f32::MIN, f32::max)
                - d.iter().map(|d| d.0).fold(f32::MAX, f32::min)
        };
        assert!(widest(&days) < 0.6 * widest(&years(2.0).0));
    }

    #[test]
    fn the_strangest_season_is_not_believed_without_end() {
        let (mut far, warmer) = years(30.0);
        carry_over(&mut far, &warmer);
        let (mut near, warmer) = years(6.0);
        carry_over(&mut near, &warmer);
        assert_abs_diff_eq!(mean(&far), mean(&near), epsilon = 1e-3);
    }

    #[test]
    fn few_years_and_years_that_tell_nothing_stay() {
        let (days, warmer) = years(2.0);
        let mut few = days[..6].to_vec();
        carry_over(&mut few, &warmer[..6]);
        assert_eq!(few, days[..6]);
        let mut silent = days.clone();
        carry_over(&mut silent, &vec![None; 40]);
        assert_eq!(silent, days);
        let mut even = days.clone();
        carry_over(&mut even, &vec![Some(1.0); 40]);
        assert_eq!(even, days);
    }

    #[test]
    fn warmth_is_the_mean_of_the_last_weeks_and_needs_half_of_them() {
        let year = DormantYear::of_spring(2021, 48.0);
        let from = year.date(100);
        let series = DailySeries::new(from, vec![0.0; 20], vec![10.0; 20]).unwrap();
        assert_eq!(last_warmth_c(&series, year, 120), Some(5.0));
        assert_eq!(last_warmth_c(&series, year, 114), None);
        assert_eq!(last_warmth_c(&series, year, 0), None);
    }
}
