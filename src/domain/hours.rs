//! Which hours of the coming days a planned spray can go on and dry, where to move it after
//! rain, and whether it held.
//!
//! | room | what it does |
//! |---|---|
//! | [`weather`] | one hour in the form the arithmetic wants |
//! | [`humidity`], [`sky`], [`evaporation`] | the arithmetic: moist air, the sun, Penman–Monteith |
//! | [`air`] | everything about the hours of one place worked out once |
//! | [`limits`] | what label, orchard and published practice ask of an hour, for one task |
//! | [`verdict`] | hour by hour: fit, doubtful or unfit, with every reason |
//! | [`drying`] | how long a film takes to dry, as a range |
//! | [`job`], [`windows`] | how long the work takes, and the runs of hours that hold it |
//! | [`fits`] | the hours of every open spray, kept until something they hang on changes |
//! | [`delay`] | where each task goes after rain, and what to give on when nothing fits |
//! | [`washoff`] | whether a spray held against the rain since |

pub mod air;
pub mod compass;
pub mod delay;
pub mod drying;
pub mod evaporation;
pub mod fits;
pub mod humidity;
pub mod job;
pub mod limits;
pub mod sky;
#[cfg(test)]
pub(crate) mod testing;
pub mod verdict;
pub mod washoff;
pub mod weather;
pub mod windows;
