//! The chain of stages: swell, first green, half-inch green … full bloom as one joint answer.
//!
//! Every way the season may go leads to a day of bloom and to gaps before and after it. Errors of
//! the bloom day, of the gaps and of the eye are drawn from one fixed, evenly spread sequence
//! ([`noise`]); each draw is a whole row of days, in order by construction, because every stage is
//! the next one less a positive gap. A look at the buds is a fact: it holds in every draw
//! ([`looks`]). What a stage of any BBCH number is answered with is the draws' days for it.
//!
//! The form of the gap: `ln gap = ln middle + c·e + r·z`, `middle` the gap the models see in that
//! weather, `e` the error of the bloom day in that draw (days), `z` the eye's noise. A late error of
//! bloom lengthens the gap, so that the stage before it errs by less than bloom does.

mod cultivar;
mod gaps;
mod looks;
mod noise;
mod worth;

pub use cultivar::Class;
pub use gaps::{Gap, Gaps, Kind, first_to_full_days};
pub use looks::Look;
pub use worth::LookWorth;

use super::distribution::StageDate;
use super::dormant_year::DormantYear;
use noise::{ROWS, noise};

/// BBCH numbers a draw has a day for, earliest first (51 to 59 of the flower buds).
pub const LADDER: [u8; 10] = [51, 52, 53, 54, 55, 56, 57, 59, 60, 65];

/// Places of the stages that the gaps lie between.
const SWELL: usize = 0;
const GREEN: usize = 2;
const BLOOM: usize = 8;
const FULL: usize = 9;

/// Draws that a chain has, about: with few ways the season may go each gets more.
const DRAWS: usize = 2400;
/// Fewest draws a way gets.
const FEWEST: usize = 24;

/// Place in [`LADDER`] of the latest stage that a BBCH number has reached; `None` while dormant.
/// Leaf buds' numbers are read as the flower buds' stage of the same look.
pub const fn rung_of(bbch: u8) -> Option<usize> {
    Some(match bbch {
        1..=6 | 51 => SWELL,
        52 => 1,
        7..=9 | 53 => GREEN,
        10 | 54 => 3,
        11..=19 | 55 => 4,
        56 => 5,
        57 | 58 => 6,
        59 => 7,
        60..=64 => BLOOM,
        65..=u8::MAX => FULL,
        _ => return None,
    })
}

/// One way the season may go, as the models see it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// Weight among the ways.
    pub weight: f64,
    /// Middle of the anchor: day of the dormant year, corrected by all that own dates say.
    pub anchor_day: f32,
    /// Days from swell to first green, from there to first bloom, from there to full bloom.
    pub gap_days: [f32; 3],
}

/// Which stage of bloom the days of the ways are of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// First bloom.
    First,
    /// Full bloom.
    Full,
}

/// One draw: a day of the dormant year for every stage of [`LADDER`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Draw {
    pub(super) weight: f64,
    pub(super) days: [f32; LADDER.len()],
}

/// The joint answer for one block.
#[derive(Debug, Clone)]
pub struct Chain {
    year: DormantYear,
    draws: Vec<Draw>,
}

impl Chain {
    /// Draws the chain. `anchor_sd_days` is the spread of the anchor about a way's day.
    pub fn new(
        year: DormantYear,
        anchor: Anchor,
        anchor_sd_days: f64,
        gaps: &Gaps,
        ways: &[Way],
    ) -> Self {
        let each = (DRAWS / ways.len().max(1)).clamp(FEWEST, ROWS);
        let rows = noise();
        let mut draws = Vec::with_capacity(each * ways.len());
        for (i, way) in ways.iter().enumerate() {
            for k in 0..each {
                let Some(row) = rows.get((i * each + k) % ROWS) else {
                    continue;
                };
                let error = (anchor_sd_days * row.error) as f32;
                draws.push(Draw {
                    weight: way.weight,
                    days: days_of(way, anchor, error, gaps, &row.z),
                });
            }
        }
        Self { year, draws }
    }

    /// The chain with this season's looks at the buds as facts.
    pub fn seen(&mut self, looks: &[Look]) {
        looks::hold(&mut self.draws, looks);
    }

    /// When a stage comes: any BBCH number; beyond full bloom that of full bloom.
    pub fn date(&self, bbch: u8) -> StageDate {
        let rung = rung_of(bbch).unwrap_or(SWELL);
        let mut first = usize::MAX;
        let mut last = 0;
        for draw in &self.draws {
            let day = whole_day(draw.days[rung]);
            first = first.min(day);
            last = last.max(day);
        }
        if first > last {
            return StageDate::from_weights(self.year.first(), &[]);
        }
        let mut weights = vec![0.0; last - first + 1];
        for draw in &self.draws {
            if let Some(slot) = weights.get_mut(whole_day(draw.days[rung]) - first) {
                *slot += draw.weight;
            }
        }
        StageDate::from_weights(self.year.date(first), &weights)
    }

    /// The days of a stage in every draw with their weights, days of the dormant year.
    pub(super) fn days(&self, bbch: u8) -> impl Iterator<Item = (f32, f64)> + '_ {
        let rung = rung_of(bbch).unwrap_or(SWELL);
        self.draws.iter().map(move |d| (d.days[rung], d.weight))
    }

    /// Mean day of a stage, with fractions, in days of the dormant year.
    pub fn mean_day(&self, bbch: u8) -> f64 {
        let (sum, total) = self.days(bbch).fold((0.0, 0.0), |(sum, total), (day, w)| {
            (w.mul_add(f64::from(day), sum), total + w)
        });
        sum / f64::max(total, f64::MIN_POSITIVE)
    }
}

fn whole_day(day: f32) -> usize {
    day.max(0.0) as usize
}

/// One draw's days from its way, the error of its anchor and its noise.
fn days_of(
    way: &Way,
    anchor: Anchor,
    error: f32,
    gaps: &Gaps,
    z: &[f32; 4],
) -> [f32; LADDER.len()] {
    let gap = |middle: f32, of: &Gap, z: f32, error: f32| {
        let ln = of.per_error_day.mul_add(error, of.sd * z);
        (middle * ln.clamp(-1.6, 1.6).exp()).clamp(of.shortest_days, of.longest_days)
    };
    let [to_green, to_bloom, to_full] = way.gap_days;
    let at = way.anchor_day + error;
    let opening = gap(to_full, &gaps.to_full, z[3], 0.0);
    let (first, full) = match anchor {
        Anchor::First => (at, at + opening),
        Anchor::Full => (at - opening, at),
    };
    let before_bloom = gap(to_bloom, &gaps.to_bloom, z[0], error);
    let green = first - before_bloom;
    let swell = green - gap(to_green, &gaps.to_green, z[1], 0.0);
    let mut days = [0.0; LADDER.len()];
    days[SWELL] = swell;
    days[1] = f32::midpoint(swell, green);
    days[GREEN] = green;
    // Stages between first green and first bloom lie at shares of that gap; the first share
    // scatters, the others keep their distance from it.
    let first_share = (gaps.shares[0] * (0.25 * z[2]).exp()).clamp(0.05, 0.6);
    let rest = (1.0 - first_share) / (1.0 - gaps.shares[0]);
    for (slot, share) in days[GREEN + 1..BLOOM].iter_mut().zip(&gaps.shares) {
        *slot = green + before_bloom * (1.0 - share).mul_add(-rest, 1.0);
    }
    days[BLOOM] = first;
    days[FULL] = full;
    days
}

#[cfg(test)]
mod tests;
