//! Invented seasons with one trap each, and what an adviser would say of it. Beside each stands
//! its twin, the same season without the trap, in which no stop and no caution may be heard.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    missing_docs
)]

// Shared with the tests of the commands, which use all of it.
#[allow(dead_code)]
#[path = "commands/home.rs"]
mod home;

mod traps {
    pub mod answers;
    pub mod labels;
    pub mod scene;
    pub mod stages;
    pub mod weather;
}
