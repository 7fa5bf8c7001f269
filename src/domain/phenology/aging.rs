//! Records age: kinds come earlier by a decade's warmth than models fitted on old springs say, and
//! cultivars and observers change. What the last springs on record were off by is carried on.
//!
//! Half of a recent mean (half-life 4 years) and half of a damped trend. On springs fitted before a
//! year and answered after it (ten cut-offs) Japanese apricot gains 21 %, other kinds lose or gain
//! under 3 %; no window of years has to be chosen.

use super::drift::Leftovers;
use std::collections::BTreeMap;

/// What a group's last springs were off by, observed less answered.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Aging {
    /// Last spring on record.
    pub last_year: f64,
    /// Mean of the last springs, shrunk, days.
    pub recent_days: f64,
    /// Trend at the last spring, days.
    pub trend_days: f64,
    /// Its slope, days a year.
    pub slope: f64,
}

/// Years in which a spring loses half its say in the recent mean.
const HALF_LIFE_YEARS: f64 = 4.0;
/// Dates that make a spring count in full.
const FULL_DATES: f64 = 4.0;
/// Springs that "no change" counts as in the recent mean.
const DOUBT_SPRINGS: f64 = 2.0;
/// Trend held possible, days a year.
const TREND_DAYS: f64 = 0.25;
/// Years over which a trend is carried on.
const DAMPED_YEARS: f64 = 30.0;
/// Fewest springs that tell anything.
const FEWEST_SPRINGS: usize = 8;
/// No more than this is ever added, days.
const MOST_DAYS: f64 = 10.0;

impl Aging {
    /// From the errors of a group's series, each judged without its own say.
    pub fn of(series: &[Leftovers]) -> Self {
        let mut springs: BTreeMap<i32, (f64, f64)> = BTreeMap::new();
        for one in series {
            for (year, error) in one.year.iter().zip(&one.error_days) {
                let spring = springs.entry(year.round() as i32).or_default();
                spring.0 += error;
                spring.1 += 1.0;
            }
        }
        let Some((&last, _)) = springs.last_key_value() else {
            return Self::default();
        };
        if springs.len() < FEWEST_SPRINGS {
            return Self::default();
        }
        let told: Vec<(f64, f64, f64)> = springs
            .iter()
            .map(|(&year, &(sum, count))| {
                (
                    f64::from(year - last),
                    sum / count,
                    (count / FULL_DATES).min(1.0),
                )
            })
            .collect();
        let (mut sum, mut total, mut squares) = (0.0, 0.0, 0.0);
        for (back, error, weight) in &told {
            let w = weight * 0.5f64.powf((1.0 - back) / HALF_LIFE_YEARS);
            sum += w * error;
            total += w;
            squares += w * w;
        }
        let worth = total * total / f64::max(squares, f64::MIN_POSITIVE);
        let recent_days = sum / total * worth / (worth + DOUBT_SPRINGS);
        let all: f64 = told.iter().map(|t| t.2).sum();
        let mean = |of: &dyn Fn(&(f64, f64, f64)) -> f64| {
            told.iter().map(|t| t.2 * of(t)).sum::<f64>() / all
        };
        let (middle, level) = (mean(&|t| t.0), mean(&|t| t.1));
        let spread = told
            .iter()
            .map(|t| t.2 * (t.0 - middle).powi(2))
            .sum::<f64>();
        let along = told
            .iter()
            .map(|t| t.2 * (t.0 - middle) * (t.1 - level))
            .sum::<f64>();
        let raw = along / spread.max(1e-9);
        let rest = told
            .iter()
            .map(|t| t.2 * raw.mul_add(-(t.0 - middle), t.1 - level).powi(2))
            .sum::<f64>()
            / all;
        let variance = rest / spread.max(1e-9);
        let slope = raw * TREND_DAYS.powi(2) / (TREND_DAYS.powi(2) + variance);
        Self {
            last_year: f64::from(last),
            recent_days,
            trend_days: -slope * middle,
            slope,
        }
    }

    /// What to add to an answer for a spring, days.
    pub fn days(&self, year: i32) -> f64 {
        let on = f64::from(year) - self.last_year;
        let days = if on >= 0.0 {
            let damped = DAMPED_YEARS * (1.0 - (-on / DAMPED_YEARS).exp());
            0.5 * self
                .slope
                .mul_add(damped, self.recent_days + self.trend_days)
        } else {
            let faded = 0.5f64.powf(-on / HALF_LIFE_YEARS);
            0.5 * faded.mul_add(self.recent_days, self.slope.mul_add(on, self.trend_days))
        };
        days.clamp(-MOST_DAYS, MOST_DAYS)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn series(slope: f64) -> Leftovers {
        let mut out = Leftovers::default();
        for i in 0..40 {
            let noise = if i % 2 == 0 { 1.0 } else { -1.0 };
            out.push(1980 + i, 0.0, slope.mul_add(f64::from(i) - 19.5, noise));
        }
        out
    }

    #[test]
    fn a_drift_is_carried_on_and_none_is_left_alone() {
        let drifting = vec![series(-0.35); 5];
        let aged = Aging::of(&drifting).days(2025);
        assert!((-9.0..=-5.0).contains(&aged), "{aged}");
        let still = Aging::of(&vec![series(0.0); 5]).days(2025);
        assert!(still.abs() < 0.5, "{still}");
        assert_eq!(Aging::of(&[]).days(2025), 0.0);
    }
}
