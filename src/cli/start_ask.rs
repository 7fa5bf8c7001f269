//! Asking on the terminal, line by line.

use super::Failure;
use crate::domain::season::{NewBlock, read_blocks};
use std::io::{BufRead, Write};

/// Asks, or does without asking.
pub struct Asker<'a> {
    may_ask: bool,
    out: &'a mut dyn Write,
}

impl<'a> Asker<'a> {
    /// An asker; where it may not ask, defaults stand or the option is demanded.
    pub fn new(may_ask: bool, out: &'a mut dyn Write) -> Self {
        Self { may_ask, out }
    }

    fn line(&mut self) -> Result<Option<String>, Failure> {
        self.out.flush()?;
        let mut line = String::new();
        let read = std::io::stdin().lock().read_line(&mut line)?;
        Ok((read > 0).then(|| line.trim().to_owned()))
    }

    /// One answer: the option given, else asked until it can be read, else the default.
    pub fn text<T>(
        &mut self,
        option: &str,
        given: Option<&str>,
        question: &str,
        default: Option<&str>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Failure> {
        let refused = |why: String| Failure::Input(format!("--{option}: {why}"));
        if let Some(given) = given {
            return read(given).map_err(refused);
        }
        if !self.may_ask {
            let Some(default) = default else {
                return Err(refused(
                    "this is needed; nothing can be guessed here".to_owned(),
                ));
            };
            return read(default).map_err(refused);
        }
        loop {
            let proposal = default.map_or_else(String::new, |d| format!(" [{d}]"));
            write!(self.out, "{question}{proposal} ")?;
            let Some(line) = self.line()? else {
                return Err(refused("the input ended".to_owned()));
            };
            let text = match (line.is_empty(), default) {
                (true, Some(default)) => default.to_owned(),
                _ => line,
            };
            match read(&text) {
                Ok(value) => return Ok(value),
                Err(why) => writeln!(self.out, "  {why}")?,
            }
        }
    }

    /// The trees, until an empty line.
    pub fn blocks(&mut self) -> Result<Vec<NewBlock>, Failure> {
        let mut blocks = Vec::new();
        if !self.may_ask {
            return Err(Failure::Input(
                "--block: at least one is needed, for instance --block peach:redhaven:6".to_owned(),
            ));
        }
        writeln!(
            self.out,
            "Which trees? One line each, for instance 6 redhaven peach, or peach:redhaven:6."
        )?;
        writeln!(self.out, "An empty line ends the list.")?;
        loop {
            write!(self.out, "> ")?;
            let Some(line) = self.line()? else { break };
            if line.is_empty() {
                if blocks.is_empty() {
                    writeln!(self.out, "  at least one is needed")?;
                    continue;
                }
                break;
            }
            match read_blocks(&line) {
                Ok(more) => blocks.extend(more),
                Err(why) => writeln!(self.out, "  {why}")?,
            }
        }
        if blocks.is_empty() {
            return Err(Failure::Input("no trees were named".to_owned()));
        }
        Ok(blocks)
    }
}
