//! The pure heart: no files, no clock, no terminal. "Today" is always an argument.
//!
//! | room | what it holds |
//! |---|---|
//! | [`climate`] | daily and hourly weather, the sun, the hourly curve between extremes |
//! | [`units`] | a type per quantity, parsed from and written as people write it |
//! | [`zone`], [`country`] | the clock of a place; the country and state it lies in |
//! | [`place`] | places by name |
//! | [`hours`] | fit hours: verdicts, drying, windows, rain delay, wash-off |
//! | [`season`] | the plan's data: orchard, blocks, materials, tasks, readings, records, and pure edits |
//! | [`phenology`] | degree days, chill, heat, stages, the swell estimate |
//! | [`sources`] | one table of citations that rules, tables and tests point to |
//! | [`materials`] | kinds of active, starting points, the label field by field |
//! | [`targets`] | what overwinters, when and by what it can be stopped |
//! | [`coverage`] | block × target × lane: what is covered, what would close a gap |
//! | [`risk`] | what rain may have taken, infections, spores and eggs by published models |
//! | [`mix`] | spray volume, tanks, amounts, order, calibration, buy list |
//! | [`uses`] | every use of a material on a block, planned or done, looked up once |
//! | [`window`] | from when to when a spray may be done on a block, for each thing it is for |
//! | [`fit_hours`] | hours of fit weather inside the window, on a free sprayer |
//! | [`rules`] | facts → warnings, one file per family |
//! | [`records`] | application records: making, checking, sealing, correcting; re-entry; totals |
//! | [`review`] | what changed since the last review |
//! | [`next_season`], [`history`] | carrying over, and seasons side by side |
//! | [`outlook`] | everything derived for one day: the single entry that every face reads |

pub mod ascii;
pub mod chance;
pub mod climate;
pub mod country;
pub mod coverage;
pub mod farm;
pub mod fit_hours;
pub mod harmless;
pub mod history;
pub mod hours;
pub mod ledger;
pub(crate) mod look_up;
pub mod materials;
pub mod mix;
pub mod next_season;
pub mod outlook;
pub mod phenology;
pub mod place;
pub mod records;
pub mod review;
pub mod risk;
pub mod rules;
pub mod run_sheet;
pub mod season;
pub mod sources;
pub mod targets;
pub mod units;
pub mod uses;
pub mod window;
pub mod zone;
