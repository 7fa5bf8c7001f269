//! Commands: one file each; arguments become values first, then run.

pub mod hindcast;
