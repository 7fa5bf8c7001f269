//! Key scripts on the model alone: no terminal, no file.
#![allow(
    missing_docs,
    clippy::missing_panics_doc,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::string_slice
)]

#[path = "flow/against.rs"]
mod against;
#[path = "common/board.rs"]
mod common;
#[path = "flow/driver.rs"]
mod driver;
#[path = "flow/edits.rs"]
mod edits;
#[path = "flow/forms.rs"]
mod forms;
#[path = "flow/hours.rs"]
mod hours;
#[path = "flow/long.rs"]
mod long;
#[path = "flow/many.rs"]
mod many;
#[path = "flow/mouse.rs"]
mod mouse;
#[path = "flow/moving.rs"]
mod moving;
#[path = "flow/random.rs"]
mod random;
#[path = "flow/records.rs"]
mod records;
#[path = "flow/review.rs"]
mod review;
#[path = "flow/saving.rs"]
mod saving;
#[path = "flow/set_up.rs"]
mod set_up;
#[path = "flow/spray.rs"]
mod spray;
#[path = "flow/swell.rs"]
mod swell;
