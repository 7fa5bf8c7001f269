//! Forecasts: the two formats read from samples made by hand after their published
//! descriptions, and fetching from a real server on the loopback address.
#![allow(
    clippy::float_cmp,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    missing_docs,
    clippy::string_slice,
    clippy::format_push_string,
    clippy::explicit_counter_loop
)]

#[path = "forecast/fetch.rs"]
mod fetch;
#[path = "forecast/formats.rs"]
mod formats;
#[path = "forecast/history.rs"]
mod history;
#[path = "forecast/replay.rs"]
mod replay;
#[path = "forecast/server.rs"]
mod server;
#[path = "forecast/tls.rs"]
mod tls;
