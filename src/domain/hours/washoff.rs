//! Whether a spray held against the rain since, and what a repeat would have to keep.

use std::ops::Range;

use chrono::{DateTime, NaiveDate, TimeDelta, Timelike, Utc};
use thiserror::Error;

use super::air::Air;
use super::drying::WETTING_MM;
use super::fits::Fits;
use super::verdict::rain;
use crate::domain::climate::hourly_series::Provenance;
use crate::domain::materials::{Actives, actives_of};
use crate::domain::outlook::Estimates;
use crate::domain::risk;
use crate::domain::rules::Facts;
use crate::domain::season::edit::{self, EditError};
use crate::domain::season::{Material, Season, Task, TaskId, UnitSystem};
use crate::domain::sources::{self, Source};
use crate::domain::uses::Use;
use crate::domain::window;

/// Rain since an application.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RainSince {
    /// Hours looked at, from the end of spraying to now.
    pub hours: usize,
    /// Rain in them, mm.
    pub total_mm: f64,
    /// Of this, from a forecast and not from a gauge, mm.
    pub forecast_mm: f64,
    /// Hours until the first rain that a gauge would show; `None` where there was none.
    pub first_after_h: Option<usize>,
    /// The most in one hour, mm.
    pub most_mm_per_h: f64,
    /// Hours about whose rain nothing is known.
    pub unknown_h: usize,
    /// Hours the likely film took to dry, if it did.
    pub dry_after_h: Option<f64>,
    /// What it rests on.
    pub rests: Rests,
}

/// What is known of the rain since an application rests on this.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rests {
    /// Rain hour by hour.
    Hours,
    /// Sums of days, some of them of the grower's own gauge.
    Days {
        /// Days by the gauge.
        gauge: usize,
        /// Rain of the day of spraying, mm: before or after it is not known, and it is counted.
        same_day_mm: f64,
    },
}

impl Rests {
    fn words(self, units: UnitSystem) -> String {
        match self {
            Self::Hours => String::new(),
            Self::Days { gauge, same_day_mm } => {
                let source = if gauge > 0 {
                    "by daily rain and your gauge"
                } else {
                    "by daily rain"
                };
                let same_day = if same_day_mm >= WETTING_MM {
                    format!(
                        ", {} of it on the day of spraying, before or after is not known",
                        rain(same_day_mm, units)
                    )
                } else {
                    String::new()
                };
                format!(" ({source}{same_day})")
            }
        }
    }
}

/// Whether a spray held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Held {
    /// Nothing speaks against it.
    Yes,
    /// Rain is not known for long enough to say.
    Unknown,
    /// Some was lost: look, and keep the next one in mind.
    Partly,
    /// Consider a repeat.
    Doubtful,
    /// Mostly lost.
    No,
}

impl Held {
    /// The word shown.
    pub fn words(self) -> &'static str {
        match self {
            Self::Yes => "held",
            Self::Unknown => "not known",
            Self::Partly => "partly lost",
            Self::Doubtful => "consider a repeat",
            Self::No => "mostly lost",
        }
    }
}

/// The verdict on one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Whether it held.
    pub held: Held,
    /// Is it a hint only, because what is published was measured on leaves?
    pub is_hint: bool,
    /// Why, with the numbers.
    pub because: String,
    /// Where the rule comes from.
    pub source: &'static Source,
}

/// An inch in mm.
const INCH_MM: f64 = 25.4;
/// Hours of missing rain over which nothing is said, as a share of all.
const MOST_UNKNOWN: f64 = 0.1;

/// Rain from the hour after spraying ended to now.
pub fn rain_since(air: &Air, ended: DateTime<Utc>, now: DateTime<Utc>) -> RainSince {
    let place = |at: DateTime<Utc>| {
        let seconds = (at - air.series().first()).num_seconds();
        seconds.div_euclid(3600) + i64::from(seconds.rem_euclid(3600) > 0)
    };
    let (from, to) = (place(ended), place(now).max(place(ended)));
    let hours = usize::try_from(to - from).unwrap_or(0);
    // Hours before the first known one are missing, not dry.
    let before = usize::try_from(-from).unwrap_or(0).min(hours);
    let run: Range<usize> = usize::try_from(from).unwrap_or(0)..usize::try_from(to).unwrap_or(0);
    let (total_mm, missing) = air.rain_over(&run);
    let mm = |i: usize| air.rain_mm(i).unwrap_or(f64::NAN);
    RainSince {
        hours,
        total_mm,
        forecast_mm: run
            .clone()
            .filter(|&i| air.provenance(i) != Some(Provenance::Observed) && mm(i).is_finite())
            .map(mm)
            .sum(),
        first_after_h: first_wetting(run.clone().map(mm)).map(|p| p + before),
        most_mm_per_h: run
            .clone()
            .map(mm)
            .filter(|r| r.is_finite())
            .fold(0.0, f64::max),
        unknown_h: missing + before,
        dry_after_h: (before == 0)
            .then(|| air.drying_from(run.start).likely_h)
            .flatten(),
        rests: Rests::Hours,
    }
}

/// Dry hours that part one rain from the next (six: the interval hydrology usually takes, as in
/// F. A. Huff, Water Resources Research 3, 1967).
const APART_H: usize = 6;

/// The hour in which a rain began that came to what a gauge shows: drizzle counts by its sum, and
/// a dry hour or two between does not begin it anew.
fn first_wetting(hourly_mm: impl Iterator<Item = f64>) -> Option<usize> {
    let (mut sum, mut began, mut last_wet) = (0.0, 0, None);
    for (hour, mm) in hourly_mm.enumerate() {
        if !mm.is_finite() || mm <= 0.0 {
            continue;
        }
        if last_wet.is_none_or(|last| hour - last > APART_H) {
            (sum, began) = (0.0, hour);
        }
        last_wet = Some(hour);
        sum += mm;
        if sum >= WETTING_MM {
            return Some(began);
        }
    }
    None
}

/// Rain of one day, and whether it comes from the grower's gauge.
pub type DayRain = (f64, bool);

/// Rain from the day of spraying to today by the sums of days, where hours are not known.
pub fn rain_by_days(
    of_day: impl Fn(NaiveDate) -> Option<DayRain>,
    sprayed: NaiveDate,
    today: NaiveDate,
) -> RainSince {
    let mut since = RainSince {
        hours: 0,
        total_mm: 0.0,
        forecast_mm: 0.0,
        first_after_h: None,
        most_mm_per_h: 0.0,
        unknown_h: 0,
        dry_after_h: None,
        rests: Rests::Hours,
    };
    let (mut by_gauge, mut same_day_mm) = (0, 0.0);
    for day in sprayed.iter_days().take_while(|d| *d <= today) {
        // Of the days of spraying and of today hardly anything is known to be missing.
        let is_whole = day != sprayed && day != today;
        since.hours += if is_whole { 24 } else { 0 };
        match of_day(day) {
            Some((mm, gauge)) => {
                since.total_mm += mm;
                by_gauge += usize::from(gauge);
                if day == sprayed {
                    same_day_mm = mm;
                }
            }
            None => since.unknown_h += if is_whole { 24 } else { 0 },
        }
    }
    since.rests = Rests::Days {
        gauge: by_gauge,
        same_day_mm,
    };
    since
}

/// Judges whether a material held.
///
/// First the label's own rain-free time, else the two hours within which rain takes most of any
/// spray (OMAFRA 2020); then by active. Oil works as it goes on: once dry, later rain does not
/// matter. Copper holds on bare wood far better than on leaves (NZ Plant Protection 66:199,
/// 2013: up to all of it after 50 mm), so 25 and 50 mm are hints there. Anything else follows
/// the home rule of Kansas State University: an inch, two inches.
pub fn judge(material: &Material, since: &RainSince, units: UnitSystem) -> Verdict {
    let total = format!(
        "{}{}",
        rain(since.total_mm, units),
        since.rests.words(units)
    );
    let say = |held, is_hint, because: String, source| Verdict {
        held,
        is_hint,
        because,
        source,
    };
    let label_h = material.label.dry_after.map(|s| s.hours());
    if let (Some(first), Some(wanted)) = (since.first_after_h, label_h)
        && (first as f64) < wanted
    {
        let because = format!(
            "rain {first} h after spraying, {total} since; its label wants {wanted:.0} h without"
        );
        return say(Held::Doubtful, false, because, &sources::LABEL);
    }
    if let Some(first) = since.first_after_h
        && (first < 2 || since.dry_after_h.is_some_and(|dry| (first as f64) < dry))
    {
        let because = format!(
            "rain {first} h after spraying, before it had dried or within two hours; {total} since"
        );
        return say(Held::No, false, because, &sources::RAIN_TWO_HOURS);
    }
    let inches = since.total_mm / INCH_MM;
    let is_known = since.unknown_h as f64 <= MOST_UNKNOWN * since.hours as f64;
    // What is known to have fallen has fallen, whatever else did.
    if !is_known && inches < 1.0 {
        let because = format!(
            "rain is not known for {} of {} h; {total} in the rest",
            since.unknown_h, since.hours
        );
        return say(Held::Unknown, false, because, &sources::RAIN_HOME_RULE);
    }
    let kinds = actives_of(&material.active);
    let forecast = if since.forecast_mm > 0.0 {
        format!(
            ", {} of it by forecast, not by a gauge",
            rain(since.forecast_mm, units)
        )
    } else {
        String::new()
    };
    let least = if is_known { "" } else { "at least " };
    let amount = format!("{least}{total} in {} h{forecast}", since.hours);
    if kinds.any(Actives::OIL) {
        return say(
            Held::Yes,
            false,
            format!("{amount}; oil has done its work once dry"),
            &sources::OIL_ONCE_DRY,
        );
    }
    if kinds.any(Actives::COPPER) {
        let held = match inches {
            i if i >= 2.0 => Held::Doubtful,
            i if i >= 1.0 => Held::Partly,
            _ => Held::Yes,
        };
        let (least, most) = risk::copper_left(since.total_mm);
        let left = |share: f64| (share * 100.0).round();
        let because = format!(
            "{amount}; between {} and {} % of it may be left: copper on bare wood holds far better than on leaves, so this is a hint",
            left(least),
            left(most)
        );
        return say(held, true, because, &sources::COPPER_ON_WOOD);
    }
    let held = match inches {
        i if i > 2.0 => Held::No,
        i if i >= 1.0 => Held::Partly,
        _ => Held::Yes,
    };
    say(held, false, amount, &sources::RAIN_HOME_RULE)
}

/// A repeat of a use, within its label and its last safe day.
#[derive(Debug, Clone, PartialEq)]
pub enum Repeat {
    /// It may be repeated between these days.
    Offered {
        /// The first day the label's interval allows, not before today.
        earliest: NaiveDate,
        /// The last safe day, where the estimates give one.
        latest: Option<NaiveDate>,
        /// Uses the label still allows this season, this one among them; `None` where it sets
        /// no number.
        uses_left: Option<u32>,
    },
    /// It may not, for this reason.
    Refused(String),
}

/// Whether a done use may be repeated, and when. Season limits of copper and product are judged
/// by the rules once the repeat stands in the plan.
pub fn repeat(facts: &Facts<'_>, used: &Use<'_>) -> Repeat {
    let label = &used.material.label;
    let name = &used.material.name;
    let done = facts
        .timeline(used.block_ix)
        .iter()
        .filter(|e| e.material == used.material.id.as_str())
        .count();
    let uses_left = label
        .max_uses
        .map(|most| most.saturating_sub(u32::try_from(done).unwrap_or(u32::MAX)));
    if uses_left == Some(0) {
        return Repeat::Refused(format!(
            "{name} is used or planned {done} times on {}; its label allows no more",
            used.block.name
        ));
    }
    let last_use = facts
        .timeline(used.block_ix)
        .iter()
        .filter(|e| e.material == used.material.id.as_str() && !e.is_open())
        .map(|e| e.day)
        .max()
        .unwrap_or_else(|| used.day());
    let interval = label
        .interval
        .map_or(0, crate::domain::units::Span::whole_days);
    let earliest = last_use
        .checked_add_signed(TimeDelta::days(interval))
        .unwrap_or(facts.today)
        .max(facts.today);
    if let Some(expires) = label.expires.filter(|e| *e < earliest) {
        return Repeat::Refused(format!(
            "the label of {name} may be used until {expires} only"
        ));
    }
    let closes = window::closes(facts, used);
    if let Some(edge) = closes.filter(|e| e.day < earliest) {
        return Repeat::Refused(format!(
            "the last safe day was {} and the label's interval ends {earliest}: {}. Look at the buds before anything else",
            edge.day,
            window::closes_because(&edge, Some(used.material))
        ));
    }
    Repeat::Offered {
        earliest,
        latest: closes.map(|e| e.day),
        uses_left,
    }
}

/// Why a spray is not planned once more.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum RepeatError {
    /// Only what was done can be done again.
    #[error("'{0}' is not a spray that is done: only such a one can be repeated")]
    NotDone(String),
    /// A label, a date or an interval forbids it.
    #[error("no repeat: {0}")]
    Refused(String),
    /// The season cannot take it.
    #[error(transparent)]
    Edit(#[from] EditError),
}

/// Plans a done spray once more: a copy of the task on the first day that every label and the
/// last safe day allow, in the next fit hours where the hours reach. Gives the season, the new
/// task and what was planned in words.
///
/// # Errors
/// Where it may not be repeated.
pub fn plan_repeat(
    season: &Season,
    estimates: &Estimates,
    fits: Option<&Fits>,
    task: &TaskId,
    today: NaiveDate,
) -> Result<(Season, TaskId, String), RepeatError> {
    let facts = Facts::new(season, estimates, today);
    let title = season
        .task(task)
        .map_or_else(|| task.to_string(), |t| t.title.clone());
    let mut uses = facts
        .uses()
        .iter()
        .filter(|u| u.task.id == *task && !u.is_open())
        .peekable();
    if uses.peek().is_none() {
        return Err(RepeatError::NotDone(title));
    }
    let mut first = today;
    let mut last: Option<NaiveDate> = None;
    for used in uses {
        match repeat(&facts, used) {
            Repeat::Refused(why) => return Err(RepeatError::Refused(why)),
            Repeat::Offered {
                earliest, latest, ..
            } => {
                first = first.max(earliest);
                last = [last, latest].into_iter().flatten().min();
            }
        }
    }
    if let Some(last) = last.filter(|l| *l < first) {
        return Err(RepeatError::Refused(format!(
            "the labels allow it from {first}, the last safe day is {last}"
        )));
    }
    let (mut after, id) = edit::copy_task(season, task)?;
    let mut day = first;
    let mut hour = None;
    if let Some(fits) = fits {
        // Judged as a task of its own: the hours of a done one are not kept.
        let judged = fits.renewed(&after, fits.air().at(fits.now()));
        let air = fits.air();
        let found = judged.of(&id).and_then(|fit| {
            fit.windows
                .iter()
                .filter(|w| {
                    let on = air.local(w.start).date();
                    on >= first && last.is_none_or(|last| on <= last)
                })
                .min_by_key(|w| (std::cmp::Reverse(w.grade), w.start))
        });
        if let Some(window) = found {
            day = air.local(window.start).date();
            hour = Some(air.local(window.start).hour());
        }
    }
    if let Some(copy) = after.task(&id) {
        let copy = Task {
            date: day,
            hour,
            ..copy.clone()
        };
        after = edit::replace_task(&after, copy)?;
    }
    let until = last.map_or_else(String::new, |l| format!(", last safe day {l}"));
    let words = match hour {
        Some(hour) => format!("repeat planned on {day} {hour:02}:00, fit hours{until}: {title}"),
        None => format!("repeat planned on {day}, hours not judged yet{until}: {title}"),
    };
    Ok((after, id, words))
}

#[cfg(test)]
mod tests;
