//! Shares of the members for a group of series, and the errors these shares leave on springs that
//! had no say in them.
//!
//! Shares found on the very errors they are judged by look better than they are, the more so the
//! fewer springs there are. So the springs are dealt into parts, and what a part's errors are
//! judged with is found on the other parts only.

use super::calibrate::{FOLDS, MEMBERS, SeriesFit, fold_of};
use super::drift::Leftovers;
use super::stacking::ErrorProducts;

/// Ridge on the shares, days².
pub const RIDGE_DAYS2: f32 = 10.0;
/// Years of own records that weigh as much as the pool when the shares are found.
pub const POOL_YEARS: f32 = 40.0;
/// Fewest own years whose errors have a say in the shares.
const FEWEST_OWN_YEARS: usize = 3;

/// Shares for one series or a whole group.
#[derive(Debug, Clone)]
pub struct Stacked {
    shares: Vec<f32>,
    without: Vec<Vec<f32>>,
}

impl Stacked {
    /// From the errors of a pool of series with their weights, and a series' own.
    pub fn new<'a>(
        own: Option<&SeriesFit>,
        pool: impl IntoIterator<Item = (&'a SeriesFit, f32)>,
    ) -> Self {
        let mut folds = vec![ErrorProducts::new(MEMBERS); FOLDS];
        for (fit, weight) in pool {
            for (sum, fold) in folds.iter_mut().zip(&fit.folds) {
                sum.add_scaled(fold, weight);
            }
        }
        let own = own.filter(|fit| fit.len() >= FEWEST_OWN_YEARS);
        let but = |left_out: Option<usize>| {
            let sum = |folds: &[ErrorProducts]| {
                let mut all = ErrorProducts::new(MEMBERS);
                for (_, fold) in folds
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| Some(*i) != left_out)
                {
                    all.add_scaled(fold, 1.0);
                }
                all
            };
            shares(own.map(|fit| sum(&fit.folds)), &sum(&folds))
        };
        Self {
            shares: but(None),
            without: (0..FOLDS).map(|fold| but(Some(fold))).collect(),
        }
    }

    /// The shares, all springs having their say.
    pub fn shares(&self) -> &[f32] {
        &self.shares
    }

    /// Errors of a series, each spring judged by shares found without it.
    pub fn leftovers(&self, fit: &SeriesFit) -> Leftovers {
        fit.leftovers(|year| {
            self.without
                .get(fold_of(year))
                .map_or(self.shares.as_slice(), Vec::as_slice)
        })
    }
}

fn shares(own: Option<ErrorProducts>, pool: &ErrorProducts) -> Vec<f32> {
    let mut products = ErrorProducts::new(MEMBERS);
    let own_years = own.as_ref().map_or(0.0, ErrorProducts::weight);
    let rho = if pool.weight() > 0.0 {
        own_years / (own_years + POOL_YEARS)
    } else {
        1.0
    };
    if let Some(own) = own.filter(|_| own_years > 0.0) {
        products.add_scaled(&own, rho / own_years);
    }
    if pool.weight() > 0.0 {
        products.add_scaled(pool, (1.0 - rho) / pool.weight());
    }
    products.shares(RIDGE_DAYS2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::phenology::calibrate::CALENDAR;

    /// Two members that matter: the first right but for spoiled parts of the springs, where it is
    /// far off; the calendar middling everywhere.
    fn fit(spoiled: impl Fn(usize) -> bool) -> SeriesFit {
        let years: Vec<i32> = (2000..2020).collect();
        let errors: Vec<[f32; MEMBERS]> = years
            .iter()
            .map(|&year| {
                let sign = if year % 2 == 0 { 1.0 } else { -1.0 };
                let mut errors = [20.0 * sign; MEMBERS];
                errors[0] = if spoiled(fold_of(year)) { 18.0 } else { 0.5 } * sign;
                errors[CALENDAR] = 8.0;
                errors
            })
            .collect();
        SeriesFit::from_errors(years, errors)
    }

    #[test]
    fn a_spring_is_judged_by_shares_found_without_it() {
        let one = fit(|fold| fold == 2);
        let stacked = Stacked::new(None, [(&one, 1.0)]);
        let with = one.leftovers(|_| stacked.shares());
        let without = stacked.leftovers(&one);
        let spread = |l: &Leftovers| l.error_days.iter().map(|e| e * e).sum::<f64>();
        assert!(
            spread(&without) > 1.1 * spread(&with),
            "{} against {}",
            spread(&without),
            spread(&with)
        );
        let sum: f32 = stacked.shares().iter().sum();
        assert!((sum - 1.0).abs() < 1e-3);
    }

    #[test]
    fn own_errors_count_the_more_the_more_years_there_are() {
        let (own, pool) = (fit(|_| false), fit(|_| true));
        let alone = Stacked::new(Some(&own), []);
        let both = Stacked::new(Some(&own), [(&pool, 1.0)]);
        let others = Stacked::new(None, [(&pool, 1.0)]);
        let first = |s: &Stacked| s.shares()[0];
        assert!(first(&alone) > 0.5, "{}", first(&alone));
        assert!(first(&alone) > first(&both) && first(&both) > first(&others));
        let nothing = Stacked::new(None, []);
        let even = 1.0 / MEMBERS as f32;
        assert!(nothing.shares().iter().all(|s| (s - even).abs() < 1e-4));
    }
}
