//! How a command ends.

use std::io;
use thiserror::Error;

/// A command that ran.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Nothing to worry about.
    Fine,
    /// A stop or caution was found.
    Warned,
    /// The board ended with a code of its own: 0, or 128 and a signal's number.
    Board(u8),
}

impl Exit {
    /// The exit code.
    pub fn code(self) -> i32 {
        match self {
            Self::Fine => 0,
            Self::Warned => 1,
            Self::Board(code) => i32::from(code),
        }
    }
}

/// A command that did not.
#[derive(Debug, Error)]
pub enum Failure {
    /// The input or the request is wrong; the text says what to do.
    #[error("{0}")]
    Input(String),
    /// Something could not be read or written.
    #[error("{0}")]
    Disk(String),
    /// Somebody else changed the same thing just now: nothing was written, and the command can be
    /// run again on what is there.
    #[error("{0}")]
    Overtaken(String),
    /// The answer could not be written out.
    #[error("could not write the answer: {0}")]
    Write(#[from] io::Error),
}

impl Failure {
    /// The exit code.
    pub fn code(&self) -> i32 {
        match self {
            Self::Input(_) => 2,
            Self::Disk(_) | Self::Overtaken(_) | Self::Write(_) => 3,
        }
    }
}

impl From<serde_json::Error> for Failure {
    fn from(problem: serde_json::Error) -> Self {
        Self::Write(problem.into())
    }
}
