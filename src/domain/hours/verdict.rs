//! Hour by hour: fit, doubtful or unfit for a task, with every reason.

mod look;
mod words;

pub use words::{rain, temperature, wind};

use std::ops::Range;

use chrono::NaiveDate;

use super::air::Air;
use super::limits::{Limit, Limits, Weight};

/// What an hour is for a task, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fit {
    /// A limit is missed.
    Unfit,
    /// A limit may be missed, or something is not known.
    Doubtful,
    /// Every limit is kept as far as the hours are known.
    Fit,
}

impl Fit {
    /// The word shown, so that nothing rests on colour.
    pub fn words(self) -> &'static str {
        match self {
            Self::Unfit => "unfit",
            Self::Doubtful => "doubtful",
            Self::Fit => "fit",
        }
    }

    /// One letter for a grid.
    pub fn letter(self) -> char {
        match self {
            Self::Unfit => 'x',
            Self::Doubtful => '?',
            Self::Fit => 'o',
        }
    }
}

/// A value that was not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unknown {
    /// Air temperature of the hour.
    Temperature,
    /// Temperature in the hours before or after.
    TemperatureAround,
    /// Rain in the hours before or after.
    RainAround,
    /// Wind.
    Wind,
    /// Where the wind comes from.
    WindDirection,
    /// Humidity.
    Humidity,
    /// Whether bark is wet.
    Bark,
    /// Whether the film dries in time.
    Drying,
    /// The sun's height.
    Sun,
}

/// What was found about a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// The limit is missed: by this value, first in this hour.
    Missed {
        /// The value, in the unit of the limit.
        value: f64,
        /// The hour it is found in.
        hour: usize,
    },
    /// It may be missed: the estimate leaves it open.
    Open {
        /// The value, in the unit of the limit.
        value: f64,
        /// The hour it is found in.
        hour: usize,
    },
    /// Something is not known.
    Unknown(Unknown),
}

/// One reason why an hour is less than fit, or worth a word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reason {
    /// What was asked.
    pub limit: Limit,
    /// What was found.
    pub finding: Finding,
    /// How grave it is.
    pub weight: Weight,
}

/// The verdicts of a run of hours for one task.
#[derive(Debug, Clone)]
pub struct Grid {
    /// What was asked.
    pub limits: Limits,
    first: usize,
    cells: Vec<Cell>,
    reasons: Vec<Reason>,
}

#[derive(Debug, Clone, Copy)]
struct Cell {
    fit: Fit,
    from: u32,
    len: u32,
}

impl Grid {
    /// Judges every hour of a run.
    pub fn new(air: &Air, limits: Limits, hours: Range<usize>) -> Self {
        let hours = hours.start..hours.end.min(air.len()).max(hours.start);
        let mut cells = Vec::with_capacity(hours.len());
        let mut reasons: Vec<Reason> = Vec::with_capacity(hours.len() * 2);
        for hour in hours.clone() {
            let from = reasons.len();
            for limit in &limits.all {
                if let Some((finding, weight)) = look::look(air, &limits, *limit, hour) {
                    let told = matches!(finding, Finding::Unknown(_))
                        && reasons.iter().skip(from).any(|r| r.finding == finding);
                    if !told {
                        reasons.push(Reason {
                            limit: *limit,
                            finding,
                            weight,
                        });
                    }
                }
            }
            let worst = reasons.iter().skip(from).map(|r| r.weight).max();
            let fit = match worst {
                Some(Weight::Stop) => Fit::Unfit,
                Some(Weight::Doubt) => Fit::Doubtful,
                Some(Weight::Advice) | None => Fit::Fit,
            };
            cells.push(Cell {
                fit,
                from: from as u32,
                len: (reasons.len() - from) as u32,
            });
        }
        // A board holds one for every open spray.
        reasons.shrink_to_fit();
        Self {
            limits,
            first: hours.start,
            cells,
            reasons,
        }
    }

    /// The hours judged, as places in the air.
    pub fn hours(&self) -> Range<usize> {
        self.first..self.first + self.cells.len()
    }

    fn cell(&self, hour: usize) -> Option<Cell> {
        self.cells.get(hour.checked_sub(self.first)?).copied()
    }

    /// The verdict of an hour; `None` outside.
    pub fn fit(&self, hour: usize) -> Option<Fit> {
        self.cell(hour).map(|c| c.fit)
    }

    /// Why, gravest first.
    pub fn reasons(&self, hour: usize) -> Vec<Reason> {
        let mut found: Vec<Reason> = self.raw_reasons(hour).to_vec();
        found.sort_by_key(|r| std::cmp::Reverse(r.weight));
        found
    }

    /// What the reasons of some hours are about, with the number of hours, commonest first;
    /// darkness and the grower's own time, which every night has, are left out.
    pub fn commonest(&self, hours: &[usize]) -> Vec<(&'static str, usize)> {
        let mut counts: Vec<(&'static str, usize)> = Vec::new();
        for &hour in hours {
            let mut tags: Vec<&'static str> =
                self.raw_reasons(hour).iter().map(Reason::tag).collect();
            tags.sort_unstable();
            tags.dedup();
            for tag in tags {
                if matches!(tag, "dark" | "own time") {
                    continue;
                }
                match counts.iter_mut().find(|(t, _)| *t == tag) {
                    Some((_, n)) => *n += 1,
                    None => counts.push((tag, 1)),
                }
            }
        }
        counts.sort_by_key(|(_, n)| std::cmp::Reverse(*n));
        counts
    }

    /// Why, in the order of the limits, without copying.
    pub fn raw_reasons(&self, hour: usize) -> &[Reason] {
        self.cell(hour)
            .and_then(|c| self.reasons.get(c.from as usize..(c.from + c.len) as usize))
            .unwrap_or(&[])
    }

    /// The verdicts of a civil day on the orchard's clock, at its hours 0 to 23; an hour the
    /// clock skips or the grid does not cover is `None`, of an hour it repeats the first counts.
    pub fn day(&self, air: &Air, date: NaiveDate) -> [Option<usize>; 24] {
        let mut day = [None; 24];
        for hour in air.day(date) {
            let clock = chrono::Timelike::hour(&air.local(hour)) as usize;
            if let Some(slot) = day.get_mut(clock)
                && slot.is_none()
                && self.cell(hour).is_some()
            {
                *slot = Some(hour);
            }
        }
        day
    }

    /// The civil days the grid touches.
    pub fn dates(&self, air: &Air) -> Vec<NaiveDate> {
        let mut dates: Vec<NaiveDate> = self.hours().map(|h| air.local(h).date()).collect();
        dates.dedup();
        dates
    }
}

#[cfg(test)]
mod tests;
