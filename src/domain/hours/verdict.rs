//! Hour by hour: fit, doubtful or unfit for a task, with every reason.

mod look;
mod words;

pub use words::{rain, temperature, wind};

use std::ops::Range;

use chrono::NaiveDate;

use super::air::Air;
use super::limits::{Limit, Limits, Look, Weight};

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
///
/// Reasons are not kept: a board holds a grid for every open spray, few of its hours are ever
/// asked why, and looking again gives the same.
#[derive(Debug, Clone)]
pub struct Grid {
    /// What was asked.
    pub limits: Limits,
    first: usize,
    cells: Vec<Cell>,
}

#[derive(Debug, Clone, Copy)]
struct Cell {
    fit: Fit,
    reasons: u8,
    advice: u8,
}

impl Cell {
    fn of(reasons: &[Reason]) -> Self {
        let count = |n: usize| u8::try_from(n).unwrap_or(u8::MAX);
        let advice = |r: &&Reason| r.weight == Weight::Advice;
        Self {
            fit: match reasons.iter().map(|r| r.weight).max() {
                Some(Weight::Stop) => Fit::Unfit,
                Some(Weight::Doubt) => Fit::Doubtful,
                Some(Weight::Advice) | None => Fit::Fit,
            },
            reasons: count(reasons.len()),
            advice: count(reasons.iter().filter(advice).count()),
        }
    }
}

/// Looks at every limit in an hour; what is not known is told once.
fn look_at(air: &Air, limits: &Limits, hour: usize, reasons: &mut Vec<Reason>) {
    reasons.clear();
    let weather = air.hour(hour);
    for limit in &limits.all {
        if let Some((finding, weight)) = look::look(air, limits, *limit, (hour, &weather)) {
            let told = matches!(finding, Finding::Unknown(_))
                && reasons.iter().any(|r| r.finding == finding);
            if !told {
                reasons.push(Reason {
                    limit: *limit,
                    finding,
                    weight,
                });
            }
        }
    }
}

impl Grid {
    /// Judges every hour of a run.
    pub fn new(air: &Air, limits: Limits, hours: Range<usize>) -> Self {
        let hours = hours.start..hours.end.min(air.len()).max(hours.start);
        let mut reasons = Vec::with_capacity(limits.all.len());
        let cells = hours
            .clone()
            .map(|hour| {
                look_at(air, &limits, hour, &mut reasons);
                Cell::of(&reasons)
            })
            .collect();
        Self {
            limits,
            first: hours.start,
            cells,
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

    /// How many reasons speak against an hour or are worth a word.
    pub fn reason_count(&self, hour: usize) -> usize {
        self.cell(hour).map_or(0, |c| usize::from(c.reasons))
    }

    /// How many of them are advice alone.
    pub fn advice_count(&self, hour: usize) -> usize {
        self.cell(hour).map_or(0, |c| usize::from(c.advice))
    }

    /// Why, gravest first.
    pub fn reasons(&self, air: &Air, hour: usize) -> Vec<Reason> {
        let mut found = self.raw_reasons(air, hour);
        found.sort_by_key(|r| std::cmp::Reverse(r.weight));
        found
    }

    /// What the reasons of some hours are about, with the number of hours, commonest first;
    /// darkness and the grower's own time, which every night has, are left out.
    pub fn commonest(&self, air: &Air, hours: &[usize]) -> Vec<(&'static str, usize)> {
        let mut counts: Vec<(&'static str, usize)> = Vec::new();
        for &hour in hours {
            let reasons = self.raw_reasons(air, hour);
            let mut tags: Vec<&'static str> = reasons.iter().map(Reason::tag).collect();
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

    /// Why, in the order of the limits: of an hour judged, from the air it was judged in.
    pub fn raw_reasons(&self, air: &Air, hour: usize) -> Vec<Reason> {
        let mut reasons = Vec::new();
        if self.reason_count(hour) > 0 {
            look_at(air, &self.limits, hour, &mut reasons);
        }
        reasons
    }

    /// What an hour judged misses, or may miss, of some of the limits.
    pub fn missed<'a>(
        &'a self,
        air: &'a Air,
        hour: usize,
        is_meant: impl Fn(Look) -> bool + 'a,
    ) -> impl Iterator<Item = Reason> + 'a {
        let weather = air.hour(hour);
        let limits = (self.reason_count(hour) > 0).then_some(&self.limits.all);
        let meant = limits
            .into_iter()
            .flatten()
            .filter(move |l| is_meant(l.look));
        meant.filter_map(move |limit| {
            let (finding, weight) = look::look(air, &self.limits, *limit, (hour, &weather))?;
            (!matches!(finding, Finding::Unknown(_))).then_some(Reason {
                limit: *limit,
                finding,
                weight,
            })
        })
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
