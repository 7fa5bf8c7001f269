//! Answers as text and JSON. Reads what the domain derived; decides nothing of its own.

pub mod check;
pub mod due;
pub mod weather_sums;
mod wrap;
//! Reports: plain data of the domain turned into text, HTML and JSON.

pub mod mix_sheet;
