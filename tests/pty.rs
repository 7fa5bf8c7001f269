//! The real program on a real pseudo-terminal, seen through an independent
//! terminal. Everything in the practice season it opens is invented.
#![cfg(unix)]
#![allow(
    missing_docs,
    clippy::missing_panics_doc,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

#[path = "pty/bytes.rs"]
mod bytes;
#[path = "pty/job.rs"]
mod job;
#[path = "pty/kills.rs"]
mod kills;
#[path = "pty/leaving.rs"]
mod leaving;
#[path = "pty/shell.rs"]
mod shell;
#[path = "pty/terminal.rs"]
mod terminal;
