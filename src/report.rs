//! Answers as text, HTML and JSON. Reads what the domain derived; decides nothing of its own.

pub mod buy;
pub mod calendar;
pub mod check;
pub mod coverage;
pub mod csv_export;
pub mod due;
pub mod ground;
pub mod history;
pub mod hours;
pub mod mix_sheet;
pub mod outlook_json;
pub mod plan;
pub mod printed;
pub mod records;
pub mod review;
pub mod ribbon;
pub mod schemas;
pub mod season_page;
pub mod shed;
pub mod sheet;
mod stable_id;
pub mod standing;
pub mod swell;
pub mod weather_sums;
pub mod wrap;
