//! The gaps of the chain: how long they are in the middle, and how much the eye scatters.
//!
//! **First green to first bloom.** Four kinds have both stages on record (Korea Meteorological
//! Administration, twelve stations, 2,016 springs): `ln gap = c0 + c1 ln m + c2 e + r z`, with `m`
//! the gap that the fitted models see in the weather of that spring and `e` the error of bloom.
//! Inside one climate heat carries the gap no better than days do; between climates it does.
//!
//! The other kinds have published intervals only. There first green lies at a share of the heat
//! above 4.7 °C that has come by first bloom, counted from 1 March (pome) or 15 February (stone).
//! The share of apple is that of Fuji at Kuroishi (7 Apr to 8 May 2017, 29 Mar to 7 May 2020:
//! Aomori Apple Research Institute, and Mutsu Shimpo of 7 May 2020) and of the normals of Hirosaki
//! (9 Apr to 8 May), on the open temperatures of Aomori. It then meets, unseen, 31 d (17 to 50)
//! from green tip to full bloom in 38 springs at Sparta, Michigan (Michigan State Univ. Extension
//! 2014), and 28 to 36 d in Pennsylvania (Crassweller 2017). Sweet cherry: Lapins at Summerland, 28
//! and 30 d before full and first bloom (Houghton et al. 2023, doi 10.21273/HORTSCI17128-23).
//!
//! **Swell to first green.** Half of the heat at first green: buds were dormant at 38 to 39 degree
//! days above 42 °F, swelling at 61 to 76 and green from 111 (Michigan State Univ. Extension, north
//! west Michigan, seven springs); a nectarine swells at 786 of the 1385 growing degree hours at
//! which its calyx shows, 8 d (4 to 26) before it (Miranda, Santesteban & Royo 2013).
//!
//! **First to full bloom.** Means of the carried records by kind.

use super::super::dormant_year::SOLSTICE;
use super::super::species::Species;

/// One gap: its scatter and what it may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Standard deviation of its logarithm from spring to spring, the eye's noise included.
    pub sd: f32,
    /// Change of its logarithm for each day that bloom errs to the late side.
    pub per_error_day: f32,
    /// It is never shorter than this, days.
    pub shortest_days: f32,
    /// Nor longer, days.
    pub longest_days: f32,
}

/// The gaps of a kind of tree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gaps {
    /// Swell to first green.
    pub to_green: Gap,
    /// First green to first bloom.
    pub to_bloom: Gap,
    /// First to full bloom.
    pub to_full: Gap,
    /// Where BBCH 54, 55, 56, 57 and 59 lie in the gap from first green to first bloom.
    pub shares: [f32; 5],
}

/// Pome and stone fruit differ in where their heat begins and how the stages between lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Apple, pear, quince and what apple stands in for.
    Pome,
    /// Peach, apricot, plum, cherry, almond.
    Stone,
}

impl Kind {
    /// The kind of a species.
    pub const fn of(species: Species) -> Self {
        match species {
            Species::Apple
            | Species::Pear
            | Species::AsianPear
            | Species::Quince
            | Species::Walnut
            | Species::Other => Self::Pome,
            _ => Self::Stone,
        }
    }

    /// Share of the heat at first bloom that has come by first green: 0.21 to 0.23 by the springs of
    /// Aomori; the springs of Michigan, with later stages between, ask for more.
    const fn green_share(self) -> f32 {
        match self {
            Self::Pome => 0.24,
            Self::Stone => 0.26,
        }
    }

    /// Day of the dormant year from which that heat is counted: 1 March, 15 February (north).
    const fn heat_from(self) -> usize {
        match self {
            Self::Pome => SOLSTICE + 70,
            Self::Stone => SOLSTICE + 56,
        }
    }
}

/// Share of the heat at first green that has come when buds begin to swell.
const SWELL_SHARE: f32 = 0.5;
/// Heat is counted from at least so many days before bloom, where bloom comes early.
const HEAT_DAYS: f32 = 50.0;

/// How the gap that the models see becomes the gap that is seen: the logarithm's constant and
/// slope, its change per day of bloom error and its noise.
struct Seen {
    constant: f32,
    slope: f32,
    per_error_day: f32,
    sd: f32,
}

/// Of the kinds with both stages on record; the last is for all others with fitted first green.
const fn seen_gap(species: Species) -> Seen {
    let (constant, slope, per_error_day, sd) = match species {
        Species::Peach | Species::Nectarine => (0.33, 0.83, 0.028, 0.48),
        Species::AsianPear => (0.76, 0.67, 0.025, 0.45),
        Species::FloweringCherry => (0.32, 0.82, 0.018, 0.52),
        Species::JapaneseApricot => (0.80, 0.66, 0.020, 0.54),
        _ => (0.55, 0.75, 0.022, 0.50),
    };
    Seen {
        constant,
        slope,
        per_error_day,
        sd,
    }
}

/// Middle of the gap from first to full bloom, days (means of the carried records; kinds without
/// any take the nearest that has).
pub const fn first_to_full_days(species: Species) -> f32 {
    match species {
        Species::Peach | Species::Nectarine => 4.6,
        Species::AsianPear | Species::Pear => 4.2,
        Species::FloweringCherry => 4.9,
        Species::JapaneseApricot => 6.2,
        Species::SweetCherry | Species::SourCherry => 3.0,
        Species::Almond => 6.5,
        Species::Apricot | Species::JapanesePlum | Species::EuropeanPlum => 4.0,
        _ => 4.9,
    }
}

impl Gaps {
    /// Of a species; `fitted_green` tells whether first green has fitted models of its own.
    pub const fn of(species: Species, fitted_green: bool) -> Self {
        let seen = seen_gap(species);
        let (sd, per_error_day) = if fitted_green {
            (seen.sd, seen.per_error_day)
        } else {
            // A choice: the weather gives 5 to 6 d of the 7.5 d by which 38 springs of Michigan
            // scatter about 31 d.
            (0.30, 0.022)
        };
        Self {
            to_green: Gap {
                sd: 0.45,
                per_error_day: 0.0,
                shortest_days: 2.0,
                longest_days: 45.0,
            },
            to_bloom: Gap {
                sd,
                per_error_day,
                shortest_days: 2.5,
                longest_days: 80.0,
            },
            to_full: Gap {
                sd: 0.45,
                per_error_day: 0.0,
                shortest_days: 0.8,
                longest_days: 30.0,
            },
            shares: match Kind::of(species) {
                // McIntosh in Vermont 1999: half-inch green 8 d, tight cluster 16 d after green tip,
                // of about 28 d to bloom (Univ. of Vermont); pink at 0.65 of the heat between green
                // tip and bloom (Massachusetts), which late heat makes 0.75 of the days.
                Kind::Pome => [0.28, 0.42, 0.57, 0.75, 0.90],
                // Petals visible 14 of the 24 d from calyx to bloom (nectarine, Miranda et al.
                // 2013); the others set between in the same proportion: common practice, no source.
                Kind::Stone => [0.22, 0.34, 0.46, 0.60, 0.85],
            },
        }
    }

    /// Middle of the gap from first green to first bloom where models were fitted to both, from the
    /// gap `model_days` that they see in this weather.
    pub fn fitted_green_days(species: Species, model_days: f32) -> f32 {
        let seen = seen_gap(species);
        seen.slope
            .mul_add(model_days.max(3.0).ln(), seen.constant)
            .exp()
    }

    /// Middle of the gap from first green to first bloom by heat alone. `heat` is the running sum
    /// by the start of each day.
    pub fn heat_green_days(species: Species, heat: &[f32], bloom_day: f32) -> f32 {
        let kind = Kind::of(species);
        let from = heat_start(kind, bloom_day);
        bloom_day - share_reached(heat, from, bloom_day, kind.green_share())
    }

    /// Middle of the gap from swell to first green.
    pub fn swell_days(species: Species, heat: &[f32], green_day: f32, bloom_day: f32) -> f32 {
        let from = heat_start(Kind::of(species), bloom_day).min(green_day - HEAT_DAYS * 0.4);
        green_day - share_reached(heat, from, green_day, SWELL_SHARE)
    }
}

fn heat_start(kind: Kind, bloom_day: f32) -> f32 {
    (kind.heat_from() as f32).min(bloom_day - HEAT_DAYS)
}

/// Heat at a time within the season, days and fractions.
fn heat_at(heat: &[f32], day: f32) -> f32 {
    let day = day.clamp(0.0, heat.len().saturating_sub(1) as f32);
    let low = heat.get(day as usize).copied().unwrap_or(0.0);
    let high = heat.get(day as usize + 1).copied().unwrap_or(low);
    day.fract().mul_add(high - low, low)
}

/// Day by which `share` of the heat between `from` and `until` has come.
fn share_reached(heat: &[f32], from: f32, until: f32, share: f32) -> f32 {
    let (low, high) = (heat_at(heat, from), heat_at(heat, until));
    if high - low < 1e-3 {
        return f32::midpoint(from, until);
    }
    let wanted = share.mul_add(high - low, low);
    super::super::models::crossing(heat, wanted).clamp(from, until - 1.0)
}
