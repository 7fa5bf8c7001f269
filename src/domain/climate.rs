//! Temperatures of a place: daily extremes, the sun, and the hourly curve between extremes.

pub mod daily;
pub mod hourly_series;
pub mod hours;
pub mod sun;
pub mod temperature;
