//! Reports: plain data of the domain turned into text, HTML and JSON.

pub mod mix_sheet;
