//! Fit hours on real years: verdicts of a winter, the windows found, a delay carried out.
#![allow(
    clippy::float_cmp,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    missing_docs
)]

#[path = "hours/real_years.rs"]
mod real_years;
#[path = "common/shared.rs"]
mod shared;
