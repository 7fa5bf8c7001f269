//! Published counts that decide whether to treat.

use super::TargetView;
use crate::domain::phenology::species::Species;
use crate::domain::season::TargetSeen;
use crate::domain::sources::{self, Source};

/// A published count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Threshold {
    /// Spurs infested out of the first 20 of a hundred: 0 none, 1–3 look at
    /// 20 more, 4 treat.
    SpurSample,
    /// Eggs in 100 spurs: one is enough; none proves little.
    EggsIn100,
    /// Adults in 100 beats: fewer than one is the goal.
    BeatTray,
    /// Any found.
    AnyFound,
}

impl Threshold {
    /// What to count and what decides, in plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::SpurSample => {
                "spurs infested of the first 20: none, leave it; 1-3, look at 20 more; 4, treat"
            }
            Self::EggsIn100 => "eggs on 100 spurs: one is enough to treat; none proves little",
            Self::BeatTray => "adults in 100 beats over a tray: one or more, treat",
            Self::AnyFound => "any found calls for treatment",
        }
    }

    /// Where it comes from.
    pub fn source(self) -> &'static Source {
        match self {
            Self::SpurSample => &sources::SPUR_SAMPLE,
            Self::EggsIn100 => &sources::EGG_100,
            Self::BeatTray => &sources::PSYLLA_TRAY,
            Self::AnyFound => &sources::ANY_FOUND,
        }
    }
}

/// Whether a count calls for treatment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Need {
    /// The count is at or above the threshold.
    Treat,
    /// The count does not decide: look at more.
    LookAgain,
    /// The count is below the threshold.
    NotNeeded,
    /// Seen, without a count or a threshold to hold it against.
    Seen,
}

impl Need {
    /// In plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Treat => "the count calls for treatment",
            Self::LookAgain => "the count does not decide: look at more",
            Self::NotNeeded => "the count is below the threshold",
            Self::Seen => "seen, not counted",
        }
    }
}

/// The share of spurs with lecanium from which plum is treated (UC IPM plum).
pub const LECANIUM_ON_PLUM: f64 = 0.25;

/// What a sighting on a block of a kind of tree asks for: on plum, lecanium has a threshold of
/// its own. Only a count of this season is held
/// against a threshold: last year's eggs say nothing of this year's.
pub fn need_on(view: &TargetView<'_>, seen: &TargetSeen, season: &str, species: Species) -> Need {
    let is_plum = matches!(species, Species::EuropeanPlum | Species::JapanesePlum);
    match (view.threshold(), seen.count) {
        (Some(Threshold::SpurSample), Some(count))
            if is_plum && view.key() == "lecanium" && seen.season == season =>
        {
            let of = seen.of.filter(|n| *n > 0.0).unwrap_or(20.0);
            if count / of >= LECANIUM_ON_PLUM - 1e-9 && of >= 20.0 {
                Need::Treat
            } else if count <= 0.0 && of >= 20.0 {
                Need::NotNeeded
            } else {
                Need::LookAgain
            }
        }
        _ => need(view, seen, season),
    }
}

/// What a sighting asks for, whatever the kind of tree.
pub fn need(view: &TargetView<'_>, seen: &TargetSeen, season: &str) -> Need {
    let (Some(threshold), Some(count)) = (view.threshold(), seen.count) else {
        return Need::Seen;
    };
    if seen.season != season {
        return Need::Seen;
    }
    let of = seen.of.filter(|n| *n > 0.0);
    match threshold {
        Threshold::SpurSample => {
            let of = of.unwrap_or(20.0);
            if count >= 4.0 * (of / 20.0).max(1.0) {
                Need::Treat
            } else if count <= 0.0 && of >= 20.0 {
                Need::NotNeeded
            } else {
                Need::LookAgain
            }
        }
        Threshold::EggsIn100 => {
            if count * 100.0 / of.unwrap_or(100.0) >= 1.0 {
                Need::Treat
            } else {
                Need::LookAgain
            }
        }
        Threshold::BeatTray => {
            if count * 100.0 / of.unwrap_or(100.0) >= 1.0 {
                Need::Treat
            } else {
                Need::NotNeeded
            }
        }
        Threshold::AnyFound if count > 0.0 => Need::Treat,
        Threshold::AnyFound => Need::NotNeeded,
    }
}
