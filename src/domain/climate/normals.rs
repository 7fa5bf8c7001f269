//! Twelve monthly normals of a place, how well they are known, and what a record adds to them.

use chrono::{Datelike, NaiveDate};

use super::daily::DailySeries;

/// Mean daily minimum and maximum of the twelve months, °C, January first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthlyNormals {
    /// Mean minimum of each month.
    pub tmin_c: [f64; 12],
    /// Mean maximum of each month.
    pub tmax_c: [f64; 12],
    /// How far weather and truth may lie from them.
    pub spread: Spread,
    /// Where they come from.
    pub from: NormalsFrom,
}

/// Standard deviations around normals, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Of the normals themselves from the truth.
    pub level_sd_c: f64,
    /// Of whole winters, beyond what days that follow each other make of themselves.
    pub season_sd_c: f64,
    /// Of single days.
    pub day_sd_c: f64,
}

impl Default for Spread {
    /// Of normals that somebody gave, in a temperate winter (from memory, no source seen).
    fn default() -> Self {
        Self {
            level_sd_c: 0.8,
            season_sd_c: 0.8,
            day_sd_c: 4.0,
        }
    }
}

/// Where normals come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NormalsFrom {
    /// The grower gave them.
    Given,
    /// The climate of the area, carried in the program.
    Area,
    /// The same, moved to what a record of the place says.
    AreaAndRecord,
    /// The same, moved to a typical year of the place.
    AreaAndTypical,
}

/// Days of a record below which it says nothing of normals.
const FEWEST_DAYS: usize = 20;
/// How far one month may lie off when the year as a whole is right, °C.
const MONTH_SD_C: f64 = 0.8;
/// How far one month of one year strays from its normal, °C (1.0 to 2.7 at 27 stations in
/// winter, a trend taken off).
const MONTH_STRAYS_C: f64 = 1.7;
/// Years that a typical year stands for: its months are chosen out of decades as the most usual
/// ones (Wilcox & Marion 2008, Users Manual for TMY3 Data Sets, NREL/TP-581-43156).
const TYPICAL_WORTH_YEARS: f64 = 12.0;
/// Days of a month that count as a whole one.
const WHOLE_MONTH_DAYS: f64 = 30.0;

impl MonthlyNormals {
    /// Normals that the grower gave, °C.
    pub fn given(tmin_c: [f64; 12], tmax_c: [f64; 12]) -> Self {
        Self {
            tmin_c,
            tmax_c,
            spread: Spread::default(),
            from: NormalsFrom::Given,
        }
    }

    /// Normal minimum and maximum of a day, °C: straight lines between mid-months.
    pub fn day(&self, date: NaiveDate) -> (f64, f64) {
        let place = f64::from(date.month0()) + (f64::from(date.day()) - 15.5) / 30.4;
        let share = place.rem_euclid(1.0);
        let low = place.floor().rem_euclid(12.0) as usize % 12;
        let high = (low + 1) % 12;
        let mix = |v: &[f64; 12]| (v[high] - v[low]).mul_add(share, v[low]);
        (mix(&self.tmin_c), mix(&self.tmax_c))
    }

    /// Moved to what a record says: as a whole, and month by month as far as each month is known.
    /// One odd winter moves them little, ten winters all the way (Bayes, normal errors).
    #[must_use]
    pub fn improved_by(&self, record: &DailySeries) -> Self {
        self.moved_to(record, 1.0, NormalsFrom::AreaAndRecord)
    }

    /// Moved to what a typical year says, which counts for many.
    #[must_use]
    pub fn improved_by_typical(&self, year: &DailySeries) -> Self {
        self.moved_to(year, TYPICAL_WORTH_YEARS, NormalsFrom::AreaAndTypical)
    }

    fn moved_to(&self, record: &DailySeries, worth_years: f64, from: NormalsFrom) -> Self {
        let mut sums = [(0.0, 0.0, 0.0); 12];
        let mut days = 0;
        for (date, day) in record.iter() {
            let (Some((low, high)), Some(sum)) = (day, sums.get_mut(date.month0() as usize)) else {
                continue;
            };
            let (normal_low, normal_high) = self.day(date);
            *sum = (
                sum.0 + low - normal_low,
                sum.1 + high - normal_high,
                sum.2 + 1.0,
            );
            days += 1;
        }
        if days < FEWEST_DAYS {
            return *self;
        }
        let whole: f64 = sums.iter().map(|s| s.2).sum::<f64>() / WHOLE_MONTH_DAYS * worth_years;
        let seen = sums.iter().filter(|s| s.2 > 0.0).count() as f64;
        let Spread {
            level_sd_c,
            season_sd_c,
            day_sd_c,
        } = self.spread;
        // Noise of the mean over the months seen: winters that were odd as a whole, months that
        // were, and months that lie off themselves.
        let years = (whole / seen).max(0.1);
        let noise = (season_sd_c * season_sd_c) / years
            + MONTH_STRAYS_C.powi(2) / whole
            + MONTH_SD_C.powi(2) / seen;
        let believed = level_sd_c.powi(2) / (level_sd_c.powi(2) + noise);
        // Minimum and maximum apart, so that the daily range is learnt too.
        let moved = |of: &dyn Fn(&(f64, f64, f64)) -> f64| -> [f64; 12] {
            let known = sums.iter().filter(|s| s.2 > 0.0);
            let total: f64 = known.clone().map(|s| s.2.min(WHOLE_MONTH_DAYS)).sum();
            let mean = known
                .map(|s| of(s) / s.2 * s.2.min(WHOLE_MONTH_DAYS))
                .sum::<f64>()
                / total;
            std::array::from_fn(|m| {
                let all = believed * mean;
                let Some(sum) = sums.get(m).filter(|s| s.2 > 0.0) else {
                    return all;
                };
                let count = sum.2 / WHOLE_MONTH_DAYS * worth_years;
                let strays = MONTH_STRAYS_C.powi(2) / count;
                let own = MONTH_SD_C.powi(2) / (MONTH_SD_C.powi(2) + strays);
                all + own * (of(sum) / sum.2 - all)
            })
        };
        let (low, high) = (moved(&|s| s.0), moved(&|s| s.1));
        let add = |to: &[f64; 12], by: &[f64; 12]| std::array::from_fn(|m| to[m] + by[m]);
        Self {
            tmin_c: add(&self.tmin_c, &low),
            tmax_c: add(&self.tmax_c, &high),
            spread: Spread {
                level_sd_c: level_sd_c * (1.0 - believed).sqrt(),
                season_sd_c,
                day_sd_c,
            },
            from: match self.from {
                NormalsFrom::Given => NormalsFrom::Given,
                _ => from,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn flat() -> MonthlyNormals {
        let mut normals = MonthlyNormals::given([0.0; 12], [10.0; 12]);
        normals.spread.level_sd_c = 2.0;
        normals
    }

    fn record(days: usize, above_c: f32) -> DailySeries {
        let first = NaiveDate::from_ymd_opt(2015, 1, 1).unwrap();
        DailySeries::new(first, vec![above_c; days], vec![10.0 + above_c + 2.0; days]).unwrap()
    }

    #[test]
    fn a_day_lies_between_the_middles_of_its_months() {
        let mut normals = flat();
        normals.tmin_c[0] = -4.0;
        let date = |m, d| NaiveDate::from_ymd_opt(2024, m, d).unwrap();
        let (low, high) = normals.day(date(1, 31));
        assert!((-4.0..0.0).contains(&low), "{low}");
        assert_abs_diff_eq!(high, 10.0);
        assert!(normals.day(date(2, 29)).0 > -1.0);
    }

    #[test]
    fn ten_years_move_normals_all_the_way_a_month_a_little_and_days_not_at_all() {
        let decade = flat().improved_by(&record(3653, 3.0));
        assert_abs_diff_eq!(decade.tmin_c[0], 3.0, epsilon = 0.4);
        assert_abs_diff_eq!(decade.tmax_c[0], 15.0, epsilon = 0.5);
        assert!(decade.spread.level_sd_c < 0.5);
        let month = flat().improved_by(&record(31, 3.0));
        assert!((0.5..2.5).contains(&month.tmin_c[0]), "{month:?}");
        assert!(month.tmin_c[6] > 0.3 && month.tmin_c[6] < month.tmin_c[0] + 1e-9);
        assert!((1.0..2.0).contains(&month.spread.level_sd_c));
        assert_eq!(flat().improved_by(&record(10, 3.0)), flat());
    }
}
