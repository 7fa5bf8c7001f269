//! The keys and the words of this process: its standard input and output.

use super::Console;
use crossterm::terminal::{disable_raw_mode, enable_raw_mode};
use std::io::{self, IsTerminal as _, Write};

/// Keys come at once and unechoed for as long as this lives.
#[derive(Debug)]
pub struct Raw(bool);

impl Raw {
    /// Sets the terminal that standard input is; where it is none, keys come in lines.
    ///
    /// # Errors
    /// Where the terminal cannot be set.
    pub fn set() -> io::Result<Self> {
        let is_terminal = io::stdin().is_terminal();
        if is_terminal {
            enable_raw_mode()?;
        }
        Ok(Self(is_terminal))
    }

    /// The console of this process.
    pub fn console<'a>(&self, out: &'a mut dyn Write) -> Console<'a> {
        Console {
            keys: Box::new(io::stdin()),
            out,
            raw: self.0,
        }
    }
}

impl Drop for Raw {
    fn drop(&mut self) {
        if self.0 {
            let _ = disable_raw_mode();
        }
    }
}
