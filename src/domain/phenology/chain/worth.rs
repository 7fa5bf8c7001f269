//! What a look at the buds would be worth: the range with it against the range without it.
//!
//! A look on a day would find one of the stages of the ladder. Each draw says which; the draws that
//! say the same leave a range, and the mean of those ranges, by how likely each is, is what a look
//! is expected to leave.

use super::{Chain, Draw, LADDER, rung_of};

/// The range of a stage now, and as a look is expected to leave it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LookWorth {
    /// P10 to P90 now, days.
    pub now_days: f64,
    /// The same after a look, on average, days.
    pub then_days: f64,
}

impl LookWorth {
    /// Days by which a look is expected to narrow the range.
    pub fn gain_days(&self) -> f64 {
        self.now_days - self.then_days
    }
}

impl Chain {
    /// What a look on `day` of the dormant year is worth for a stage.
    pub fn look_worth(&self, day: i64, bbch: u8) -> LookWorth {
        let rung = rung_of(bbch).unwrap_or(0);
        let end = day as f32 + 1.0;
        let mut found: Vec<Vec<(f32, f64)>> = vec![Vec::new(); LADDER.len() + 1];
        let mut all: Vec<(f32, f64)> = Vec::with_capacity(self.draws.len());
        for Draw { weight, days } in &self.draws {
            let state = days.iter().take_while(|d| **d < end).count();
            let one = (days[rung], *weight);
            all.push(one);
            if let Some(list) = found.get_mut(state) {
                list.push(one);
            }
        }
        let total: f64 = all.iter().map(|d| d.1).sum();
        let now_days = width(&mut all);
        let then_days = found
            .iter_mut()
            .filter(|list| !list.is_empty())
            .map(|list| {
                let part: f64 = list.iter().map(|d| d.1).sum();
                part / f64::max(total, f64::MIN_POSITIVE) * width(list)
            })
            .sum();
        LookWorth {
            now_days,
            then_days,
        }
    }
}

/// P10 to P90 of weighted days.
fn width(days: &mut [(f32, f64)]) -> f64 {
    days.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = days.iter().map(|d| d.1).sum();
    let at = |p: f64| {
        let mut sum = 0.0;
        days.iter()
            .find(|d| {
                sum += d.1;
                sum >= p * total
            })
            .or(days.last())
            .map_or(0.0, |d| f64::from(d.0))
    };
    at(0.9) - at(0.1)
}
