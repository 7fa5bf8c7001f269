//! Answers as text and JSON. Reads an outlook; computes nothing of its own.

pub mod calendar;
pub mod check;
pub mod csv_export;
pub mod due;
pub mod history;
pub mod outlook_json;
pub mod records;
pub mod review;
pub mod season_page;
mod stable_id;
mod wrap;
