//! What is still to come and what may have happened, by published models, each with its spread: a
//! line beside the estimate. None of them is a promise, and none moves a date.

use super::hatch::{RED_MITE, SCALE};
use super::{BlockEstimate, Estimates};
use crate::domain::hours::air::{Air, Bark};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::species::Species;
use crate::domain::risk::{self, CurlRain};
use crate::domain::season::{Block, BlockId, Season, TaskState};
use crate::domain::sources::{self, Source};
use crate::domain::targets;
use crate::domain::units::count;
use chrono::{DateTime, Datelike, NaiveDate, NaiveDateTime, Utc};
use std::ops::Range;

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct ToCome {
    /// What it is about: a stable word.
    pub about: &'static str,
    /// The blocks it is about.
    pub blocks: Vec<BlockId>,
    /// The line.
    pub words: String,
    /// Whose model it is.
    pub source: &'static Source,
}

/// Every line there is to say on a day.
pub fn to_come(
    season: &Season,
    estimates: &Estimates,
    air: Option<&Air>,
    now: DateTime<Utc>,
    today: NaiveDate,
) -> Vec<ToCome> {
    let mut all = Vec::new();
    if let Some(half) = &estimates.hatch.red_mite_half {
        all.extend(red_mite(season, half, today));
    }
    if let Some(traps) = &estimates.hatch.scale_traps {
        all.extend(scale(season, traps, today));
    }
    if let Some(air) = air {
        let here = air.index_of(now);
        let until = here.map_or(air.len(), |i| i + 1);
        all.extend(leaf_curl(season, estimates, air, until, today));
        // A share of spores that is weeks old would mislead.
        all.extend(here.and_then(|_| scab(season, air, until)));
    }
    all
}

/// Blocks where a target was seen or work is planned against it, and where it lives.
fn blocks_with<'a>(season: &'a Season, target: &str) -> Vec<&'a Block> {
    let Some(view) = targets::find(season, &target.into()) else {
        return Vec::new();
    };
    let is_worked = |block: &Block| {
        season.tasks.iter().any(|t| {
            t.targets.iter().any(|x| x.as_str() == target)
                && (t.blocks.is_empty() || t.blocks.contains(&block.id))
        })
    };
    season
        .blocks
        .iter()
        .filter(|b| view.lives_on(b.species))
        .filter(|b| b.seen.iter().any(|s| s.target.as_str() == target) || is_worked(b))
        .collect()
}

fn names(blocks: &[&Block]) -> String {
    let names: Vec<&str> = blocks.iter().map(|b| b.name.as_str()).collect();
    names.join(", ")
}

fn ids(blocks: &[&Block]) -> Vec<BlockId> {
    blocks.iter().map(|b| b.id.clone()).collect()
}

fn day(date: NaiveDate) -> String {
    date.format("%-d %b").to_string()
}

/// "about 21 Apr (13 Apr to 30 Apr, 8 in 10)", a few days wider where the model itself was off.
fn range(date: &StageDate, error_days: f64) -> String {
    let wider = chrono::TimeDelta::days(error_days.ceil() as i64);
    format!(
        "about {} ({} to {}, 8 in 10)",
        day(date.p50()),
        day(date.p10() - wider),
        day(date.p90() + wider)
    )
}

fn red_mite(season: &Season, half: &StageDate, today: NaiveDate) -> Option<ToCome> {
    let blocks = blocks_with(season, RED_MITE);
    let chance = half.chance_by(today);
    if blocks.is_empty() {
        return None;
    }
    let then = if chance >= 0.9 {
        "Oil comes late for most of them now.".to_owned()
    } else {
        format!(
            "Chance that half have hatched by today: {:.0} %. Oil works on what has not hatched.",
            chance * 100.0
        )
    };
    Some(ToCome {
        about: "red-mite-hatch",
        words: format!(
            "Red mite eggs on {}: half hatched {}. {then}",
            names(&blocks),
            range(half, risk::RED_MITE_ERROR_DAYS.0)
        ),
        blocks: ids(&blocks),
        source: &sources::RED_MITE_HATCH,
    })
}

fn scale(season: &Season, traps: &StageDate, today: NaiveDate) -> Option<ToCome> {
    let blocks = blocks_with(season, SCALE);
    if blocks.is_empty() || traps.p10() < today - chrono::TimeDelta::days(60) {
        return None;
    }
    Some(ToCome {
        about: "san-jose-scale",
        words: format!(
            "San Jose scale on {}: hang traps for males {}. Crawlers come {} degree days F (above 51 F) after the first male.",
            names(&blocks),
            range(traps, 0.0),
            risk::SAN_JOSE_CRAWLERS_F_DAYS
        ),
        blocks: ids(&blocks),
        source: &sources::SAN_JOSE_DAYS,
    })
}

/// A wet spell: its hours, rain and mean temperature.
struct Spell {
    began: NaiveDateTime,
    hours: usize,
    rain_mm: f64,
    mean_c: f64,
}

/// Is wood wet in this hour, with rain or dew?
fn is_wet(air: &Air, hour: usize) -> bool {
    air.rain_mm(hour).is_some_and(|mm| mm > 0.0)
        || matches!(air.bark(hour), Bark::Wet(_) | Bark::Dew(_))
}

/// The wet spells of some hours.
fn spells(air: &Air, hours: Range<usize>) -> Vec<Spell> {
    let mut all: Vec<Spell> = Vec::new();
    let mut open = false;
    for hour in hours {
        if !is_wet(air, hour) {
            open = false;
            continue;
        }
        let temp_c = air.hour(hour).temp_c;
        let rain_mm = air.rain_mm(hour).unwrap_or(0.0);
        match all.last_mut().filter(|_| open) {
            Some(spell) => {
                let n = spell.hours as f64;
                spell.mean_c = (spell.mean_c * n + temp_c) / (n + 1.0);
                spell.hours += 1;
                spell.rain_mm += rain_mm;
            }
            None => all.push(Spell {
                began: air.local(hour),
                hours: 1,
                rain_mm,
                mean_c: temp_c,
            }),
        }
        open = true;
    }
    all
}

/// The day from which leaf buds of a block show their tips: seen, or more likely than not.
fn first_tips(estimate: &BlockEstimate, today: NaiveDate) -> Option<NaiveDate> {
    match estimate.seen {
        Some((day, bbch)) if bbch >= 53 => Some(day.min(estimate.burst.p50())),
        Some(_) => None,
        None => Some(estimate.burst.p50()).filter(|d| *d <= today),
    }
}

fn leaf_curl(
    season: &Season,
    estimates: &Estimates,
    air: &Air,
    until: usize,
    today: NaiveDate,
) -> Vec<ToCome> {
    let hosts = |b: &&Block| matches!(b.species, Species::Peach | Species::Nectarine);
    let mut all = Vec::new();
    for block in season.blocks.iter().filter(hosts) {
        let first = estimates.of(&block.id).and_then(|e| first_tips(e, today));
        let Some(first) = first else { continue };
        let from = air.day(first).start.min(until);
        let infecting: Vec<(Spell, CurlRain)> = spells(air, from..until)
            .into_iter()
            .map(|s| {
                let curl = risk::curl_rain(s.rain_mm, s.hours as f64, s.mean_c);
                (s, curl)
            })
            .filter(|(_, curl)| *curl != CurlRain::None)
            .collect();
        let Some((last, how)) = infecting.last() else {
            continue;
        };
        let much = if *how == CurlRain::InfectsMuch {
            ", long and cold"
        } else {
            ""
        };
        all.push(ToCome {
            about: "leaf-curl-rain",
            blocks: vec![block.id.clone()],
            words: format!(
                "Leaf curl on {}: {} since first green could infect, the last from {} ({:.0} mm, {} h wet, {:.0} C{much}); {}. Symptoms show after about 23 days (9 to 33).",
                block.name,
                count(infecting.len(), "wet spell", "wet spells"),
                day(last.began.date()),
                last.rain_mm,
                last.hours,
                last.mean_c,
                on_then(season, block, last.began.date())
            ),
            source: &sources::CURL_RAIN,
        });
    }
    all
}

/// What was on the trees against leaf curl when it rained.
fn on_then(season: &Season, block: &Block, rain: NaiveDate) -> String {
    let last = season
        .tasks
        .iter()
        .filter(|t| t.blocks.is_empty() || t.blocks.contains(&block.id))
        .filter(|t| t.targets.iter().any(|x| x.as_str() == "leaf-curl"))
        .filter_map(|t| match t.state {
            TaskState::Done(on) if on <= rain => Some((on, t.title.as_str())),
            _ => None,
        })
        .max();
    last.map_or_else(
        || "nothing against it was on record then".to_owned(),
        |(on, title)| format!("on the trees then: {title}, {}", day(on)),
    )
}

/// Hours that may be unknown in a hundred and the share still be told.
const UNKNOWN_IN_100: usize = 10;

/// How many of the season's scab spores are ripe, where the hours since 1 February are known.
fn scab(season: &Season, air: &Air, until: usize) -> Option<ToCome> {
    let blocks: Vec<&Block> = season
        .blocks
        .iter()
        .filter(|b| b.species == Species::Apple)
        .collect();
    if blocks.is_empty() || season.orchard.latitude < 0.0 || until == 0 {
        return None;
    }
    let now = air.local(until - 1).date();
    let start = NaiveDate::from_ymd_opt(now.year(), 2, 1)?;
    let hours = air.day(start);
    if hours.is_empty() || now <= start || now.month() > 7 {
        return None;
    }
    let hours = hours.start..until;
    let unknown = hours
        .clone()
        .filter(|h| !air.hour(*h).temp_c.is_finite() || air.rain_mm(*h).is_none())
        .count();
    if unknown * 100 > hours.len() * UNKNOWN_IN_100 {
        return None;
    }
    let share = ripe_share(air, hours, start, now);
    let words = if share <= 0.0 {
        "no spores are ripe yet".to_owned()
    } else {
        format!(
            "about {:.0} % of this season's spores are ripe, {:.0} % still to come",
            share * 100.0,
            (1.0 - share) * 100.0
        )
    };
    Some(ToCome {
        about: "scab-spores",
        words: format!(
            "Apple scab on {}: {words}. What leaf litter is raked, shredded or treated with urea now still counts for the rest.",
            names(&blocks)
        ),
        blocks: ids(&blocks),
        source: &sources::SCAB_SPORES,
    })
}

/// Ripening that the model begins with on 1 February, and at which the first spores are ripe.
const RIPENING: (f64, f64) = (5.0, 9.5);

/// The share of ripe spores; nought before the first are ripe.
fn ripe_share(air: &Air, hours: Range<usize>, start: NaiveDate, now: NaiveDate) -> f64 {
    let mut ripening = RIPENING.0;
    let mut wet_degree_hours = 0.0;
    for date in start.iter_days().take_while(|d| *d <= now) {
        let day = air.day(date);
        let day = day.start.max(hours.start)..day.end.min(hours.end);
        if day.is_empty() {
            continue;
        }
        let temps = || day.clone().map(|h| air.hour(h).temp_c);
        if ripening >= RIPENING.1 {
            let wet = day.clone().filter(|h| is_wet(air, *h));
            wet_degree_hours += wet.map(|h| air.hour(h).temp_c.max(0.0)).sum::<f64>();
            continue;
        }
        let mean_c = temps().filter(|t| t.is_finite()).sum::<f64>() / day.len() as f64;
        let humid = day.clone().filter(|h| air.hour(*h).rh_pct > 85.0).count();
        let wet = day.clone().filter(|h| is_wet(air, *h)).count();
        let (rain_mm, _) = air.rain_over(&day);
        if mean_c > 0.0 && rain_mm > 0.25 && humid > 8 && wet > 8 {
            ripening += risk::scab_ripening(mean_c);
        }
    }
    if ripening < RIPENING.1 {
        return 0.0;
    }
    risk::scab_share_ripe(wet_degree_hours / 24.0)
}

#[cfg(test)]
mod tests;
