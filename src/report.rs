//! Answers as text and JSON. Reads an outlook; computes nothing of its own.

pub mod check;
pub mod due;
pub mod review;
mod wrap;
