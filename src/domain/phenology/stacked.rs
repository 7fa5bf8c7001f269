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
