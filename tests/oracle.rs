//! Everything computed is checked against something outside: published tables, and values
//! worked out by independent methods. Each data file names its source in its first line.
#![allow(
    clippy::float_cmp,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    missing_docs
)]

#[path = "oracle/chill_heat.rs"]
mod chill_heat;
#[path = "oracle/degree_days.rs"]
mod degree_days;
#[path = "oracle/sun_hours.rs"]
mod sun_hours;
#[path = "oracle/table.rs"]
mod table;
#[path = "oracle/zones.rs"]
mod zones;
