//! From temperatures and observations to the date of a stage, with its uncertainty.

pub mod distribution;
pub mod species;
pub mod stage;
