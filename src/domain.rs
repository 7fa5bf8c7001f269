//! The pure heart: no files, no clock, no terminal. "Today" is always an argument.

pub mod climate;
pub mod phenology;
