//! The dormant season of an orchard on one board.
#![cfg_attr(test, allow(clippy::float_cmp))]

pub mod cli;
pub mod domain;
pub mod report;
pub mod store;
pub mod tui;
