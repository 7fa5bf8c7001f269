//! What speaks against a look at the buds before it is kept: a look is a fact, so a slip of the
//! pen is worth a word.

use super::Estimates;
use crate::domain::season::{Block, BlockId, HowMany, Reading, Season};
use chrono::NaiveDate;
use std::ops::Range;

/// Stages of this spring's buds, from swelling to the end of bloom.
const OF_SPRING: Range<u8> = 51..90;
/// A stage that came earlier than one spring in so many would have it is worth a second look.
const SELDOM: f64 = 0.01;

/// A look that has been taken and is to be kept.
#[derive(Debug, Clone, Copy)]
pub struct Look<'a> {
    /// The day it was taken.
    pub date: NaiveDate,
    /// BBCH stage seen.
    pub bbch: u8,
    /// How many of the buds show it.
    pub how_many: HowMany,
    /// The blocks; none means all.
    pub blocks: &'a [BlockId],
}

impl Look<'_> {
    fn blocks_in<'s>(&self, season: &'s Season) -> impl Iterator<Item = &'s Block> {
        season
            .blocks
            .iter()
            .filter(|b| self.blocks.is_empty() || self.blocks.contains(&b.id))
    }

    /// Why it cannot be kept: it is of a day to come, or of buds before the leaves were down.
    pub fn refused(&self, season: &Season, today: NaiveDate) -> Option<String> {
        if self.date > today {
            return Some(format!(
                "{} has not come yet; enter a look with the day it was taken",
                self.date
            ));
        }
        if !OF_SPRING.contains(&self.bbch) {
            return None;
        }
        let block = self
            .blocks_in(season)
            .find(|b| self.date <= season.leaf_drop(b).0)?;
        let (drop, seen) = season.leaf_drop(block);
        let how = if seen { "seen down" } else { "expected down" };
        Some(format!(
            "the leaves of {} are {how} on {drop}: buds of the next spring do not open before; correct the day of the look, or that of leaf drop",
            block.name
        ))
    }

    /// What is told beside keeping it: an older look that it contradicts, a day that hardly any
    /// spring would bring.
    pub fn told(&self, season: &Season, estimates: &Estimates) -> Vec<String> {
        if !OF_SPRING.contains(&self.bbch) && self.bbch != 0 {
            return Vec::new();
        }
        let mut told = Vec::new();
        for block in self.blocks_in(season) {
            let other = season
                .readings
                .iter()
                .filter(|r| r.is_for(&block.id))
                .find_map(|r| match r {
                    Reading::Buds {
                        date,
                        bbch,
                        how_many,
                        ..
                    } if OF_SPRING.contains(bbch) => {
                        // The first few run ahead of the others: that contradicts nothing but
                        // buds that are tight.
                        let few = |how_many| how_many == HowMany::FirstFew;
                        let back = *date <= self.date
                            && *bbch > self.bbch
                            && (!few(*how_many) || self.bbch == 0);
                        let ahead = *date >= self.date && *bbch < self.bbch && !few(self.how_many);
                        (back || ahead).then_some((*date, *bbch))
                    }
                    _ => None,
                });
            if let Some((date, bbch)) = other {
                told.push(format!(
                    "{}: BBCH {bbch} was seen on {date}, and buds do not go back; take out the look that is wrong",
                    block.name
                ));
                continue;
            }
            let chance = estimates
                .of(&block.id)
                .map(|e| e.at_bbch(self.bbch).chance_by(self.date));
            if OF_SPRING.contains(&self.bbch) && chance.is_some_and(|c| c < SELDOM) {
                told.push(format!(
                    "{}: fewer than 1 spring in 100 would have this by {}; look at ten buds again, and take this look out if it was a slip",
                    block.name, self.date
                ));
            }
        }
        told
    }
}
