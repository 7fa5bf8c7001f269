//! The terminal on a system that is no Unix.
//!
//! What is missing there: the full-screen board, which waits for terminal, signals and file
//! together and gives the terminal back in every way there is to end. The board line by line and
//! all commands are there.

#[path = "input.rs"]
pub mod input;
#[path = "setting.rs"]
pub mod setting;
