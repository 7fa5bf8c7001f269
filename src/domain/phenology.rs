//! What temperatures do to buds: degree days, chill and heat.
//!
//! Every sum works either on daily extremes ([`degree_days`]) or on hourly temperatures
//! ([`chill`], [`heat`]) through the one [`hourly_sum::HourlySum`] interface.

pub mod chill;
pub mod degree_days;
pub mod distribution;
pub mod heat;
pub mod hourly_sum;
pub mod species;
pub mod stage;
