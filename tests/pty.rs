//! The real program on a real pseudo-terminal, seen through an independent
//! terminal. Everything in the practice season it opens is invented.
#![cfg(unix)]
#![allow(
    missing_docs,
    clippy::missing_panics_doc,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::string_slice
)]

#[path = "common/board.rs"]
mod common;

#[path = "common/steering.rs"]
mod steering;

// Shared with the tests of the forecast, which use all of it.
#[allow(dead_code)]
#[path = "forecast/server.rs"]
mod server;

#[path = "pty/bytes.rs"]
mod bytes;
#[path = "pty/hostile.rs"]
mod hostile;
#[path = "pty/job.rs"]
mod job;
#[path = "pty/keys.rs"]
mod keys;
#[path = "pty/kills.rs"]
mod kills;
#[path = "pty/leaving.rs"]
mod leaving;
#[path = "pty/midnight.rs"]
mod midnight;
#[path = "pty/multiplexer.rs"]
mod multiplexer;
#[path = "pty/newcomer.rs"]
mod newcomer;
#[path = "pty/panics.rs"]
mod panics;
#[path = "pty/shell.rs"]
mod shell;
#[path = "pty/slow.rs"]
mod slow;
#[path = "pty/ssh.rs"]
mod ssh;
#[path = "pty/terminal.rs"]
mod terminal;
#[path = "pty/terminals.rs"]
mod terminals;
#[path = "pty/tour.rs"]
mod tour;
#[path = "pty/unsaved.rs"]
mod unsaved;
#[path = "pty/weather.rs"]
mod weather;
#[path = "pty/wire.rs"]
mod wire;
