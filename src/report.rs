//! What is told to people and programs: tables, sheets, JSON.

pub mod weather_sums;
