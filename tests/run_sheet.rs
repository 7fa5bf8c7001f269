//! The run sheet against an exact solver, against plain earliest-deadline-first, and its own
//! promises on thousands of generated cases.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "run_sheet/chance.rs"]
mod chance;
#[path = "run_sheet/exact.rs"]
mod exact;
#[path = "run_sheet/made.rs"]
mod made;
#[path = "run_sheet/promises.rs"]
mod promises;
#[path = "run_sheet/speed.rs"]
mod speed;
