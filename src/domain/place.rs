//! A place by its name: towns with their coordinates, height and clock.
//!
//! The towns are those of GeoNames (`geonames.org`, CC BY 4.0; table of 5 March 2023) with 500
//! people and more where trees have a winter; `tests/bench/place_tables` packs them. They are
//! unpacked when the first place is looked up.

mod fold;
mod other_names;
mod read;
mod towns;
mod zones;

pub use read::{Asked, Found, Place, find, read_pair};
pub use towns::{CREDIT, Town, near};
pub use zones::zone_doubt;
