//! What would help where not all can be done in time.

use super::sheet::{Ask, RunSheet, Standing, run_sheet};
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::Estimates;
use crate::domain::season::Season;
use chrono::NaiveDate;

/// One thing that may help.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Help {
    /// What, in a few words.
    pub what: String,
    /// How it is asked for.
    pub ask: Ask,
    /// Blocks that would still be too late.
    pub too_late: usize,
    /// Minutes that would still be missing.
    pub short_min: u32,
}

/// What would help, best first, and what would not.
pub fn helps(
    season: &Season,
    estimates: &Estimates,
    fits: &Fits,
    today: NaiveDate,
    (ask, sheet): (&Ask, &RunSheet),
) -> Vec<Help> {
    if sheet.standing(Standing::TooLate).next().is_none() {
        return Vec::new();
    }
    let mut tries: Vec<(String, Ask)> = Vec::new();
    if !ask.doubtful {
        let what = "doubtful hours too".to_owned();
        let ask = Ask {
            doubtful: true,
            ..ask.clone()
        };
        tries.push((what, ask));
    }
    if !ask.any_sprayer && season.sprayers.len() > 1 {
        let what = "any sprayer for any spray".to_owned();
        let ask = Ask {
            any_sprayer: true,
            ..ask.clone()
        };
        tries.push((what, ask));
    }
    if !season.people.is_empty() {
        let what = "one more driver".to_owned();
        let more = Ask {
            extra_drivers: ask.extra_drivers + 1,
            ..ask.clone()
        };
        tries.push((what, more));
        let what = "begin an hour earlier".to_owned();
        let earlier = Ask {
            earlier_h: ask.earlier_h + 1,
            ..ask.clone()
        };
        tries.push((what, earlier));
    }
    let mut helps: Vec<Help> = tries
        .into_iter()
        .filter_map(|(what, ask)| {
            let tried = run_sheet(season, estimates, fits, today, &ask)?;
            Some(Help {
                what,
                ask,
                too_late: tried.standing(Standing::TooLate).count(),
                short_min: tried.short_min,
            })
        })
        .collect();
    helps.sort_by_key(|h| (h.too_late, h.short_min));
    helps
}
