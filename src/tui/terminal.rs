//! The terminal itself.
pub mod input;
pub mod paint;
