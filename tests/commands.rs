//! The real binary, command by command, each in a bare home of its own.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::string_slice,
    clippy::print_stdout,
    clippy::print_stderr,
    missing_docs
)]

#[path = "common/shared.rs"]
mod shared;

#[path = "forecast/server.rs"]
mod server;
#[path = "forecast/tls.rs"]
mod tls;

#[path = "commands/answers.rs"]
mod answers;

#[path = "commands/alarms.rs"]
mod alarms;

#[path = "commands/completing.rs"]
mod completing;

#[path = "commands/news.rs"]
mod news;

#[path = "commands/farm.rs"]
mod farm;

#[path = "commands/hours.rs"]
mod hours;

#[path = "common/steering.rs"]
mod steering;

#[path = "commands/hostile.rs"]
mod hostile;

#[path = "commands/beside.rs"]
mod beside;

#[path = "commands/doubtful_weather.rs"]
mod doubtful_weather;
#[path = "commands/exports.rs"]
mod exports;

#[path = "commands/versions.rs"]
mod versions;

#[path = "commands/home.rs"]
mod home;

#[path = "commands/large.rs"]
mod large;

#[path = "commands/linear.rs"]
mod linear;

#[path = "commands/photos.rs"]
mod photos;

#[path = "commands/plain.rs"]
mod plain;

#[path = "commands/shapes.rs"]
mod shapes;

#[path = "commands/records.rs"]
mod records;

#[path = "commands/looks.rs"]
mod looks;

#[path = "commands/place.rs"]
mod place;
#[path = "commands/schemas.rs"]
mod schemas;

#[path = "commands/sheets.rs"]
mod sheets;

#[path = "commands/season.rs"]
mod season;

#[path = "commands/tour.rs"]
mod tour;

#[path = "commands/real_weather.rs"]
mod real_weather;

#[path = "commands/weather.rs"]
mod weather;

#[path = "commands/against.rs"]
mod against;

#[path = "commands/manners.rs"]
mod manners;

#[path = "commands/owed.rs"]
mod owed;
