//! Mixing: published examples and conversions, amounts, order, calibration,
//! the buy list, the sheet and its printed forms.
#![allow(
    clippy::print_stderr,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    missing_docs
)]

#[path = "common/browser.rs"]
mod browser;
#[path = "rules/fixture.rs"]
mod fixture;

mod mix {
    pub mod amounts;
    pub mod buy;
    pub mod conversions;
    pub mod examples;
    pub mod labels;
    pub mod printed;
    pub mod sheet;
    pub mod volume;
}
