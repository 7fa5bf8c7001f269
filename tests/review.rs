//! The week's review, the next season, and seasons side by side.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    missing_docs
)]

#[path = "common/orchard.rs"]
mod orchard;

#[path = "review/carry.rs"]
mod carry;
#[path = "review/page.rs"]
mod page;
#[path = "review/week.rs"]
mod week;

use barewood::domain::outlook::Estimates;
use barewood::domain::season::{Reading, Season};
use chrono::{NaiveDate, TimeDelta};
use orchard::day;

/// A made-up estimate with known steps: a day of weather brings swell a day
/// forward every seven days from 3 January on, each degree-day total two
/// days, each look at the buds one day.
pub fn stepping(season: &Season, on: NaiveDate) -> Estimates {
    let weeks = (on - day("2027-01-03")).num_days().max(0) / 7;
    let totals = season
        .readings
        .iter()
        .filter(|r| matches!(r, Reading::DegreeDays { .. }))
        .count() as i64;
    let looks = season.readings.len() as i64 - totals;
    let middle = day("2027-03-10") - TimeDelta::days(weeks + 2 * totals + looks);
    orchard::estimates(season, &middle.to_string())
}
