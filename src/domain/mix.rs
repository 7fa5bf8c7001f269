//! Mixing: how much spray, how many tanks, how much product, in which order.
//!
//! [`sheet()`] is the single entry: everything a grower takes to the shed, as
//! plain data. The smaller rooms under it are pure arithmetic on typed units.

pub mod buy;
pub mod calibration;
pub mod dose;
pub mod hose_end;
pub mod measure;
pub mod order;
pub mod products;
pub mod safety;
mod sheet;
pub mod tanks;
pub mod volume;

pub use sheet::{
    BlockLine, MixSheet, QuietLine, SheetWarning, Verdict, refuses, sheet, sheet_with,
};
