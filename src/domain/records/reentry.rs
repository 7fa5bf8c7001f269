//! Who may go back in, and when.

use super::{blocks_of, current};
use crate::domain::season::{BlockId, Record, RecordId, Reentry, Season};
use crate::domain::zone::Zone;
use chrono::{LocalResult, NaiveDateTime, TimeDelta, TimeZone};

/// Where a block stands after a spray.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Ended: somebody saw that it was dry.
    Ended {
        /// When.
        at: NaiveDateTime,
        /// Who saw it.
        seen_by: String,
    },
    /// The label's time is over, and it asks for no more.
    Over {
        /// Since when.
        since: NaiveDateTime,
    },
    /// The label's time is over or there was none, but nobody has yet seen
    /// that it is dry.
    WaitsForDry,
    /// The label's time runs.
    Runs {
        /// Until when, local time.
        until: NaiveDateTime,
        /// Minutes left.
        minutes_left: i64,
        /// Must somebody also see that it is dry?
        then_until_dry: bool,
    },
}

impl Standing {
    /// Must others stay out?
    pub fn is_open(&self) -> bool {
        matches!(self, Self::WaitsForDry | Self::Runs { .. })
    }

    /// In plain words.
    pub fn words(&self) -> String {
        match self {
            Self::Ended { at, seen_by } => {
                format!(
                    "ended {}: dry, seen by {seen_by}",
                    at.format("%Y-%m-%d %H:%M")
                )
            }
            Self::Over { since } => {
                format!("over since {}", since.format("%Y-%m-%d %H:%M"))
            }
            Self::WaitsForDry => "keep out until somebody has seen that it is dry".to_owned(),
            Self::Runs {
                until,
                minutes_left,
                then_until_dry,
            } => {
                let (h, m) = (minutes_left / 60, minutes_left % 60);
                let dry = if *then_until_dry {
                    ", and until it is dry"
                } else {
                    ""
                };
                format!(
                    "keep out until {} ({h} h {m:02} min left){dry}",
                    until.format("%a %Y-%m-%d %H:%M")
                )
            }
        }
    }
}

/// One application's re-entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReentryState {
    /// Which record.
    pub record: RecordId,
    /// On which blocks.
    pub blocks: Vec<BlockId>,
    /// How it stands.
    pub standing: Standing,
}

/// The instant of a local time; the later one where clocks were set back, and
/// an hour on where they were set forward, so that nobody goes in too early.
fn instant(zone: Zone, local: NaiveDateTime) -> Option<chrono::DateTime<Zone>> {
    match zone.from_local_datetime(&local) {
        LocalResult::Single(at) => Some(at),
        LocalResult::Ambiguous(_, later) => Some(later),
        LocalResult::None => zone
            .from_local_datetime(&(local + TimeDelta::hours(1)))
            .latest(),
    }
}

/// A local time some hours later, across changes of the clock.
fn later(zone: Zone, local: NaiveDateTime, hours: f64) -> Option<NaiveDateTime> {
    let minutes = TimeDelta::try_minutes((hours * 60.0).ceil() as i64)?;
    let end = instant(zone, local)?.checked_add_signed(minutes)?;
    Some(end.naive_local())
}

fn minutes_between(zone: Zone, from: NaiveDateTime, to: NaiveDateTime) -> i64 {
    match (instant(zone, from), instant(zone, to)) {
        (Some(a), Some(b)) => (b - a).num_minutes(),
        _ => (to - from).num_minutes(),
    }
}

/// What the labels say of re-entry after a record: until when, and whether it
/// must be seen dry. Of several materials the longest rules; a label whose
/// re-entry is not entered counts as "until dry". Hours count from the end of
/// the spraying; where that is not known, from the end of the day.
pub fn reentry_from_labels(season: &Season, record: &Record) -> (Option<NaiveDateTime>, bool) {
    let from = record.ended.or_else(|| record.date.and_hms_opt(23, 59, 0));
    let mut longest: Option<f64> = None;
    let mut until_dry = false;
    for used in &record.materials {
        match season
            .material(&used.material)
            .and_then(|m| m.label.reentry)
        {
            Some(Reentry::After(span)) => {
                let hours = span.hours().max(0.0);
                longest = Some(longest.map_or(hours, |l| l.max(hours)));
            }
            Some(Reentry::UntilDry) | None => until_dry = true,
        }
    }
    let until = longest.and_then(|hours| later(season.orchard.time_zone, from?, hours));
    (until, until_dry)
}

/// Every application's re-entry, by the records that hold, the longest open first.
pub fn reentries(season: &Season, now: NaiveDateTime) -> Vec<ReentryState> {
    let zone = season.orchard.time_zone;
    let mut states: Vec<ReentryState> = current(season)
        .filter(|r| r.date <= now.date())
        .filter(|r| !r.materials.is_empty() || r.reentry_until.is_some())
        .map(|record| ReentryState {
            record: record.id.clone(),
            blocks: blocks_of(season, record)
                .iter()
                .map(|b| b.id.clone())
                .collect(),
            standing: standing(zone, record, now),
        })
        .collect();
    states.sort_by(|a, b| b.standing.cmp(&a.standing));
    states
}

fn standing(zone: Zone, record: &Record, now: NaiveDateTime) -> Standing {
    if let Some(at) = record.reentry_ended.filter(|at| *at <= now) {
        return Standing::Ended {
            at,
            seen_by: record
                .reentry_seen_by
                .clone()
                .unwrap_or_else(|| "a person not named".to_owned()),
        };
    }
    let needs_dry = record.reentry_until_dry || record.reentry_until.is_none();
    match record.reentry_until {
        Some(until) if now < until => Standing::Runs {
            until,
            minutes_left: minutes_between(zone, now, until).max(0),
            then_until_dry: needs_dry,
        },
        _ if needs_dry => Standing::WaitsForDry,
        Some(since) => Standing::Over { since },
        None => Standing::WaitsForDry,
    }
}

/// The strictest re-entry on a block; none where nothing was sprayed on it.
pub fn reentry_of_block(
    season: &Season,
    block: &BlockId,
    now: NaiveDateTime,
) -> Option<ReentryState> {
    reentries(season, now)
        .into_iter()
        .find(|s| s.blocks.contains(block))
}
