//! Weather of a place: daily extremes, the sun, the hourly curve between extremes, and hourly
//! records.

pub mod area;
pub mod daily;
pub mod daily_weather;
pub mod hourly_series;
pub mod hours;
pub mod normals;
pub mod sun;
pub mod temperature;
pub mod weather;
