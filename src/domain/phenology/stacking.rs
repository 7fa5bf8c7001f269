//! Shares of the members: the mixture with the least mean squared error on years left out.

/// Mean products of the members' errors, days²: a symmetric matrix, row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct ErrorProducts {
    size: usize,
    sums: Vec<f32>,
    weight: f32,
}

/// A year on which the middle member errs by more than this, days, weighs the less: its date may
/// be wrong.
pub const DOUBTED_DAYS: f32 = 25.0;

impl ErrorProducts {
    /// Nothing summed yet for `size` members.
    pub fn new(size: usize) -> Self {
        Self {
            size,
            sums: vec![0.0; size * size],
            weight: 0.0,
        }
    }

    /// From sums already made.
    pub fn from_means(size: usize, means: Vec<f32>) -> Option<Self> {
        (means.len() == size * size).then_some(Self {
            size,
            sums: means,
            weight: 1.0,
        })
    }

    /// Number of members.
    pub const fn size(&self) -> usize {
        self.size
    }

    /// Sum of the weights added.
    pub const fn weight(&self) -> f32 {
        self.weight
    }

    /// Adds one year's errors of all members, days.
    pub fn add(&mut self, errors: &[f32], weight: f32) {
        let mut sizes: Vec<f32> = errors.iter().map(|e| e.abs()).collect();
        sizes.sort_by(f32::total_cmp);
        let middle = sizes.get(sizes.len() / 2).copied().unwrap_or(0.0);
        let weight = weight * (DOUBTED_DAYS / middle.max(DOUBTED_DAYS)).powi(2);
        for (row, &a) in self.sums.chunks_exact_mut(self.size).zip(errors) {
            let a = weight * a;
            for (sum, &b) in row.iter_mut().zip(errors) {
                *sum += a * b;
            }
        }
        self.weight += weight;
    }

    /// Adds all of another's sums, `factor` times.
    pub fn add_scaled(&mut self, other: &Self, factor: f32) {
        for (sum, &b) in self.sums.iter_mut().zip(&other.sums) {
            *sum += factor * b;
        }
        self.weight += factor * other.weight;
    }

    /// Mean product of the errors of two members, days².
    pub fn mean(&self, a: usize, b: usize) -> f32 {
        self.sums
            .get(a * self.size + b)
            .map_or(0.0, |s| s / self.weight.max(f32::MIN_POSITIVE))
    }

    /// Shares on the simplex that minimise `wᵀ (A + ridge·I) w`, found by exponentiated gradient
    /// steps from equal shares. The ridge (days²) spreads the shares: few years cannot tell
    /// members apart that differ by less. Deterministic.
    pub fn shares(&self, ridge_days2: f32) -> Vec<f32> {
        let n = self.size;
        let scale = 1.0 / self.weight.max(f32::MIN_POSITIVE);
        let value = |w: &[f32], gradient: &mut Vec<f32>| {
            gradient.clear();
            let mut total = 0.0;
            for (row, &wi) in self.sums.chunks_exact(n).zip(w) {
                let along: f32 = row.iter().zip(w).map(|(a, b)| a * b).sum();
                let slope = scale.mul_add(along, ridge_days2 * wi);
                gradient.push(slope);
                total += wi * slope;
            }
            total
        };
        let mut shares = vec![1.0 / n.max(1) as f32; n];
        let (mut gradient, mut trial_gradient) = (Vec::with_capacity(n), Vec::with_capacity(n));
        let mut now = value(&shares, &mut gradient);
        let mut step = 0.05_f32;
        for _ in 0..MAX_STEPS {
            let mut trial: Vec<f32> = shares
                .iter()
                .zip(&gradient)
                .map(|(w, g)| w * (-(step * (g - now)).clamp(-3.0, 3.0)).exp())
                .collect();
            let sum: f32 = trial.iter().sum();
            for share in &mut trial {
                *share /= sum;
            }
            let then = value(&trial, &mut trial_gradient);
            if then > now {
                step *= 0.4;
                continue;
            }
            let gain = now - then;
            shares = trial;
            std::mem::swap(&mut gradient, &mut trial_gradient);
            now = then;
            step *= 1.3;
            if gain < 1e-5 * now {
                break;
            }
        }
        shares
    }
}

/// Steps after which the shares are good enough in any case.
const MAX_STEPS: usize = 150;

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn independent_errors_share_by_inverse_variance() {
        let mut products = ErrorProducts::new(2);
        for (a, b) in [(1.0, 2.0), (-1.0, 2.0), (1.0, -2.0), (-1.0, -2.0)] {
            products.add(&[a, b], 1.0);
        }
        let shares = products.shares(0.0);
        assert_abs_diff_eq!(shares[0], 0.8, epsilon = 0.02);
        assert_abs_diff_eq!(shares.iter().sum::<f32>(), 1.0, epsilon = 1e-5);
    }

    #[test]
    fn a_hopeless_member_gets_next_to_nothing_and_ridge_evens_out() {
        let mut products = ErrorProducts::new(3);
        products.add(&[1.0, 1.1, 90.0], 1.0);
        assert_abs_diff_eq!(products.weight(), 1.0);
        assert!(products.shares(1.0)[2] < 0.02);
        let even = products.shares(1e6);
        assert!(even.iter().all(|w| (w - 1.0 / 3.0).abs() < 0.05));
        assert_abs_diff_eq!(products.mean(2, 2), 8100.0, epsilon = 0.1);
    }
}
