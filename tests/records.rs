//! Application records: what they hold, what they lack, and that they stay as written.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    missing_docs
)]

#[path = "common/orchard.rs"]
mod orchard;

#[path = "records/against.rs"]
mod against;
#[path = "records/air.rs"]
mod air;
#[path = "records/file.rs"]
mod file;
#[path = "records/keeping.rs"]
mod keeping;
#[path = "records/ledger.rs"]
mod ledger;
#[path = "records/parts.rs"]
mod parts;
#[path = "records/reentry.rs"]
mod reentry;
#[path = "records/sealing.rs"]
mod sealing;
#[path = "records/sums.rs"]
mod sums;

#[path = "records/taking_back.rs"]
mod taking_back;

use orchard::full;
