//! The season file: what is read is what was written, and nothing of the
//! owner's text is lost. All seasons here are invented.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::case_sensitive_file_extension_comparisons
)]

#[path = "common/seasons.rs"]
mod seasons;

#[path = "common/faulty.rs"]
mod faulty;

#[path = "store/estimates.rs"]
mod estimates;
#[path = "store/file.rs"]
mod file;

#[path = "store/formats.rs"]
mod formats;

#[path = "store/problems.rs"]
mod problems;

#[path = "store/layout.rs"]
mod layout;

#[path = "store/merging.rs"]
mod merging;

#[path = "store/machine.rs"]
mod machine;

#[path = "store/saving.rs"]
mod saving;

#[path = "store/locking.rs"]
mod locking;

#[path = "store/practice.rs"]
mod practice;

#[path = "store/targets.rs"]
mod targets;
