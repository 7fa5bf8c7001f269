//! Answers as text and JSON. Reads what the domain derived; decides nothing of its own.

pub mod check;
pub mod due;
pub mod mix_sheet;
pub mod swell;
pub mod weather_sums;
mod wrap;
