//! What temperatures do to buds, and from there to the date of a stage with its uncertainty.
//!
//! Every sum works either on daily extremes ([`degree_days`]) or on hourly temperatures
//! ([`chill`], [`heat`]) through the one [`hourly_sum::HourlySum`] interface.

pub mod calibrate;
pub mod chill;
pub mod climatology;
pub mod degree_days;
pub mod distribution;
pub mod dormant_year;
pub mod drift;
pub mod drivers;
pub mod estimate;
pub mod fitted;
pub mod heat;
pub mod hindcast;
pub mod hourly_sum;
pub mod ladder;
pub mod models;
pub mod normals;
pub mod rates;
pub mod requirements;
pub mod species;
pub mod stacked;
pub mod stacking;
pub mod stage;
