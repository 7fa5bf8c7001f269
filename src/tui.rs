//! The board: a full-screen terminal program, built as state → action →
//! update → effects → view.
//!
//! | part | what it does |
//! |---|---|
//! | [`model`], [`update`], [`screen`], [`overlay`], [`form`] | what is known and how it changes; they know no terminal and no file |
//! | [`mouse`], [`copy_out`] | what the mouse does; what is sent to the user's own clipboard |
//! | [`keymap`] | which key does what: one table, many readers |
//! | [`view`], [`canvas`], [`theme`] | draw the model; decide nothing |
//! | [`terminal`], [`runtime`] | the terminal itself and the loop |
//! | [`linear`] | the same board line by line, without a screen |
//! | [`host`] | the seam to files and estimates |

pub mod action;
pub mod canvas;
pub mod copy_out;
pub mod details;
pub mod form;
pub mod history;
pub mod host;
pub mod key;
pub mod keymap;
pub mod line;
pub mod linear;
pub mod model;
pub mod mouse;
pub mod overlay;
#[cfg(unix)]
pub mod runtime;
pub mod screen;
#[cfg_attr(not(unix), path = "tui/terminal/elsewhere.rs")]
pub mod terminal;
pub mod text;
pub mod theme;
pub mod tour;
pub mod update;
pub mod view;
mod wishes;
pub mod words;

#[cfg(unix)]
pub use runtime::{Exit, RunError, run};
